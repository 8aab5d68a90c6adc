"""What a cup is believed to have lacked: more or less drawn out, stronger or weaker, more even."""

from dataclasses import dataclass

import numpy as np

from halfclick.dialling.decide import Decider
from halfclick.dialling.forward import Brews, cups_of

# A leaning is told from this chance on (our own default).
TOLD_FROM = 0.65
# Unevenness is told where it costs this many points of liking (our own default).
UNEVEN_COST = 0.6


@dataclass(frozen=True, slots=True)
class Leaning:
    """The chances that a cup was drawn out too far, and too strong; what its unevenness cost."""

    too_far: float
    too_strong: float
    uneven_cost: float

    def told(self) -> list[tuple[str, float]]:
        """Return what is sure enough to tell, the surest first: a code's end and its chance."""
        found = [
            ("too_far", self.too_far),
            ("too_little", 1.0 - self.too_far),
            ("too_strong", self.too_strong),
            ("too_weak", 1.0 - self.too_strong),
        ]
        return sorted((one for one in found if one[1] >= TOLD_FROM), key=lambda one: -one[1])


def leaning_at(decider: Decider, place: int) -> Leaning:
    """Return what the cup at a place in the history is believed to have lacked."""
    evidence = decider.posterior.evidence
    brews = Brews(
        evidence.brews.rows[place][None], evidence.brews.context, decider.posterior.middle
    )
    cup = cups_of(decider.draws, brews)
    cost = decider.draws["uneven_costs"] * np.maximum(cup.uneven, 0.0)
    return Leaning(
        too_far=float(np.mean(cup.more > 0.0)),
        too_strong=float(np.mean(cup.stronger > 0.0)),
        uneven_cost=float(np.mean(cost)),
    )
