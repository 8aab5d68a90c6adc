"""Both voices on a cup, from the journal; the service asks what the door would be asked."""

from dataclasses import asdict, replace
from datetime import date

import pytest

from halfclick.commands.dial import reply_to
from halfclick.dialling.request import Settings
from halfclick.model.advice import LEARNER, Act, Answer, Outcome
from halfclick.model.brew import Mode
from halfclick.model.coffee import Roast
from halfclick.model.grinder import ZeroFound, ZeroReason, read_setting
from halfclick.model.moves import differences
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.recipe import Recipe, even_pours
from halfclick.model.tasting import Bed, Marks, Verdict
from halfclick.service.advise import advise, allow_two_changes, answer
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.cup_request import asked_of
from halfclick.service.grinders import take_zero
from halfclick.service.kitchens import KitchenEntry, kit_in_use, kit_of, set_up_kitchen
from halfclick.service.next_brew import Side, advise_by_cups
from halfclick.service.plan import Planned, next_plan, planned_from
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.service.said_before import said_in
from halfclick.service.sides import Weighed, sided

TODAY = date(2026, 11, 25)
SOUR = Marks(sour=7.0, bitter=1.0, thin=4.0, harsh=1.0, sweet=3.0)


class Home:
    """A kitchen with a journal whose cups are brewed a day apart."""

    def __init__(self, store, clock):
        self.store, self.clock = store, clock
        entry = KitchenEntry(numbering=Numbering(scheme=Scheme.CLICKS), step_um=25.0)
        set_up_kitchen(store, entry, clock=clock)
        self.kit = kit_in_use(store)

    def bag(self, name):
        entry = CoffeeEntry(name=name, roast=Roast.LIGHT)
        return add_coffee(self.store, entry, clock=self.clock).value

    def cup(self, bag, text="18", drained_s=150.0, water_g=240.0, temperature_c=None, **taste):
        self.clock.advance(86_400)
        kit = kit_in_use(self.store)
        recipe = Recipe(
            dose_g=15.0,
            water_g=240.0,
            temperature_c=93.0,
            setting=read_setting(kit.grinder, kit.zero, text),
            pours=even_pours(15.0, 240.0),
        )
        planned = Planned(bag_id=bag.id, recipe=recipe, mode=Mode.EXPERIMENT)
        entry = BrewEntry(
            planned=planned, water_g=water_g, drained_s=drained_s, temperature_c=temperature_c
        )
        brew = record_brew(self.store, entry, kit, clock=self.clock).value
        if taste:
            record_tasting(self.store, brew.id, TastingEntry(**taste), clock=self.clock)
        return brew

    def asked(self, brew):
        kit = kit_of(self.store, brew.kit)
        voices = advise_by_cups(self.store, brew.id, today=TODAY)
        with self.store.reading() as r:
            from halfclick.service.cups import cups_of_bag

            tasting = cups_of_bag(r, brew.bag_id)[-1].tasting
        return asked_of(self.store, brew, kit, tasting, today=TODAY), voices


@pytest.fixture
def home(store, clock):
    return Home(store, clock)


def test_the_door_and_the_window_propose_the_same(home, words):
    first = home.bag("Fell Beck")
    home.cup(first, marks=SOUR, liking=4.0)
    home.cup(first, "15", 175.0, marks=Marks(sour=3.0, sweet=6.0), liking=7.0)
    second = home.bag("Tarn Hollow")
    home.cup(second, "16", 140.0, marks=SOUR, liking=4.0)
    last = home.cup(second, "14", 160.0, marks=Marks(sour=5.0, thin=2.0), liking=5.0)
    asked, voices = home.asked(last)
    assert len(asked.request.context.earlier) == 1
    line = msgspec_json(asked.request)
    reply = reply_to(line, words)
    assert reply["next"] == asdict(voices.proposal.settings)
    assert reply["best"] == asdict(voices.proposal.best)
    assert reply["confidence"] == pytest.approx(voices.proposal.confidence, abs=1e-4)
    assert reply["id"] == str(last.id)


def msgspec_json(request) -> bytes:
    import msgspec

    return msgspec.json.encode(request)


def test_a_law_comes_before_whatever_the_cups_say(home):
    bag = home.bag("Fell Beck")
    brew = home.cup(bag, water_g=290.0, marks=SOUR, liking=4.0)  # not what was planned
    voices = advise_by_cups(home.store, brew.id, today=TODAY)
    assert voices.side is Side.RULES
    assert voices.is_bound
    assert voices.advice.outcome is Outcome.REPEAT


