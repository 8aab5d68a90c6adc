"""What a request has taught: samples of the posterior for the coffee at hand.

Earlier coffees of the same person on the same kit come first, oldest first. Each leaves a normal
belief of what stays when the coffee changes; the coffee at hand starts from that.

Axes: n samples, d unknowns, h of them shared by coffees.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.evidence import Evidence, evidence_of, log_likelihood
from halfclick.dialling.forward import Brews
from halfclick.dialling.grids import GRIND, row_of
from halfclick.dialling.request import Context, Cup, EarlierCoffee, Request
from halfclick.dialling.sampler import Effort, sample
from halfclick.dialling.unknowns import NAMES, SHARED, UNKNOWNS, Draws, draws_of

Floats = NDArray[np.float64]
NOW = Effort(samples=1000, moves=1, last_moves=2)
# So many moves more, shared out among the cups: the first cups say the most of what the next one
# should be, and moves are cheap while they are few.
FIRST_CUPS_MOVES = 12
# Means lie about a quarter of a spread beside those of a long run; half as many samples, a third.
EARLIER = Effort(samples=600, moves=1, last_moves=1)
# From coffee to coffee beliefs of kit and person go so far back to being as wide as before any
# coffee: both drift, and some of what a coffee taught was its own (our own default, by the
# benchmark).
BACK = 0.1
MOST_EARLIER = 6
# What burrs decide: new ones leave all else of kit and person as it was learned.
OF_BURRS = ("size", "size_span", "bed_s", "choke_at", "too_fine_at", "too_fine_uneven")
# So much of a diagonal is mixed in, since few samples overstate what goes together.
SHRINK = 0.15


@dataclass(frozen=True, slots=True)
class Carried:
    """A normal belief of the shared unknowns: mean (h,) and a root of the covariance, (h, h)."""

    mean: Floats
    root: Floats

    def normals(self, own: Floats) -> Floats:
        """Return unknowns, (n, d), from normals of which the shared ones are about this belief."""
        shared = self.mean + own[:, :SHARED] @ self.root.T
        return np.concatenate((shared, own[:, SHARED:]), axis=1)


NOTHING_CARRIED = Carried(np.zeros(SHARED), np.eye(SHARED))


@dataclass(frozen=True, slots=True)
class Posterior:
    """Samples of everything unknown of the coffee at hand, with what they rest on."""

    normals: Floats  # (n, d), of the prior before any coffee
    evidence: Evidence
    middle: float

    def draws(self, count: int) -> Draws:
        """Return so many of the samples, as what they stand for."""
        every = max(len(self.normals) // count, 1)
        return draws_of(self.normals[::every][:count])


def effort_for(cups: int) -> Effort:
    """Return how hard so many cups are thought about."""
    return replace(NOW, last_moves=NOW.last_moves + FIRST_CUPS_MOVES // max(cups, 1))


def learn(request: Request, rng: np.random.Generator, effort: Effort | None = None) -> Posterior:
    """Return what all cups of a request have taught."""
    context = request.context
    effort = effort or effort_for(len(request.history))
    earlier = heard_earlier(context)
    older = [one.context for one in earlier if one.other_burrs]
    ours = [*(one.context for one in earlier if not one.other_burrs), context]
    # New burrs grind anew: their sizes are believed at the setting they were first used at.
    middles = {burrs: _middle(group[0]) for burrs, group in ((True, older), (False, ours)) if group}
    carried = NOTHING_CARRIED
    for place, one in enumerate(earlier):
        middle = middles[one.other_burrs]
        normals = _posterior(one.context, one.history, middle, carried, rng, EARLIER).normals
        carried = carried_from(normals[:, :SHARED])
        if one.other_burrs and not any(later.other_burrs for later in earlier[place + 1 :]):
            carried = _ground_anew(carried)
    middle = middles[False]
    return _posterior(context, request.history, middle, carried, rng, effort)


def _middle(context: Context) -> float:
    return float(row_of(context.start, context.dial)[GRIND])


def heard_earlier(context: Context) -> list[EarlierCoffee]:
    """Return the earlier coffees that are heard: the newest few that were brewed."""
    return [one for one in (context.earlier or []) if one.history][-MOST_EARLIER:]


def brews_of(context: Context, cups: Sequence[Cup], middle: float) -> Brews:
    """Return how cups were brewed."""
    return Brews(np.stack([row_of(cup.settings, context.dial) for cup in cups]), context, middle)


def _posterior(
    context: Context,
    cups: Sequence[Cup],
    middle: float,
    carried: Carried,
    rng: np.random.Generator,
    effort: Effort,
) -> Posterior:
    evidence = evidence_of(brews_of(context, cups, middle), cups)

    def told_by(own: Floats) -> Floats:
        return log_likelihood(evidence, draws_of(carried.normals(own)))

    own, _ = sample(told_by, len(UNKNOWNS), rng, effort)
    return Posterior(carried.normals(own), evidence, middle)


def _ground_anew(carried: Carried) -> Carried:
    """Return a belief in which whatever burrs decide is as unknown as before any coffee."""
    places = [NAMES.index(name) for name in OF_BURRS]
    mean, covariance = carried.mean.copy(), carried.root @ carried.root.T
    mean[places] = 0.0
    covariance[places, :] = 0.0
    covariance[:, places] = 0.0
    covariance[places, places] = 1.0
    return Carried(mean, np.asarray(np.linalg.cholesky(covariance), dtype=np.float64))


def carried_from(shared: Floats) -> Carried:
    """Return what samples of the shared unknowns, (n, h), leave to the next coffee.

    What nothing taught stays as wide as before any coffee, and no wider.
    """
    mean = shared.mean(axis=0)
    covariance = (1.0 - BACK) * np.cov(shared.T) + BACK * np.eye(SHARED)
    alone = np.diag(np.diag(covariance))
    covariance = (1.0 - SHRINK) * covariance + SHRINK * alone
    return Carried(mean, np.asarray(np.linalg.cholesky(covariance), dtype=np.float64))
