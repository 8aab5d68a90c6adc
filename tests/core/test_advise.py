"""Advice from the journal: whole stories from a bag to the next recipe."""

from dataclasses import replace

import pytest

from halfclick.model.advice import Answer, Outcome
from halfclick.model.brew import Mode, Slip, SlipKind
from halfclick.model.coffee import Lot, Process, Roast
from halfclick.model.grinder import read_setting
from halfclick.model.kit import DripperShape
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.recipe import Lever, Recipe, even_pours
from halfclick.model.tasting import Bed, Marks, StrengthFelt, Verdict
from halfclick.service.advise import advise, allow_two_changes, answer
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.cups import Status
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import Planned, next_plan
from halfclick.service.record import (
    BrewEntry,
    TastingEntry,
    correct_drained,
    record_brew,
    record_tasting,
)

DAY_S = 86_400


class Home:
    """A kitchen with a journal, a grinder of 25 µm a click and a steep cone."""

    def __init__(self, store, clock, **given):
        self.store, self.clock = store, clock
        entry = KitchenEntry(numbering=Numbering(scheme=Scheme.CLICKS), step_um=25.0)
        set_up_kitchen(store, replace(entry, **given), clock=clock)
        self.kit = kit_in_use(store)

    def bag(self, name, **given):
        return add_coffee(self.store, CoffeeEntry(name=name, **given), clock=self.clock).value

    def recipe(self, text="18", dose_g=15.0, water_g=240.0, **pours):
        return Recipe(
            dose_g=dose_g,
            water_g=water_g,
            temperature_c=95.0,
            setting=read_setting(self.kit.grinder, self.kit.zero, text),
            pours=even_pours(dose_g, water_g, **pours),
        )

    def brew(self, bag, recipe, drained_s=None, planned=None, **given):
        self.clock.advance(DAY_S)
        plan = planned or Planned(bag_id=bag.id, recipe=recipe, mode=Mode.EXPERIMENT)
        water_g = given.pop("water_g", plan.recipe.water_g)
        entry = BrewEntry(planned=plan, water_g=water_g, drained_s=drained_s, **given)
        return record_brew(self.store, entry, self.kit, clock=self.clock).value

    def taste(self, brew, **given):
        self.clock.advance(300)
        return record_tasting(self.store, brew.id, TastingEntry(**given), clock=self.clock).value

    def accept(self, brew, advice):
        return answer(self.store, brew.id, advice, Answer.ACCEPTED, clock=self.clock).value

    def next(self, bag):
        return next_plan(self.store, bag.id, today=self.clock().date())


@pytest.fixture
def home(store, clock):
    return Home(store, clock)


@pytest.fixture
def ilse(home):
    """Two coffees, kept at 18, that drained in 2:37 and 2:53: a band of 2:30 to 3:00."""
    for name, drained_s in (("Fell Side", 157.0), ("Gill Head", 173.0)):
        bag = home.bag(name, process=Process.WASHED, roast=Roast.LIGHT)
        brew = home.brew(bag, home.recipe(), drained_s)
        home.taste(brew, liking=8.0, verdict=Verdict.KEEP)
    return home


SHARP_AND_THIN = {"marks": Marks(sour=6.0, thin=5.0, sweet=2.0), "verdict": Verdict.CHANGE}


def test_a_sharp_thin_and_fast_cup_is_ground_two_clicks_finer(ilse, words):
    bag = ilse.bag("Tarn Hollow", process=Process.WASHED, roast=Roast.LIGHT)
    planned = ilse.next(bag)
    assert planned.recipe.setting.text == "18"
    brew = ilse.brew(bag, None, 128.0, planned=planned)
    ilse.taste(brew, **SHARP_AND_THIN)

    advice = advise(ilse.store, brew.id)
    assert advice.outcome is Outcome.CHANGE
    assert [(one.lever, one.amount) for one in advice.changes] == [(Lever.GRIND, -2.0)]
    assert (brew.plan.setting.text, advice.recipe.setting.text) == ("18", "16")
    assert replace(advice.recipe, setting=brew.plan.setting) == brew.plan
    why = words.sentences(advice.why)
    assert "Tastes sour and thin, and drained" in why
    assert "faster than your own 2:30 to 3:00 on this dripper" in why
    assert [(one.lever, one.amount) for one in advice.runner_up.changes] == [
        (Lever.TEMPERATURE, 3.0)
    ]
    assert advice.runner_up.recipe.temperature_c == 98.0

    ilse.accept(brew, advice)
    then = ilse.next(bag)
    assert (then.recipe, then.changes, then.parent_id) == (advice.recipe, advice.changes, brew.id)
    assert words.sentences(then.why) == why

    second = ilse.brew(bag, None, 156.0, planned=then)
    ilse.taste(second, marks=Marks(sweet=6.0), liking=8.0, verdict=Verdict.KEEP)
    assert advise(ilse.store, second.id).outcome is Outcome.CONFIRM
    with ilse.store.reading() as r:
        coffee_id = r.get(Lot, bag.lot_id).coffee_id
    assert coffee_history(ilse.store, coffee_id).status is Status.ONE_GOOD_CUP