def test_a_cup_that_is_kept_is_not_changed(home):
    brew = home.cup(home.bag("Fell Beck"), marks=Marks(sour=1.0), liking=8.0, verdict=Verdict.KEEP)
    voices = advise_by_cups(home.store, brew.id, today=TODAY)
    assert voices.advice.outcome is Outcome.CONFIRM


def test_both_voices_say_why_one_has_it(home):
    bag = home.bag("Fell Beck")
    home.cup(bag, marks=SOUR, liking=4.0)
    brew = home.cup(bag, "17", 155.0, marks=SOUR, liking=4.0)
    voices = advise_by_cups(home.store, brew.id, today=TODAY)
    assert voices.cups is not None
    assert voices.why
    chances = voices.why[0].values
    assert 0.0 <= chances["cups_share"] <= 1.0
    assert voices.advice.why[-1] == voices.why[0]


def test_an_untasted_cup_has_no_voice(home):
    assert advise_by_cups(home.store, home.cup(home.bag("Fell Beck")).id, today=TODAY) is None


def test_cups_of_older_burrs_tell_of_the_person_and_not_of_the_grinder(home):
    bag = home.bag("Fell Beck")
    home.cup(bag, marks=SOUR, liking=4.0)
    take_zero(
        home.store,
        home.kit.grinder.id,
        reading_text="",
        found=ZeroFound.BURRS_LOCK,
        reason=ZeroReason.NEW_BURRS,
        clock=home.clock,
    )
    brew = home.cup(bag, "17", 150.0, marks=SOUR, liking=4.0)
    asked, _ = home.asked(brew)
    assert [one.id for one in asked.brews] == [brew.id]
    (earlier,) = asked.request.context.earlier
    assert earlier.other_burrs
    assert earlier.history[0].seen.liking == 4.0


def test_words_alone_are_ticks_and_what_was_not_named_is_told(home):
    bag = home.bag("Fell Beck")
    home.cup(bag, words="nothing odd", liking=5.0)
    home.cup(bag, marks=Marks(sour=5.0), words="sour", liking=5.0)
    brew = home.cup(bag, liking=5.0)
    asked, _ = home.asked(brew)
    assert [cup.seen.words for cup in asked.request.history] == [[], ["sour"], None]
    assert all(not any((cup.seen.marks or {}).values()) for cup in asked.request.history)


def test_how_the_bed_looked_is_told_where_somebody_looked(home):
    bag = home.bag("Fell Beck")
    home.cup(bag, marks=Marks(sour=6.0), bed=Bed.TILTED)
    home.cup(bag, marks=Marks(sour=6.0), bed=Bed.FLAT)
    brew = home.cup(bag, marks=Marks(sour=6.0))
    asked, _ = home.asked(brew)
    assert [cup.seen.bed_even for cup in asked.request.history] == [False, True, None]


def test_no_cup_was_hotter_than_water_boils(home):
    bag = home.bag("Fell Beck")
    brew = home.cup(bag, temperature_c=101.0, marks=SOUR, liking=4.0)
    asked, _ = home.asked(brew)
    assert asked.request.history[0].settings.water_c == pytest.approx(100.0, abs=0.1)


def test_a_person_who_allows_two_changes_is_asked_for_two_at_most(home):
    brew = home.cup(home.bag("Fell Beck"), marks=SOUR, liking=4.0)
    assert home.asked(brew)[0].request.changes_at_most == 1
    allow_two_changes(home.store, True, clock=home.clock)
    assert home.asked(brew)[0].request.changes_at_most == 2


def test_where_no_rule_speaks_the_cups_do_but_not_of_a_cup_nobody_spoke_of(home):
    bag = home.bag("Fell Beck")
    brew = home.cup(bag, liking=4.0)
    voices = advise_by_cups(home.store, brew.id, today=TODAY)
    assert voices.rules.outcome is Outcome.NOTHING
    assert voices.is_cups
    silent = home.cup(bag, verdict=Verdict.CHANGE)
    assert not advise_by_cups(home.store, silent.id, today=TODAY).is_cups


def test_what_the_cups_expect_goes_with_the_advice_and_its_brew(home):
    bag = home.bag("Fell Beck")
    brew = home.cup(bag, marks=SOUR, liking=4.0)
    advice = advise_by_cups(home.store, brew.id, today=TODAY).advice
    answer(home.store, brew.id, advice, Answer.ACCEPTED, clock=home.clock)
    planned = next_plan(home.store, bag.id, today=TODAY)
    said = said_in(planned.why)
    low, high = said["liking"]
    assert 1.0 <= low < high <= 9.0
    assert {"time_s", "strength", "sour", "sweet"} <= set(said)


