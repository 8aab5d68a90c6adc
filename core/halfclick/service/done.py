"""What a doer answers with: the new value, and which kinds of thing changed."""

from dataclasses import dataclass
from enum import Flag, auto
from typing import Generic, TypeVar

T = TypeVar("T")


class Touched(Flag):
    """The kinds of thing a verb may change; the window redraws pages that show them."""

    NOTHING = 0
    COFFEES = auto()
    KIT = auto()
    BREWS = auto()
    GUIDE = auto()
    SETTINGS = auto()
    TRIALS = auto()


@dataclass(frozen=True, slots=True)
class Done(Generic[T]):
    """The answer of a verb."""

    value: T
    touched: Touched
