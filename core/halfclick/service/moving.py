"""What a change is expected to move at the tongue, by a person's own cups."""

from dataclasses import dataclass

import numpy as np

from halfclick.dialling.decide import Decider
from halfclick.dialling.forward import Brews, cups_of
from halfclick.dialling.grids import row_of
from halfclick.dialling.request import MARKS
from halfclick.model.advice import Noticed
from halfclick.model.cup import NOTICED_STRENGTH
from halfclick.model.recipe import Recipe
from halfclick.service.cup_request import Asked, settings_in_steps
from halfclick.service.kitchens import KitView
from halfclick.wording import Message

# A mark is said to move from so many of its ten parts on, and likely noticed from as many as marks
# of one cup scatter by (our own defaults).
MOVED_FROM = 0.4
NOTICED_FROM = 1.0
MOST_SAID = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Moves:
    """By how much the middle of each mark and of the strength moves; strength as a fraction."""

    marks: tuple[tuple[str, float], ...]
    strength: float

    @property
    def told(self) -> tuple[Message, ...]:
        """The marks that move, the most first, in a sentence; one that says none does."""
        moved = sorted(
            (one for one in self.marks if abs(one[1]) >= MOVED_FROM), key=lambda one: -abs(one[1])
        )
        said = tuple(
            Message(f"learner.{'more' if by > 0 else 'less'}_{name}")
            for name, by in moved[:MOST_SAID]
        )
        return (Message("learner.moves", {"marks": said}) if said else Message("learner.hardly"),)


def moves_of(decider: Decider, asked: Asked, before: Recipe, after: Recipe, kit: KitView) -> Moves:
    """Return what a change moves, from one recipe to another."""
    dial = asked.request.context.dial
    rows = np.stack([row_of(settings_in_steps(one, kit), dial) for one in (before, after)])
    posterior = decider.posterior
    cups = cups_of(decider.draws, Brews(rows, posterior.evidence.brews.context, posterior.middle))
    by = np.median(cups.marks[:, :, 1] - cups.marks[:, :, 0], axis=1)  # (5,)
    stronger = float(np.median(cups.strength[:, 1] - cups.strength[:, 0])) / 100.0
    return Moves(marks=tuple(zip(MARKS, by.tolist(), strict=True)), strength=stronger)


def noticed_by(moves: Moves) -> Noticed:
    """Return whether a change is likely to be tasted."""
    most = max(abs(by) for _, by in moves.marks)
    if abs(moves.strength) >= NOTICED_STRENGTH or most >= NOTICED_FROM:
        return Noticed.LIKELY
    return Noticed.UNLIKELY if most < MOVED_FROM else Noticed.UNKNOWN
