"""The options of what sets a journal up: begin, kit, zero, add, settings, and a table's import."""

import argparse

from halfclick.commands.option_words import (
    OptionWords,
    add_choices,
    add_flags,
    add_options,
    help_of,
    said,
)

WEIGHTS = ("g", "oz")
TEMPERATURES = ("c", "f")
SCHEMES = ("plain", "clicks", "rotations", "lettered", "stepless")
FINER = ("lower", "higher")
SHAPES = ("steep_cone", "flat_bottom", "wedge", "thick_paper_cone", "immersion")
CARRIES = ("dripper_and_server", "server_alone")
DRAINED = ("last_drop", "stream_breaks", "bed_visible")
FOUND = ("burrs_lock", "first_rub", "factory_mark", "not_checked")
REASONS = ("cleaned", "new_burrs", "rezeroed")
PROCESSES = ("washed", "natural", "honey", "anaerobic", "other")
ROASTS = ("light", "medium", "dark")


def begin(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take who writes, and on what."""
    add_options(sub, words, (("--person", "NAME"), ("--device", "NAME")))


def kit(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take the things a person brews with; what is not said has its usual value."""
    add_options(sub, words, (("--grinder", "NAME"),))
    add_choices(sub, words, (("--scheme", SCHEMES), ("--finer", FINER)))
    add_options(
        sub,
        words,
        (
            ("--dial-step", "STEP"),
            ("--bases", "N[,N]"),
            ("--letters", "N"),
            ("--parts", "N"),
            ("--highest", "TEXT"),
            ("--step-um", "UM"),
            ("--purge-g", "G"),
            ("--dripper", "NAME"),
        ),
    )
    add_choices(sub, words, (("--shape", SHAPES),))
    add_options(
        sub,
        words,
        (
            ("--top-mm", "MM"),
            ("--bottom-mm", "MM"),
            ("--height-mm", "MM"),
            ("--paper", "NAME"),
            ("--kettle", "NAME"),
            ("--water", "NAME"),
            ("--server", "NAME"),
            ("--capacity-g", "G"),
            ("--altitude-m", "M"),
        ),
    )
    sub.add_argument("--change", action="store_true", help=help_of(words, "kit_change"))
    add_flags(sub, words, ("--thermometer",))
    add_choices(sub, words, (("--scale-carries", CARRIES), ("--drained", DRAINED)))


def zero(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take a new zero of the grinder in use."""
    add_options(sub, words, (("--reading", "TEXT"),))
    for name, choices in (("--found", FOUND), ("--reason", REASONS)):
        help_text = help_of(words, f"zero_{name.strip('-')}")
        sub.add_argument(name, choices=choices, required=True, help=help_text)
    add_options(sub, words, (("--note", "TEXT"),))


def add(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take what a label says."""
    sub.add_argument("name", metavar="NAME", help=help_of(words, "add_name"))
    add_flags(sub, words, ("--again",))
    add_options(sub, words, (("--roaster", "NAME"), ("--origin", "TEXT")))
    add_choices(sub, words, (("--process", PROCESSES), ("--roast", ROASTS)))
    add_options(
        sub,
        words,
        (
            ("--roasted-on", "YYYY-MM-DD"),
            ("--opened-on", "YYYY-MM-DD"),
            ("--frozen-on", "YYYY-MM-DD"),
            ("--thawed-on", "YYYY-MM-DD"),
            ("--weight-g", "G"),
            ("--altitude-m", "M"),
            ("--lot-code", "TEXT"),
            ("--batch-code", "TEXT"),
            ("--note", "TEXT"),
        ),
    )
    add_flags(sub, words, ("--decaf",))


def settings(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take what is to be from now on."""
    begin(sub, words)
    add_choices(
        sub,
        words,
        (("--weight", WEIGHTS), ("--temperature", TEMPERATURES), ("--drained", DRAINED)),
    )


def table(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take how a table is read, and the word that writes it."""
    told = f"{said(words, 'commands.import_table')} {said(words, 'commands.import_table_json')}"
    sub.epilog = f"{told}\n\n{sub.epilog}"
    for name in ("--match", "--unit"):
        metavar = "FIELD=COLUMN" if name == "--match" else "FIELD=UNIT"
        help_text = help_of(words, name)
        sub.add_argument(name, action="append", default=[], metavar=metavar, help=help_text)
    add_options(sub, words, (("--mapping", "FILE"),))
    add_flags(sub, words, ("--write",))


def shown_units(sub: argparse.ArgumentParser, words: OptionWords) -> None:
    """Take the units to print in this once."""
    add_choices(sub, words, (("--in-weight", WEIGHTS), ("--in-temperature", TEMPERATURES)))
