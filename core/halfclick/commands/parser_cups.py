"""The options of what is done with cups that are kept and with rules; and the words they take."""

import argparse

from halfclick.commands.option_words import OptionWords, add_flags, add_options, help_of

MARKS = ("sour", "bitter", "thin", "harsh", "sweet")
STRENGTHS = ("weak", "right", "strong")
VERDICTS = ("keep", "change")
BEDS = ("flat", "crater", "tilted", "dry_patch", "high_and_dry", "muddy")
COMPLAINTS = ("flat", "muddy", "hollow", "salty", "papery", "grassy", "smoky", "not_sweet")
# Too much and too little water are told by the water itself, --water-g.
SLIPS = (
    "untared_dose",
    "late_clock",
    "lost_clock",
    "stall",
    "lifted_early",
    "untared_server",
    "tared_after_bloom",
    "lost_total",
    "bypass",
    "long_bloom",
    "rinse_left",
    "cold_dripper",
    "paper_leaked",
    "other_paper",
)


def correct(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take what truly happened in a brew."""
    _coffee(sub, words)
    add_options(sub, words, (("--cup", "N"),))
    told = help_of(words, "correct_value")
    for name, metavar in (
        ("--dose-g", "G"),
        ("--water-g", "G"),
        ("--temperature-c", "C"),
        ("--drained-s", "TIME"),
        ("--beverage-g", "G"),
    ):
        sub.add_argument(name, metavar=metavar, help=told)
    add_options(sub, words, (("--note", "TEXT"),))
    help_text = help_of(words, "correct_slip") + ": " + ", ".join(SLIPS)
    sub.add_argument("--slip", action="append", default=[], metavar="KIND[=SIZE]", help=help_text)
    add_flags(sub, words, ("--no-slip",))


def delete(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take which cup is to go; it is always said, for nothing is deleted by a guess."""
    _coffee(sub, words)
    sub.add_argument("--cup", metavar="N", required=True, help=help_of(words, "delete_cup"))


def undelete(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take which cup is to come back."""
    sub.add_argument("brew_id", metavar="ID", nargs="?", help=help_of(words, "undelete_id"))


def find(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take what a brew must have."""
    sub.add_argument("words", metavar="WORD", nargs="*", help=help_of(words, "find_words"))
    for name, metavar in (
        ("--setting", "TEXT"),
        ("--liking-from", "N"),
        ("--dripper", "NAME"),
        ("--since", "YYYY-MM-DD"),
        ("--until", "YYYY-MM-DD"),
        ("--first", "N"),
    ):
        sub.add_argument(name, metavar=metavar, help=help_of(words, f"find_{name.strip('-')}"))
    for name, choices in (("--verdict", VERDICTS), ("--mark", MARKS)):
        sub.add_argument(name, choices=choices, help=help_of(words, f"find_{name.strip('-')}"))
    add_flags(sub, words, ("--slipped", "--corrected"))


def rules(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take what is sought in the rules, or the one thing that is to be done with one."""
    sub.add_argument("words", metavar="WORD", nargs="*", help=help_of(words, "rules_words"))
    one = sub.add_mutually_exclusive_group()
    for name, metavar in (
        ("--off", "RULE"),
        ("--on", "RULE"),
        ("--add", "FILE"),
        ("--change", "FILE"),
        ("--remove", "RULE"),
    ):
        one.add_argument(name, metavar=metavar, help=help_of(words, f"rules_{name.strip('-')}"))


def _coffee(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    sub.add_argument("coffee", metavar="COFFEE", nargs="?", help=help_of(words, "coffee"))
