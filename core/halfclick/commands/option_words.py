"""How an option is added: its name, what it takes, and its help from a catalogue of its own."""

import argparse
import gettext
import os
from collections.abc import Iterable

import halfclick_resources

# The command line's own sentences, a tenth of all, compiled from the same sources once more:
# reading the whole catalogue takes longer than all else that help does.
FILE_NAME = "command_line.mo"
LANGUAGE = "en"


class OptionWords:
    """Words what can be typed, and nothing that has values."""

    def __init__(self) -> None:
        folder = next(iter(halfclick_resources.__path__))
        # No Path: loading pathlib is among what help does without.
        with open(os.path.join(folder, "catalogues", LANGUAGE, FILE_NAME), "rb") as stream:
            self._catalogue = gettext.GNUTranslations(stream)

    def __call__(self, code: str) -> str:
        """Return the sentence of a code; raise KeyError where the catalogue has none."""
        text = self._catalogue.gettext(code)
        if text == code:
            raise KeyError(code)
        return text


def said(words: OptionWords, code: str) -> str:
    """Return a sentence as argparse takes it: a per cent sign stands for itself."""
    return words(code).replace("%", "%%")


def help_of(words: OptionWords, name: str) -> str:
    """Return the help of an option by its name."""
    return said(words, f"commands.option_{name.strip('-').replace('-', '_')}")


def add_options(
    sub: argparse.ArgumentParser, words: OptionWords, options: Iterable[tuple[str, str]]
) -> None:
    """Add options that take a text, each by its name and what stands for the text."""
    for name, metavar in options:
        sub.add_argument(name, metavar=metavar, help=help_of(words, name))


def add_choices(
    sub: argparse.ArgumentParser, words: OptionWords, options: Iterable[tuple[str, tuple[str, ...]]]
) -> None:
    """Add options that take one of a few words."""
    for name, choices in options:
        sub.add_argument(name, choices=choices, help=help_of(words, name))


def add_flags(sub: argparse.ArgumentParser, words: OptionWords, names: Iterable[str]) -> None:
    """Add options that are said or not."""
    for name in names:
        sub.add_argument(name, action="store_true", help=help_of(words, name))