def test_a_second_good_cup_is_held(ilse):
    bag = ilse.bag("Tarn Hollow")
    for _ in range(2):
        brew = ilse.brew(bag, ilse.recipe("16"), 210.0)
        ilse.taste(brew, liking=8.0, verdict=Verdict.KEEP)
    assert advise(ilse.store, brew.id).outcome is Outcome.HOLD


def test_an_overshoot_by_a_seventeenth_is_repeated_without_grind_advice(home, words):
    bag = home.bag("Long Rigg")
    over = Slip(kind=SlipKind.OVERSHOOT, amount=15.0)
    recipe = home.recipe(dose_g=16.0, water_g=256.0)
    brew = home.brew(bag, recipe, 128.0, water_g=271.0, slips=(over,))
    home.taste(brew, **SHARP_AND_THIN)
    advice = advise(home.store, brew.id)
    assert (advice.outcome, advice.changes, advice.runner_up) == (Outcome.REPEAT, (), None)
    assert advice.recipe == recipe
    assert "271" in words.sentences(advice.spoke_for)


def test_a_small_overshoot_still_moves_the_grind(home):
    bag = home.bag("Long Rigg")
    over = Slip(kind=SlipKind.OVERSHOOT, amount=3.0)
    brew = home.brew(bag, home.recipe(), 128.0, water_g=243.0, slips=(over,))
    home.taste(brew, **SHARP_AND_THIN)
    assert [one.lever for one in advise(home.store, brew.id).changes] == [Lever.GRIND]


@pytest.fixture
def marek(store, clock):
    return Home(store, clock, shape=DripperShape.FLAT_BOTTOM)


def test_sour_and_bitter_is_repeated_with_a_larger_stirred_bloom(marek, words):
    bag = marek.bag("Ash Ghyll")
    recipe = marek.recipe(dose_g=20.0, water_g=320.0, count=3, bloom_multiple=2.0)
    assert recipe.bloom_g == 40.0
    brew = marek.brew(bag, recipe, 185.0)
    marek.taste(
        brew,
        marks=Marks(sour=6.0, bitter=6.0),
        strength_felt=StrengthFelt.RIGHT,
        bed=Bed.DRY_PATCH,
        verdict=Verdict.CHANGE,
    )
    advice = advise(marek.store, brew.id)
    assert advice.outcome is Outcome.REPEAT
    assert [one.lever for one in advice.changes] == [Lever.BLOOM]
    assert (advice.recipe.bloom_g, advice.recipe.stir_bloom) == (60.0, True)
    assert advice.recipe.setting == recipe.setting
    assert (advice.recipe.water_g, advice.recipe.temperature_c) == (320.0, 95.0)
    assert "uneven" in words.sentences(advice.why)
    assert "dry patch" in words.sentences(advice.spoke_for)

    marek.accept(brew, advice)
    again = marek.brew(bag, None, 185.0, planned=marek.next(bag))
    after = {"marks": Marks(sour=2.0, bitter=4.0)}
    right = TastingEntry(strength_felt=StrengthFelt.RIGHT, **after)
    assert advise(marek.store, again.id, right).outcome is Outcome.CONFIRM
    strong = TastingEntry(strength_felt=StrengthFelt.STRONG, **after)
    found = advise(marek.store, again.id, strong)
    assert [one.lever for one in found.changes] == [Lever.RATIO]
    assert found.this_cup


def test_an_untasted_cup_has_no_advice(home):
    brew = home.brew(home.bag("Long Rigg"), home.recipe())
    assert advise(home.store, brew.id) is None


def test_marks_are_advised_on_while_they_are_typed(home):
    brew = home.brew(home.bag("Long Rigg"), home.recipe())
    assert advise(home.store, brew.id, TastingEntry()).outcome is Outcome.NOTHING
    typed = TastingEntry(marks=Marks(sour=6.0))
    assert advise(home.store, brew.id, typed).outcome is Outcome.CHANGE


def test_a_corrected_drained_time_is_what_counts(ilse):
    brew = ilse.brew(ilse.bag("Tarn Hollow"), ilse.recipe(), 128.0)
    ilse.taste(brew, **SHARP_AND_THIN)
    correct_drained(ilse.store, brew.id, 228.0, clock=ilse.clock)
    assert [one.lever for one in advise(ilse.store, brew.id).changes] == [Lever.TEMPERATURE]


