"""Which cup stands where: coins, codes on cups, and orders of serving. Chance comes from outside.

Every function takes the generator that it draws from, so that a draw can be repeated in a test.
"""

from collections.abc import Collection, Sequence
from itertools import combinations

import numpy as np

# Three digits, none of them leading zero; common practice, from memory.
LOWEST_CODE, HIGHEST_CODE = 100, 999
# Numbers that mean something to many people, so that a cup may be liked for its name: emergency
# and service calls, the year and the day, half a turn, an error, and the like (our own list).
KNOWN_NUMBERS = frozenset({247, 314, 360, 365, 404, 420, 180, 270, 187, 108, 911, 192, 193, 619})
MOST_BLOCKED_BREWS = 7
MOST_MEETINGS = 6

Rows = tuple[tuple[int, ...], ...]


def coin(random: np.random.Generator) -> bool:
    """Return whether the cup with the habit stands first: an independent fair coin."""
    return bool(random.integers(2))


def codes(random: np.random.Generator, count: int, taken: Collection[int] = ()) -> tuple[int, ...]:
    """Return three-digit codes for so many cups, all different and none taken.

    Not among them: a digit that stands twice (355, 555), runs up or down (345, 543), whole tens,
    and numbers that mean something to many.

    Raises:
        ValueError: fewer codes are left than are asked for.
    """
    left = [code for code in range(LOWEST_CODE, HIGHEST_CODE + 1) if _plain(code)]
    left = [code for code in left if code not in set(taken)]
    if count > len(left):
        raise ValueError(f"{count} codes asked for, {len(left)} left")
    return tuple(int(code) for code in random.choice(left, size=count, replace=False))


def grouping_order(random: np.random.Generator) -> tuple[bool, bool, bool, bool]:
    """Return which of four cups hold the habit: one of six ways of two and two, alike likely."""
    held = random.permutation(4)[:2]
    return (0 in held, 1 in held, 2 in held, 3 in held)


def triangle_order(random: np.random.Generator) -> tuple[bool, bool, bool]:
    """Return which of three cups hold the habit: one of the six orders, alike likely.

    In three of them two cups hold it, in the other three one does.
    """
    odd, odd_has_it = random.integers(3), coin(random)
    return (
        (odd == 0) == odd_has_it,
        (odd == 1) == odd_has_it,
        (odd == 2) == odd_has_it,
    )


def williams(brews: int) -> Rows:
    """Return orders in which each brew stands at each place and after each other alike often.

    As many rows as brews where their number is even, twice as many where it is odd. Source:
    Williams 1949, Australian Journal of Scientific Research A 2:149-168.

    Raises:
        ValueError: there are fewer than two brews.
    """
    if brews < 2:
        raise ValueError(f"an order needs two brews, got {brews}")
    # 0, 1, n-1, 2, n-2 and so on: all the differences between neighbours differ.
    first = [(step + 1) // 2 if step % 2 else (brews - step // 2) % brews for step in range(brews)]
    rows = tuple(tuple((place + shift) % brews for place in first) for shift in range(brews))
    return rows if brews % 2 == 0 else rows + tuple(row[::-1] for row in rows)


def incomplete_blocks(brews: int, cups: int) -> Rows:
    """Return sittings of fewer cups than brews, in which any two brews meet alike often.

    The design with the fewest sittings that a search finds; where none is found below it, all
    choices of so many brews. For 7 brews, 3 a sitting: 7 sittings.

    Raises:
        ValueError: not 2 to below `brews` cups, or more than 7 brews.
    """
    if not 2 <= cups < brews <= MOST_BLOCKED_BREWS:
        raise ValueError(f"no sittings of {cups} cups for {brews} brews")
    every = tuple(combinations(range(brews), cups))
    for meetings in range(1, MOST_MEETINGS + 1):
        # Both must be whole: how often a brew is served, and how many sittings that makes.
        served, rest = divmod(meetings * (brews - 1), cups - 1)
        sittings, over = divmod(served * brews, cups)
        if rest or over or sittings < brews or sittings >= len(every):
            continue
        found = _covering(every, brews, meetings)
        if found is not None:
            return found
    return every


def order_of_rows(random: np.random.Generator, rows: Rows, tasters: int) -> Rows:
    """Return a row of a design for each taster; rows and labels are shuffled.

    More tasters than rows go through the design again, in another order.
    """
    labels = random.permutation(1 + max(max(row) for row in rows))
    chosen: list[tuple[int, ...]] = []
    while len(chosen) < tasters:
        shuffled = random.permutation(len(rows))
        chosen += [tuple(int(labels[brew]) for brew in rows[at]) for at in shuffled]
    return tuple(chosen[:tasters])


def _plain(code: int) -> bool:
    hundreds, tens, ones = code // 100, code // 10 % 10, code % 10
    run = tens - hundreds == ones - tens and abs(tens - hundreds) == 1
    repeated = len({hundreds, tens, ones}) < 3
    return not run and not repeated and ones != 0 and code not in KNOWN_NUMBERS


def _covering(every: Rows, brews: int, meetings: int) -> Rows | None:
    """Return blocks in which each two brews meet so often; None where there are none."""
    wanting = np.full((brews, brews), meetings)
    return _cover(every, wanting, [])


def _cover(every: Rows, wanting: np.ndarray, chosen: list[tuple[int, ...]]) -> Rows | None:
    short = np.argwhere(np.triu(wanting, 1) > 0)
    if not len(short):
        return tuple(chosen)
    one, other = (int(at) for at in short[0])
    for block in every:
        if one not in block or other not in block or not _fits(block, wanting, chosen):
            continue
        pairs = np.ix_(block, block)
        wanting[pairs] -= 1
        found = _cover(every, wanting, [*chosen, block])
        if found is not None:
            return found
        wanting[pairs] += 1
    return None


def _fits(block: tuple[int, ...], wanting: np.ndarray, chosen: Sequence[tuple[int, ...]]) -> bool:
    # Blocks in their order, so that one set of blocks is tried once; pairs that still want meeting.
    in_order = not chosen or chosen[-1] < block
    return in_order and all(wanting[one, other] > 0 for one, other in combinations(block, 2))