def test_a_change_from_an_earlier_cup_is_counted_against_that_cup(home):
    bag = home.bag("Fell Beck")
    first = home.cup(bag, "18", marks=SOUR, liking=5.0)
    last = home.cup(bag, "12", marks=SOUR, liking=2.0)
    recipe = replace(first.plan, temperature_c=95.0)
    advice = replace(
        advise_by_cups(home.store, last.id, today=TODAY).rules,
        rule=LEARNER,
        recipe=recipe,
        changes=differences(first.plan, recipe),
    )
    answer(home.store, last.id, advice, Answer.ACCEPTED, clock=home.clock)
    planned = next_plan(home.store, bag.id, today=TODAY)
    assert planned.parent_id == first.id
    assert planned_from(home.store, planned, planned.recipe).changes == advice.changes


def weighed(cups, rules, cups_steps=1.0, rules_steps=1.0):
    return Weighed(cups=cups, rules=rules, cups_steps=cups_steps, rules_steps=rules_steps)


def test_within_noise_the_rule_stands_and_the_nearer_one_sooner():
    assert not weighed(0.55, 0.50).is_clear
    assert weighed(0.55, 0.45).is_clear
    assert not weighed(0.55, 0.45, cups_steps=4.0).is_clear
    assert weighed(0.16, 0.05, cups_steps=8.0).is_clear


def test_settings_are_steps_from_the_zero_in_force(home):
    brew = home.cup(home.bag("Fell Beck"), marks=SOUR)
    asked, _ = home.asked(brew)
    cup = asked.request.history[0]
    assert cup.settings == Settings(
        setting=18.0, ratio=16.0, water_c=93.0, pour_g_s=5.0, bloom_x=3.0, bloom_s=45.0, swirl=0.0
    )
    assert cup.seen.time_s == 150.0
    assert asked.request.context.dial.finer == "lower"


def test_a_second_look_that_turns_says_so(home):
    rules = replace(advised(home), outcome=Outcome.CHANGE, rule="thin_alone")
    cups = replace(rules, recipe=replace(rules.recipe, temperature_c=91.0), rule=LEARNER)
    found = {
        "learner.sides_with_cups": weighed(0.5, 0.3),
        "learner.sides_with_rules": weighed(0.5, 0.48),
        "learner.too_far": weighed(0.5, 0.42, cups_steps=4.0),
        "learner.second_look": weighed(0.2, 0.4),
    }
    assert {code: sided(rules, cups, one)[1].code for code, one in found.items()} == {
        code: code for code in found
    }


def test_three_changes_without_gain_are_steeped_unless_the_cups_go_on(home):
    rules = replace(advised(home), outcome=Outcome.IMMERSION, rule="fruitless")
    cups = replace(rules, outcome=Outcome.CHANGE, rule=LEARNER)
    assert sided(rules, cups, weighed(0.4, 0.1))[0] is Side.CUPS
    assert sided(rules, cups, weighed(0.1, 0.1))[0] is Side.RULES


def test_what_moves_no_lever_is_the_rules_own(home):
    rules = replace(advised(home), outcome=Outcome.ACT, rule="papery", act=Act.RINSE_PAPER)
    cups = replace(rules, outcome=Outcome.CHANGE, rule=LEARNER, act=None)
    assert sided(rules, cups, weighed(0.9, 0.1))[0] is Side.RULES


def advised(home):
    brew = home.cup(home.bag("Fell Beck"), marks=SOUR, liking=4.0)
    return advise(home.store, brew.id)


def test_no_pour_is_looked_at_that_would_run_into_the_next(home):
    bag = home.bag("Fell Beck")
    asked, _ = home.asked(home.cup(bag, liking=4.0))
    low, _, step = asked.request.context.levers["pour_g_s"]
    pours = asked.brews[-1].plan.pours

    def ends_s(rate_g_s: float) -> list[float]:
        begun_g = [0.0, *(pour.until_g for pour in pours)]
        return [
            pour.start_s + (pour.until_g - before_g) / rate_g_s
            for before_g, pour in zip(begun_g, pours, strict=False)
        ]

    starts_s = [pour.start_s for pour in pours[1:]]
    assert all(end <= start for end, start in zip(ends_s(low), starts_s, strict=False))
    # And no slower pour that would have had the time is left out.
    assert any(end > start for end, start in zip(ends_s(low - step), starts_s, strict=False))
