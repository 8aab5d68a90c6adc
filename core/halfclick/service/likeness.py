"""How alike two coffees are, for choosing which of one's own to start from."""

from dataclasses import dataclass

from halfclick.model.coffee import Coffee
from halfclick.wording import Message

# How much each trait weighs (our own default: roast moves recipes most, process next; no
# peer-reviewed support for either as a recipe).
_WEIGHTS = {"roast": 0.4, "process": 0.3, "decaf": 0.1, "origin": 0.1, "roaster": 0.1}


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """A share from 0 to 1, and which traits two coffees have in common."""

    share: float
    alike: tuple[Message, ...]


def likeness_of(one: Coffee, other: Coffee) -> Likeness:
    """Return how alike two coffees are; a trait that either does not tell counts half."""
    share = 0.0
    alike: list[Message] = []
    for trait, weight in _WEIGHTS.items():
        ours, theirs = _told(one, trait), _told(other, trait)
        if not ours or not theirs:
            share += weight / 2
        elif ours == theirs:
            share += weight
            alike.append(Message(f"alike.{trait}", {"text": ours}))
    return Likeness(share=share, alike=tuple(alike))


def _told(coffee: Coffee, trait: str) -> str:
    if trait == "decaf":
        return "decaf" if coffee.decaf else "caffeine"
    value = getattr(coffee, trait)
    return str(value).strip().casefold() if value else ""
