"""What can be typed: every command with its options; nothing heavy is loaded to say so."""

import argparse
import os
import sys

from halfclick.commands import parser_cups, parser_setup
from halfclick.commands.option_words import OptionWords
from halfclick.commands.option_words import said as _said
from halfclick.commands.parser_cups import BEDS, COMPLAINTS, MARKS, SLIPS, STRENGTHS, VERDICTS

PROGRAM = "halfclick-cli"
COMMANDS = (
    "begin",
    "kit",
    "zero",
    "add",
    "settings",
    "coffees",
    "plan",
    "record",
    "taste",
    "advise",
    "correct",
    "delete",
    "undelete",
    "history",
    "find",
    "rules",
    "trials",
    "export",
    "import",
    "check",
    "backup",
    "restore",
)


class _HelpText(argparse.RawDescriptionHelpFormatter):
    """Help as wide as the terminal; argparse itself would load shutil to ask for the width."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=_columns() - 2)


def _columns() -> int:
    """Return how wide the terminal is, as shutil does: by COLUMNS, by the terminal, or 80."""
    told = os.environ.get("COLUMNS", "")
    if told.isdecimal() and int(told) > 0:
        return int(told)
    try:
        return os.get_terminal_size(sys.__stdout__.fileno()).columns or 80  # type: ignore[union-attr]
    except (AttributeError, ValueError, OSError):
        return 80


def parser_of(words: OptionWords, argv: list[str]) -> argparse.ArgumentParser:
    """Return the parser of a command line: every command, with the options of those named in it."""
    parser = argparse.ArgumentParser(
        prog=PROGRAM,
        description=_said(words, "commands.about"),
        epilog=_said(words, "commands.exit_codes"),
        formatter_class=_HelpText,
        allow_abbrev=False,
    )
    subs = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name in COMMANDS:
        help_text = _said(words, f"commands.{name}")
        if name not in argv:
            subs.add_parser(name, help=help_text, add_help=False)
            continue
        sub = subs.add_parser(
            name,
            help=help_text,
            description=_said(words, f"commands.{name}"),
            epilog=_said(words, f"commands.{name}_json") + "\n\n" + _said(words, "commands.json"),
            formatter_class=_HelpText,
            allow_abbrev=False,
        )
        _OPTIONS[name](sub, words)
        _common(sub, words)
    return parser


def _option(sub: argparse.ArgumentParser, words: OptionWords, name: str, metavar: str) -> None:
    code = f"commands.option_{name.strip('-').replace('-', '_')}"
    sub.add_argument(name, metavar=metavar, help=_said(words, code))


def _common(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    _option(sub, words, "--journal", "PATH")
    for name in ("demo", "json"):
        help_text = _said(words, f"commands.option_{name}")
        sub.add_argument(f"--{name}", action="store_true", help=help_text)
    parser_setup.shown_units(sub, words)


def _coffee(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    sub.add_argument(
        "coffee", metavar="COFFEE", nargs="?", help=_said(words, "commands.option_coffee")
    )


def _cup(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    _coffee(sub, words)
    _option(sub, words, "--cup", "N")


def _nothing(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take no option of its own."""


def _plan(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    _coffee(sub, words)
    _option(sub, words, "--setting", "TEXT")
    sizes = sub.add_mutually_exclusive_group()
    for name in ("--dose-g", "--water-g", "--cup-g"):
        code = f"commands.option_plan_{name.strip('-').replace('-', '_')}"
        sizes.add_argument(name, metavar="G", help=_said(words, code))
    help_text = _said(words, "commands.option_good_one")
    sub.add_argument("--good-one", action="store_true", help=help_text)


def _record(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    _coffee(sub, words)
    help_text = _said(words, "commands.option_good_one")
    sub.add_argument("--good-one", action="store_true", help=help_text)
    for name, metavar in (
        ("--setting", "TEXT"),
        ("--dose-g", "G"),
        ("--water-g", "G"),
        ("--temperature-c", "C"),
        ("--drained-s", "TIME"),
        ("--beverage-g", "G"),
        ("--bypass-g", "G"),
        ("--why", "TEXT"),
        ("--note", "TEXT"),
    ):
        _option(sub, words, name, metavar)
    sub.add_argument(
        "--slip",
        action="append",
        default=[],
        metavar="KIND[=SIZE]",
        help=_said(words, "commands.option_slip") + ": " + ", ".join(SLIPS),
    )


def _taste(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    _cup(sub, words)
    for mark in MARKS:
        _option(sub, words, f"--{mark}", "MARK")
    for name, metavar in (
        ("--liking", "N"),
        ("--words", "TEXT"),
        ("--beverage-g", "G"),
        ("--strength-percent", "PERCENT"),
    ):
        _option(sub, words, name, metavar)
    for name, choices in (("felt", STRENGTHS), ("verdict", VERDICTS), ("bed", BEDS)):
        help_text = _said(words, f"commands.option_{name}")
        sub.add_argument(f"--{name}", choices=choices, help=help_text)
    sub.add_argument(
        "--complaint",
        action="append",
        default=[],
        choices=COMPLAINTS,
        help=_said(words, "commands.option_complaint"),
    )


def _advise(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    _cup(sub, words)
    answers = sub.add_mutually_exclusive_group()
    for name in ("accept", "refuse"):
        help_text = _said(words, f"commands.option_{name}")
        answers.add_argument(f"--{name}", action="store_true", help=help_text)
    _option(sub, words, "--reason", "TEXT")
    help_text = _said(words, "commands.option_both")
    sub.add_argument("--both", action="store_true", help=help_text)


def _export(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    sub.add_argument("file", metavar="PATH", help=_said(words, "commands.option_export_file"))
    for name in ("tables", "decimal-comma", "with-bom"):
        help_text = _said(words, f"commands.option_{name.replace('-', '_')}")
        sub.add_argument(f"--{name}", action="store_true", help=help_text)


def _import(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    sub.add_argument("file", metavar="FILE", help=_said(words, "commands.option_import_file"))
    help_text = _said(words, "commands.option_look")
    sub.add_argument("--look", action="store_true", help=help_text)
    parser_setup.table(sub, words)


def _restore(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    sub.add_argument("file", metavar="COPY", help=_said(words, "commands.option_copy"))


_OPTIONS = {
    "begin": parser_setup.begin,
    "kit": parser_setup.kit,
    "zero": parser_setup.zero,
    "add": parser_setup.add,
    "settings": parser_setup.settings,
    "coffees": _nothing,
    "plan": _plan,
    "record": _record,
    "taste": _taste,
    "advise": _advise,
    "correct": parser_cups.correct,
    "delete": parser_cups.delete,
    "undelete": parser_cups.undelete,
    "history": _coffee,
    "find": parser_cups.find,
    "rules": parser_cups.rules,
    "trials": _nothing,
    "export": _export,
    "import": _import,
    "check": _nothing,
    "backup": _nothing,
    "restore": _restore,
}