def test_a_refusal_keeps_its_reason_and_the_recipe_stays(home):
    bag = home.bag("Long Rigg")
    brew = home.brew(bag, home.recipe())
    home.taste(brew, **SHARP_AND_THIN)
    advice = advise(home.store, brew.id)
    refused = answer(
        home.store, brew.id, advice, Answer.REFUSED, reason=" too fine ", clock=home.clock
    ).value
    assert refused.answer_reason == "too fine"
    assert home.next(bag).recipe == brew.plan


def test_a_kitchen_in_the_mountains_is_never_told_to_pour_above_its_boiling_point(store, clock):
    high = Home(store, clock, altitude_m=2000.0)
    brew = high.brew(high.bag("Long Rigg"), replace(high.recipe(), temperature_c=93.0), 300.0)
    high.taste(brew, marks=Marks(sour=6.0, harsh=6.0))
    advice = advise(high.store, brew.id)
    assert Lever.TEMPERATURE not in {one.lever for one in advice.changes}


def fruitless_search(home):
    bag = home.bag("Long Rigg")
    brew = home.brew(bag, home.recipe("24"))
    home.taste(brew, marks=Marks(sour=6.0), liking=4.0)
    for _ in range(3):
        home.accept(brew, advise(home.store, brew.id))
        brew = home.brew(bag, None, planned=home.next(bag))
        home.taste(brew, marks=Marks(sour=6.0), liking=4.0)
    return bag, brew


def test_three_changes_without_gain_ask_for_one_long_steep(home):
    _, brew = fruitless_search(home)
    advice = advise(home.store, brew.id)
    assert advice.outcome is Outcome.IMMERSION
    assert (advice.recipe.water_g, advice.recipe.steep_s) == (240.0, 300.0)


@pytest.mark.parametrize(("sour", "rule"), [(6.0, "steep_same"), (1.0, "steep_clean")])
def test_a_long_steep_leads_back_to_the_recipe_it_was_told_from(home, sour, rule):
    bag, brew = fruitless_search(home)
    home.accept(brew, advise(home.store, brew.id))
    steep = home.brew(bag, None, planned=home.next(bag))
    assert steep.plan.steep_s == 300.0
    home.taste(steep, marks=Marks(sour=sour), liking=5.0)
    advice = advise(home.store, steep.id)
    assert (advice.rule, advice.recipe) == (rule, brew.plan)


def test_two_changes_at_once_wait_for_the_persons_leave(home):
    brew = home.brew(home.bag("Long Rigg"), home.recipe())
    home.taste(brew, **SHARP_AND_THIN)
    assert len(advise(home.store, brew.id).changes) == 1
    allow_two_changes(home.store, True, clock=home.clock)
    assert len(advise(home.store, brew.id).changes) == 2
    allow_two_changes(home.store, False, clock=home.clock)
    assert len(advise(home.store, brew.id).changes) == 1


def test_a_person_who_seldom_marks_sour_is_heard_sooner(home):
    bag = home.bag("Long Rigg")
    for _ in range(5):
        home.taste(home.brew(bag, home.recipe()), marks=Marks(sour=1.0), verdict=Verdict.KEEP)
    brew = home.brew(bag, home.recipe())
    typed = TastingEntry(marks=Marks(sour=3.0), verdict=Verdict.CHANGE)
    assert [one.lever for one in advise(home.store, brew.id, typed).changes] == [Lever.GRIND]


def test_an_answer_holds_when_the_drained_time_is_corrected_after_it(ilse):
    bag = ilse.bag("Tarn Hollow")
    brew = ilse.brew(bag, ilse.recipe(), 128.0)
    ilse.taste(brew, **SHARP_AND_THIN)
    advice = advise(ilse.store, brew.id)
    ilse.accept(brew, advice)
    correct_drained(ilse.store, brew.id, 130.0, clock=ilse.clock)
    assert ilse.next(bag).recipe == advice.recipe


@pytest.mark.parametrize(("sour", "outcome"), [(6.0, Outcome.IMMERSION), (3.0, Outcome.NOTHING)])
def test_gain_is_read_from_the_marks_where_liking_was_not_said(home, sour, outcome):
    bag = home.bag("Long Rigg")
    brew = home.brew(bag, home.recipe("24"))
    home.taste(brew, marks=Marks(sour=6.0))
    for level in (6.0, 6.0, sour):
        home.accept(brew, advise(home.store, brew.id))
        brew = home.brew(bag, None, planned=home.next(bag))
        home.taste(brew, marks=Marks(sour=level), verdict=Verdict.CHANGE)
    assert advise(home.store, brew.id).outcome is outcome
