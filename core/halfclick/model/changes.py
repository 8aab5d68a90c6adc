"""What one change says of itself, and the levers a change holds still."""

from halfclick.model.recipe import Change, Lever
from halfclick.wording import Message

# One idea each, though two levers move: the only pairs an advice may make by itself.
DECLARED_PAIRS = (frozenset({Lever.GRIND, Lever.RATIO}),)


def is_one_idea(changes: tuple[Change, ...]) -> bool:
    """Return whether changes are one lever, or one declared pair."""
    levers = frozenset(change.lever for change in changes)
    if len(levers) != len(changes):
        return False
    return len(changes) <= 1 or levers in DECLARED_PAIRS


def told(change: Change) -> Message:
    """Return a change as a message, e.g. "2 steps finer" or "3 °C hotter"."""
    size = abs(change.amount)
    way = "more" if change.amount > 0 else "less"
    if change.lever is Lever.POURS and change.amount == 0:
        return Message("change.pours_moved")
    if change.lever in {Lever.GRIND, Lever.POURS}:
        return Message(f"change.{change.lever.value}_{way}", {"count": round(size)})
    unit = {
        Lever.RATIO: "size",
        Lever.TEMPERATURE: "size_c",
        Lever.POUR_RATE: "size_g_s",
        Lever.BLOOM: "size",
    }[change.lever]
    if change.lever is Lever.BLOOM and change.amount == 0:
        return Message("change.bloom_stirred")
    return Message(f"change.{change.lever.value}_{way}", {unit: size})
