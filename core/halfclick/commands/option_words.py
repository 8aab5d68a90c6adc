"""How an option is added: its name, what it takes, and its help from the catalogue."""

import argparse
from collections.abc import Iterable

from halfclick.wording import Wording


def said(words: Wording, code: str) -> str:
    """Return a sentence as argparse takes it: a per cent sign stands for itself."""
    return words(code).replace("%", "%%")


def help_of(words: Wording, name: str) -> str:
    """Return the help of an option by its name."""
    return said(words, f"commands.option_{name.strip('-').replace('-', '_')}")


def add_options(
    sub: argparse.ArgumentParser, words: Wording, options: Iterable[tuple[str, str]]
) -> None:
    """Add options that take a text, each by its name and what stands for the text."""
    for name, metavar in options:
        sub.add_argument(name, metavar=metavar, help=help_of(words, name))


def add_choices(
    sub: argparse.ArgumentParser, words: Wording, options: Iterable[tuple[str, tuple[str, ...]]]
) -> None:
    """Add options that take one of a few words."""
    for name, choices in options:
        sub.add_argument(name, choices=choices, help=help_of(words, name))


def add_flags(sub: argparse.ArgumentParser, words: Wording, names: Iterable[str]) -> None:
    """Add options that are said or not."""
    for name in names:
        sub.add_argument(name, action="store_true", help=help_of(words, name))
