"""Which cup stands where: coins, codes on cups, and orders of serving. Chance comes from outside.

Every function takes the generator that it draws from, so that a draw can be repeated in a test.
"""

from collections.abc import Collection

import numpy as np

# Three digits, none of them leading zero; common practice, from memory.
LOWEST_CODE, HIGHEST_CODE = 100, 999


def coin(random: np.random.Generator) -> bool:
    """Return whether the cup with the habit stands first: an independent fair coin."""
    return bool(random.integers(2))


def codes(random: np.random.Generator, count: int, taken: Collection[int] = ()) -> tuple[int, ...]:
    """Return three-digit codes for so many cups, all different and none taken.

    Not among them: a digit repeated anywhere (355, 555), runs up or down (345, 543), whole
    hundreds and tens, and numbers that mean something to many (emergency calls and the like).

    Raises:
        ValueError: fewer codes are left than are asked for.
    """
    raise NotImplementedError


def grouping_order(random: np.random.Generator) -> tuple[bool, bool, bool, bool]:
    """Return which of four cups hold the habit: one of six ways of two and two, alike likely."""
    raise NotImplementedError


def triangle_order(random: np.random.Generator) -> tuple[bool, bool, bool]:
    """Return which of three cups hold the habit: one of the six orders, alike likely."""
    raise NotImplementedError


def williams(brews: int) -> tuple[tuple[int, ...], ...]:
    """Return orders in which each brew stands at each place and after each other alike often.

    As many rows as brews where their number is even, twice as many where it is odd. Source:
    Williams 1949, Australian Journal of Scientific Research A 2:149-168.

    Raises:
        ValueError: there are fewer than two brews.
    """
    raise NotImplementedError


def incomplete_blocks(brews: int, cups: int) -> tuple[tuple[int, ...], ...]:
    """Return sittings of fewer cups than brews, in which any two brews meet alike often.

    Raises:
        ValueError: not 2 to below `brews` cups, or more than 9 brews.
    """
    raise NotImplementedError


def order_of_rows(
    random: np.random.Generator, rows: tuple[tuple[int, ...], ...], tasters: int
) -> tuple[tuple[int, ...], ...]:
    """Return a row of a design for each taster; rows and labels are shuffled."""
    raise NotImplementedError
