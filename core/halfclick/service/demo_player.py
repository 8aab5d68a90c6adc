"""Plays the demo's scenario through the services, as a person would over some weeks.

How its cups drain and taste is a toy of our own, so that there is something to look at; it says
nothing of real coffee, and nothing else reads it.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from random import Random

from halfclick.model.advice import Advice, Answer, Outcome
from halfclick.model.brew import Brew, Slip, SlipKind
from halfclick.model.coffee import Bag, Process, Roast
from halfclick.model.grinder import ZeroFound, ZeroReason, read_setting
from halfclick.model.kit import DripperMaterial
from halfclick.model.moves import with_setting
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.recipe import Recipe
from halfclick.model.tasting import Bed, Complaint, Marks, StrengthFelt, Verdict
from halfclick.service.advise import advise, answer
from halfclick.service.coffees import CoffeeEntry, add_coffee, change_coffee, entry_of, say_left
from halfclick.service.grinders import take_zero
from halfclick.service.kitchens import (
    KitchenEntry,
    KitView,
    change_thing,
    kit_in_use,
    set_up_kitchen,
)
from halfclick.service.plan import Planned, next_plan, planned_from
from halfclick.service.record import (
    BrewEntry,
    TastingEntry,
    correct_drained,
    correct_tasting,
    record_brew,
    record_tasting,
)
from halfclick.service.scenario import CoffeeScenario, Scenario
from halfclick.store.journal import Store

# The toy: s sooner for each step coarser, marks for each step off, and how hands scatter.
_S_A_STEP = 5.0
_MARK_A_STEP = 0.9
_SCATTER_S = 3.0


class Hand:
    """A clock that the scenario moves."""

    def __init__(self, begins: datetime) -> None:
        self.begins = begins
        self.now = begins

    def __call__(self) -> datetime:
        """Return the time it is in the scenario."""
        return self.now

    def to(self, day: int, minutes: float = 0.0) -> None:
        """Go to a day of the scenario, so many minutes after it begins."""
        self.now = self.begins + timedelta(days=day, minutes=minutes)

    def wait(self, minutes: float) -> None:
        """Let time pass."""
        self.now += timedelta(minutes=minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Turn:
    """One brew of the scenario: which coffee, which of its cups, on which day."""

    coffee: CoffeeScenario
    number: int
    day: int


class Player:
    """Plays the scenario through the services, one cup after another."""

    def __init__(self, *, store: Store, told: Scenario, hand: Hand, chance: Random) -> None:
        self._store = store
        self._told = told
        self._hand = hand
        self._chance = chance
        self._bags: dict[str, Bag] = {}
        self._changes_advised = 0

    def play(self) -> None:
        """Set up the kit, brew forty cups, and leave the shelf as it is today."""
        self._set_up()
        for count, turn in enumerate(_turns(self._told), start=1):
            if count == self._told.zero.before_brew:
                self._clean(turn.day)
            self._hand.to(turn.day, 20.0 + 35.0 * self._told.coffees.index(turn.coffee))
            self._buy(turn.coffee)
            self._cup(turn, count)
        self._finish()

    def _set_up(self) -> None:
        told = self._told.kit
        numbering = Numbering(scheme=Scheme.ROTATIONS, bases=(told.clicks_per_turn,), highest="5.0")
        set_up_kitchen(
            self._store,
            KitchenEntry(
                grinder_name=told.grinder,
                numbering=numbering,
                step_um=told.step_um,
                purge_g=told.purge_g,
                dripper_name=told.dripper,
                top_m=0.105,
                bottom_m=0.012,
                height_m=0.08,
                paper_name=told.paper,
                kettle_name=told.kettle,
                kettle_has_thermometer=True,
                water_name=told.water,
                server_name=told.server,
                server_capacity_g=told.server_capacity_g,
                altitude_m=told.altitude_m,
            ),
            clock=self._hand,
        )
        kit = self._kit()
        dripper = replace(kit.dripper, material=DripperMaterial.CERAMIC, mass_g=380.0)
        change_thing(self._store, dripper, clock=self._hand)
        if kit.water is not None:
            water = replace(kit.water, hardness_mg_l=70.0, alkalinity_mg_l=45.0)
            change_thing(self._store, water, clock=self._hand)
        if kit.server is not None:
            change_thing(self._store, replace(kit.server, empty_g=310.0), clock=self._hand)

    def _kit(self) -> KitView:
        kit = kit_in_use(self._store)
        if kit is None:
            raise ValueError("the demo has no kit")
        return kit

    def _clean(self, day: int) -> None:
        self._hand.to(day)
        take_zero(
            self._store,
            self._kit().grinder.id,
            reading_text=self._told.zero.reading,
            found=ZeroFound.FIRST_RUB,
            reason=ZeroReason.CLEANED,
            note=self._told.zero.note,
            clock=self._hand,
        )

    def _buy(self, coffee: CoffeeScenario) -> None:
        if coffee.name in self._bags:
            return
        today = self._hand().date()
        entry = CoffeeEntry(
            name=coffee.name,
            roaster=coffee.roaster,
            origin=coffee.origin,
            process=Process(coffee.process),
            roast=Roast(coffee.roast),
            altitude_m=coffee.altitude_m,
            decaf=coffee.decaf,
            note=coffee.note,
            roasted_on=today - timedelta(days=coffee.roasted_before_days),
            weight_g=coffee.weight_g,
            opened_on=today,
        )
        self._bags[coffee.name] = add_coffee(self._store, entry, clock=self._hand).value
        self._hand.wait(5.0)

    def _cup(self, turn: _Turn, count: int) -> None:
        """Brew, taste, and answer the advice: one cup from the plan to the next one."""
        planned = self._plan(turn)
        drained_s = self._drained_s(turn, planned.recipe)
        slip = _SLIPS.get(count)
        if slip is SlipKind.STALL:
            drained_s += 75.0
        water_g = planned.recipe.water_g + self._chance.choice((-1.0, 0.0, 0.0, 1.0))
        entry = BrewEntry(
            planned=planned,
            dose_g=planned.recipe.dose_g,
            water_g=water_g + (16.0 if slip is SlipKind.OVERSHOOT else 0.0),
            drained_s=drained_s + (60.0 if count in _MISREAD else 0.0),
            slips=(Slip(kind=slip, at_s=60.0, amount=_SIZES.get(slip)),) if slip else (),
            note=self._chance.choice(self._told.notes),
        )
        brew = record_brew(self._store, entry, self._kit(), clock=self._hand).value
        self._hand.wait(6.0)
        if count in _MISREAD:
            # The clock was read a minute too late: found at once, and put right.
            brew = correct_drained(self._store, brew.id, drained_s, clock=self._hand).value
        self._taste(turn, brew, count)

    def _plan(self, turn: _Turn) -> Planned:
        planned = next_plan(self._store, self._bags[turn.coffee.name].id, today=self._hand().date())
        if turn.number > 1 and planned.recipe.setting is not None:
            return planned
        kit = self._kit()
        setting = read_setting(kit.grinder, kit.zero, turn.coffee.setting)
        return planned_from(self._store, planned, with_setting(planned.recipe, setting))

    def _drained_s(self, turn: _Turn, recipe: Recipe) -> float:
        off = _off(turn.coffee, recipe)
        age_days = turn.day - turn.coffee.first_day
        toy_s = turn.coffee.drained_s - _S_A_STEP * off - turn.coffee.drift_s * age_days
        return float(round(toy_s + self._chance.gauss(0.0, _SCATTER_S)))

    def _taste(self, turn: _Turn, brew: Brew, count: int) -> None:
        stalled = any(slip.kind is SlipKind.STALL for slip in brew.slips)
        entry = self._felt(turn.coffee, _off(turn.coffee, brew.plan) - (9.0 if stalled else 0.0))
        tasting = record_tasting(self._store, brew.id, entry, clock=self._hand).value
        if count in _TASTED_AGAIN:
            self._hand.wait(4.0)
            cooler = replace(entry, words=f"{entry.words}; sweeter as it cools")
            correct_tasting(self._store, tasting.id, cooler, clock=self._hand)
        advice = advise(self._store, brew.id)
        self._hand.wait(1.0)
        if advice is not None and advice.outcome is not Outcome.NOTHING:
            self._reply(brew, advice)

    def _reply(self, brew: Brew, advice: Advice) -> None:
        self._changes_advised += advice.outcome is Outcome.CHANGE
        refuses = advice.outcome is Outcome.CHANGE and self._changes_advised in _REFUSED
        reason = self._chance.choice(self._told.refused) if refuses else ""
        said = Answer.REFUSED if refuses else Answer.ACCEPTED
        answer(self._store, brew.id, advice, said, reason=reason, clock=self._hand)

    def _felt(self, coffee: CoffeeScenario, off: float) -> TastingEntry:
        """Return what the person would say of a cup: by how far the grind is off, in a toy way."""
        off += self._chance.gauss(0.0, 0.4)
        good = abs(off) <= 2.5
        words = coffee.good_words if good else coffee.sour_words if off > 0 else coffee.bitter_words
        marks = Marks(
            sour=_mark(1.0 + _MARK_A_STEP * max(off, 0.0)),
            bitter=_mark(1.0 + _MARK_A_STEP * max(-off, 0.0)),
            harsh=_mark(_MARK_A_STEP * max(-off - 1.0, 0.0)),
            sweet=_mark(7.0 - abs(off)),
        )
        felt = StrengthFelt.WEAK if off > 6 else StrengthFelt.RIGHT
        return TastingEntry(
            marks=marks,
            strength_felt=felt,
            liking=max(min(float(round(8.4 - abs(off))), 9.0), 2.0),
            words=self._chance.choice(words),
            verdict=Verdict.KEEP if good else Verdict.CHANGE,
            bed=self._chance.choice((Bed.FLAT, Bed.FLAT, Bed.FLAT, Bed.CRATER, None)),
            complaints=(Complaint.HOLLOW,) if off > 5 else (),
            strength=round(0.0136 - 0.0002 * off, 4) if self._chance.random() < 0.3 else None,
        )

    def _finish(self) -> None:
        """Leave one bag nearly out, and put the rest of another into the freezer."""
        self._hand.to(self._told.begins_days_ago - 1, 90.0)
        nearly_out = self._bags[self._told.coffees[0].name]
        say_left(self._store, nearly_out.id, 32.0, clock=self._hand)
        for coffee in self._told.coffees:
            if coffee.frozen_after_days is not None:
                bag = self._bags[coffee.name]
                frozen_at = self._hand.begins + timedelta(
                    days=coffee.first_day + coffee.frozen_after_days
                )
                entry = replace(entry_of(self._store, bag.id), frozen_on=frozen_at.date())
                change_coffee(self._store, bag.id, entry, clock=self._hand)


# Which of the forty cups slip, are misread or tasted again; which advised changes are refused.
_SLIPS = {
    6: SlipKind.OVERSHOOT,
    22: SlipKind.STALL,
    27: SlipKind.LATE_CLOCK,
    36: SlipKind.OVERSHOOT,
}
_SIZES = {SlipKind.OVERSHOOT: 16.0, SlipKind.LATE_CLOCK: 8.0}
_MISREAD = frozenset({9, 34})
_TASTED_AGAIN = frozenset({12, 25})
_REFUSED = frozenset({2, 6})


def _turns(told: Scenario) -> list[_Turn]:
    """Return every brew in the order of the days."""
    turns = [
        _Turn(coffee=coffee, number=number + 1, day=coffee.first_day + number * coffee.every_days)
        for coffee in told.coffees
        for number in range(coffee.brews)
    ]
    return sorted(turns, key=lambda turn: (turn.day, told.coffees.index(turn.coffee)))


def _off(coffee: CoffeeScenario, recipe: Recipe) -> float:
    """Return how many steps coarser than this person's best a recipe is ground."""
    return float(recipe.setting.steps - coffee.best_steps) if recipe.setting else 0.0


def _mark(value: float) -> float:
    return max(min(float(round(value)), 10.0), 0.0)
