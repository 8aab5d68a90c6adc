"""What a plan would be like before it is brewed, by what the coffee's own cups have taught.

To hear the cups takes up to a second, and what a plan would be like some milliseconds; neither is
for the thread of a window.
"""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from halfclick.dialling.carry import learn
from halfclick.dialling.decide import Decider
from halfclick.dialling.expect import expected_at
from halfclick.dialling.grids import grids_of, row_of
from halfclick.dialling.request import MARKS, Request
from halfclick.model.recipe import Recipe
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.cup_request import asked_of, settings_in_steps
from halfclick.service.cups import cups_of_coffee
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.store.journal import Store
from halfclick.wording import Message

SHARES = (0.1, 0.5, 0.9)
# A difference in liking below this is none that a person could tell (our own default).
TOLD_FROM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What the cups of a coffee have taught on the kit in use."""

    kit: KitView
    request: Request
    decider: Decider


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """What one plan would be like, each quantity by name and in the order in which it is read.

    `gain` tells its liking against the plan as it was given; None where the two are the same.
    """

    rows: tuple[tuple[str, Message], ...]
    gain: Message | None
    rests_on: Message


def hear(store: Store, bag_id: UUID, *, today: date) -> Heard | None:
    """Return what the cups of a coffee have taught; None where none was tasted on this kit.

    Args:
        store: the journal.
        bag_id: of which bag the plan is.
        today: tells the coffee's age.
    """
    kit = kit_in_use(store)
    if kit is None:
        return None
    coffee_id = coffee_of_bag(store, bag_id).id
    with store.reading() as r:
        cups = [
            cup
            for cup in cups_of_coffee(r, coffee_id)
            if cup.tasting is not None
            and cup.brew.kit.grinder_id == kit.grinder.id
            and cup.brew.kit.dripper_id == kit.dripper.id
        ]
    if not cups:
        return None
    asked = asked_of(store, cups[-1].brew, kit, cups[-1].tasting, today=today)
    if asked is None:
        return None
    request = asked.request
    rng = np.random.default_rng(request.luck())
    decider = Decider(learn(request, rng), grids_of(request.context), rng)
    return Heard(kit=kit, request=request, decider=decider)


def what_if(heard: Heard, recipe: Recipe, given: Recipe) -> WhatIf | None:
    """Return what a plan would be like; None for one that steeps or has no setting.

    Args:
        heard: what the cups have taught, by `hear`.
        recipe: the plan as it stands.
        given: the plan as it was before a lever was moved.
    """
    if recipe.setting is None or recipe.steep_s:
        return None
    request, decider = heard.request, heard.decider
    row = row_of(settings_in_steps(recipe, heard.kit), request.context.dial)
    # The same plan has the same numbers whatever was asked before it.
    bands, marks = expected_at(decider, row, np.random.default_rng(request.luck()))
    rows = [("liking", _band("liking", bands["liking"]))]
    if request.context.strength_measured:
        percent = bands["strength_pct"]
        low, middle, high = (value / 100.0 for value in percent)
        rows.append(("strength", _band("strength", (low, middle, high))))
    rows += [(mark, _band("mark", marks[mark])) for mark in MARKS]
    return WhatIf(
        rows=tuple(rows),
        gain=_gain(heard, recipe, given),
        rests_on=Message(
            "what_if.rests_on",
            {"count": sum(_spoke(cup.seen.liking, cup.seen.marks) for cup in request.history)},
        ),
    )


def _gain(heard: Heard, recipe: Recipe, given: Recipe) -> Message | None:
    if given.setting is None or given.steep_s:
        return None
    dial = heard.request.context.dial
    pair = np.stack([row_of(settings_in_steps(one, heard.kit), dial) for one in (given, recipe)])
    if np.allclose(pair[0], pair[1]):
        return None
    liking, _ = heard.decider.likings(pair)  # (n, 2)
    low, middle, high = np.quantile(liking[:, 1] - liking[:, 0], SHARES).tolist()
    if abs(middle) < TOLD_FROM:
        return Message("what_if.gain_none", {"low": low, "high": high})
    if middle > 0:
        return Message("what_if.gain_more", {"by": middle, "low": low, "high": high})
    return Message("what_if.gain_less", {"by": -middle, "low": low, "high": high})


def _band(name: str, band: tuple[float, float, float]) -> Message:
    suffix = "_strength" if name == "strength" else ""
    values = zip(("low", "middle", "high"), band, strict=True)
    return Message(f"what_if.{name}", {f"{end}{suffix}": value for end, value in values})


def _spoke(liking: float | None, marks: dict[str, float | None] | None) -> bool:
    return liking is not None or marks is not None
