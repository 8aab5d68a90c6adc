"""The rule book over a real journal: switched off, own rules, and what the advice rests on."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from halfclick.errors import BadInput
from halfclick.model.advice import Act, Answer, Outcome
from halfclick.model.grinder import read_setting
from halfclick.model.kit import Water
from halfclick.model.moves import with_setting
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Complaint, Mark, Marks, Tasting, Verdict
from halfclick.service.advise import advise, answer
from halfclick.service.gains import gained
from halfclick.service.kitchens import add_thing, put_to_use
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.service.rule_book import (
    add_own_rule,
    as_entry,
    built_in,
    change_own_rule,
    is_found,
    own_rule_text,
    read_own,
    remove_own_rule,
    restore_own_rule,
    rule_book,
    switch_rule,
)
from halfclick.taste.own_text import OwnRuleEntry
from halfclick.taste.rules import ClockPlace, Felt, Move, Way

MINE = """[[rule]]
id = "my_sour"
words = "My kettle runs cold."
marks = ["sour"]
moves = [{ lever = "temperature", way = "more" }]
causes = ["own_experience"]
evidence = "measured_here"
sources = ["My own cups"]
"""
SOUR = {"marks": Marks(sour=7.0), "verdict": Verdict.CHANGE}
FLAT = {"complaints": (Complaint.FLAT,)}


@pytest.fixture
def brewed(store, clock, kit):
    """Return what brews the next cup of a bag, accepting the advice before, and tastes it."""

    def made(bag, **tasting):
        planned = next_plan(store, bag.id, today=clock().date())
        if planned.recipe.setting is None:
            setting = read_setting(kit().grinder, kit().zero, "18")
            planned = replace(planned, recipe=with_setting(planned.recipe, setting))
        brew = record_brew(store, BrewEntry(planned=planned), kit(), clock=clock).value
        clock.advance(300)
        record_tasting(store, brew.id, TastingEntry(**tasting), clock=clock)
        clock.advance(86_400)
        return brew

    return made


@pytest.fixture
def accepted(store, clock):
    """Return what accepts the advice on a brew."""

    def done(brew):
        advice = advise(store, brew.id)
        answer(store, brew.id, advice, Answer.ACCEPTED, clock=clock)
        return advice

    return done


def names(store):
    return [view.name for view in rule_book(store)]


def test_the_book_lists_every_rule_in_its_order(store):
    assert names(store) == [rule.id for rule in built_in()]
    assert all(view.is_on and view.own is None for view in rule_book(store))


def test_a_rule_switched_off_gives_no_advice_until_it_is_on_again(store, clock, coffee, brewed):
    brew = brewed(coffee("Tarn Hollow"), **SOUR)
    first = advise(store, brew.id)
    assert first.rule == "sour_fast"
    switch_rule(store, "sour_fast", on=False, clock=clock)
    assert advise(store, brew.id).rule == "sour_hotter"
    switch_rule(store, "sour_fast", on=True, clock=clock)
    assert advise(store, brew.id) == first


def test_a_rule_that_is_not_there_cannot_be_switched(store, clock, words):
    with pytest.raises(BadInput) as error:
        switch_rule(store, "hold", on=False, clock=clock)
    assert "no rule called hold" in words.sentence(error.value)


def test_an_own_rule_comes_first_and_says_whose_it_is(store, clock, coffee, brewed, words):
    add_own_rule(store, MINE, clock=clock)
    assert names(store)[0] == "my_sour"
    advice = advise(store, brewed(coffee("Tarn Hollow"), **SOUR).id)
    assert (advice.rule, advice.own_rule) == ("my_sour", True)
    assert [change.lever for change in advice.changes] == [Lever.TEMPERATURE]
    assert words.sentence(advice.title) == "sour: hotter water"
    assert "Your own rule says: My kettle runs cold." in words.sentences(advice.why)
    assert advice.runner_up.rule == "sour_fast"


def test_the_reason_of_an_own_rule_outlives_it(store, clock, coffee, brewed, accepted, words):
    own = add_own_rule(store, MINE.replace('words = "My kettle runs cold."\n', ""), clock=clock)
    bag = coffee("Tarn Hollow")
    accepted(brewed(bag, **SOUR))
    remove_own_rule(store, own.value.id, clock=clock)
    why = next_plan(store, bag.id, today=clock().date()).why
    assert "Your own rule: sour: hotter water." in words.sentences(why)


def test_a_law_stands_before_an_own_rule(store, clock, coffee, brewed):
    add_own_rule(store, MINE, clock=clock)
    brew = brewed(coffee("Tarn Hollow"), marks=Marks(sour=7.0), verdict=Verdict.KEEP)
    assert advise(store, brew.id).outcome is Outcome.CONFIRM


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (MINE.replace("my_sour", "sour_fast"), "rules.name_taken"),
        (MINE.replace("my_sour", "hold"), "rules.name_taken"),
        (MINE + MINE.replace("my_sour", "other"), "rules.one_only"),
        (MINE.replace('sour"]', 'sour"]\nact = "swap_water"'), "rules.two_things"),
        ("", "rules.no_rules"),
    ],
)
def test_an_own_rule_that_cannot_be_is_refused_and_nothing_is_kept(store, clock, text, code, words):
    with pytest.raises(BadInput) as error:
        add_own_rule(store, text, clock=clock)
    assert error.value.code == code
    assert words.sentence(error.value)
    assert names(store) == [rule.id for rule in built_in()]


def test_two_own_rules_cannot_have_one_name(store, clock):
    add_own_rule(store, MINE, clock=clock)
    with pytest.raises(BadInput, match="name_taken"):
        add_own_rule(store, MINE, clock=clock)


def test_an_own_rule_is_changed_removed_and_brought_back(store, clock):
    own = add_own_rule(store, MINE, clock=clock).value
    change_own_rule(store, own.id, MINE.replace('"more"', '"less"'), clock=clock)
    assert rule_book(store)[0].rule.moves[0].way is Way.LESS
    remove_own_rule(store, own.id, clock=clock)
    assert "my_sour" not in names(store)
    restore_own_rule(store, own.id, clock=clock)
    assert names(store)[0] == "my_sour"


def test_an_own_rule_whose_name_was_taken_since_does_not_come_back(store, clock):
    own = add_own_rule(store, MINE, clock=clock).value
    remove_own_rule(store, own.id, clock=clock)
    add_own_rule(store, MINE, clock=clock)
    with pytest.raises(BadInput, match="name_taken"):
        restore_own_rule(store, own.id, clock=clock)


def test_a_form_becomes_a_text_and_the_form_again(store):
    entry = OwnRuleEntry(
        marks=frozenset({Mark.SOUR, Mark.THIN}),
        complaints=frozenset({Complaint.GRASSY}),
        clock=ClockPlace.FAST,
        strength=Felt.WEAK,
        deed=Move(lever=Lever.GRIND, way=Way.LESS),
        words='say "so" \\ é\x7f',
    )
    text = own_rule_text(store, entry)
    rule = read_own(text)
    assert (rule.id, rule.own, as_entry(rule)) == ("mine_1", True, entry)


def test_a_form_that_says_nothing_or_does_nothing_is_refused(store):
    act = Act.RINSE_PAPER
    with pytest.raises(BadInput, match="own_any_cup"):
        own_rule_text(store, OwnRuleEntry(deed=act))
    with pytest.raises(BadInput, match="own_no_deed"):
        own_rule_text(store, OwnRuleEntry(clock=ClockPlace.FAST))
    assert read_own(own_rule_text(store, OwnRuleEntry(clock=ClockPlace.FAST, deed=act))).act is act


def test_a_rule_with_more_than_the_form_holds_is_no_form():
    assert as_entry(read_own(MINE)) is not None
    assert as_entry(read_own(MINE + "age_min = 3\n")) is None
    assert as_entry(read_own(MINE.replace('["sour"]', '["sour"]\nalso = ["thin"]'))) is None


def test_every_sought_word_must_stand_somewhere():
    assert is_found("Sour, drained fast: grind finer", "GRIND sour")
    assert not is_found("Sour, drained fast: grind finer", "sour coarser")
    assert is_found("anything", "  ")


# What the journal says around a cup.


def test_an_act_that_was_accepted_is_not_advised_again(store, coffee, brewed, accepted, words):
    bag = coffee("Tarn Hollow")
    first = accepted(brewed(bag, **FLAT))
    assert (first.outcome, first.act) == (Outcome.ACT, Act.CHECK_AGE)
    again = brewed(bag, **FLAT)
    assert "Look for the roast date" in words.sentences(again.why)
    assert advise(store, again.id).act is Act.SWAP_WATER


def test_acts_without_gain_count_as_changes_without_gain(store, coffee, brewed, accepted):
    bag = coffee("Tarn Hollow")
    seen = [accepted(brewed(bag, **FLAT, liking=4.0)) for _ in range(3)]
    assert [one.act for one in seen] == [Act.CHECK_AGE, Act.SWAP_WATER, None]
    assert advise(store, brewed(bag, **FLAT, liking=4.0).id).rule == "fruitless"


def test_another_water_than_the_last_good_cup_comes_first(store, clock, coffee, brewed, kit, words):
    bag = coffee("Tarn Hollow", roasted_on=clock().date() - timedelta(days=20))
    brewed(bag, verdict=Verdict.KEEP)
    assert advise(store, brewed(bag, **FLAT).id).rule == "flat_water"
    water = add_thing(store, Water(id=bag.id, name="spring"), clock=clock).value
    put_to_use(store, water, clock=clock)
    advice = advise(store, brewed(bag, **FLAT).id)
    assert advice.rule == "flat_new_water"
    assert "not the one of your last good cup" in words.sentences(advice.why)


def test_a_new_coffee_is_told_of_a_new_water_by_the_last_cup_that_was_kept(
    store, clock, coffee, brewed, kit
):
    brewed(coffee("Fell Side"), verdict=Verdict.KEEP)
    water = add_thing(store, Water(id=uuid4(), name="spring"), clock=clock).value
    put_to_use(store, water, clock=clock)
    assert advise(store, brewed(coffee("Gill Head"), **FLAT).id).rule == "flat_new_water"


def test_a_softened_water_is_told_by_its_figures(store, clock, coffee, brewed, kit):
    water = Water(id=kit().kitchen.id, name="tap", hardness_mg_l=8.0, alkalinity_mg_l=120.0)
    put_to_use(store, add_thing(store, water, clock=clock).value, clock=clock)
    advice = advise(store, brewed(coffee("Tarn Hollow"), complaints=(Complaint.SALTY,)).id)
    assert advice.act is Act.UNSOFTENED_WATER


def test_a_complaint_in_every_cup_of_a_lot_is_the_roast(store, coffee, brewed):
    bag = coffee("Tarn Hollow")
    grassy = {"complaints": (Complaint.GRASSY,)}
    brewed(bag, **grassy)
    assert advise(store, brewed(bag, **grassy).id).outcome is Outcome.CHANGE
    assert advise(store, brewed(bag, **grassy).id).rule == "grassy_lot"


def test_a_long_steep_looks_at_the_other_coffees_of_the_kitchen(store, coffee, brewed, accepted):
    for name in ("Fell Side", "Gill Head"):
        brewed(coffee(name), **SOUR)
    bag = coffee("Tarn Hollow")
    dull = {"marks": Marks(harsh=7.0), "liking": 3.0, "verdict": Verdict.CHANGE}
    assert any(accepted(brewed(bag, **dull)).outcome is Outcome.IMMERSION for _ in range(8))
    steep = brewed(bag, **dull)
    assert advise(store, steep.id).rule == "steep_kitchen"


def test_where_other_coffees_are_good_a_long_steep_blames_this_one(store, coffee, brewed, accepted):
    brewed(coffee("Fell Side"), verdict=Verdict.KEEP)
    bag = coffee("Tarn Hollow")
    dull = {"marks": Marks(harsh=7.0), "liking": 3.0, "verdict": Verdict.CHANGE}
    assert any(accepted(brewed(bag, **dull)).outcome is Outcome.IMMERSION for _ in range(8))
    advice = advise(store, brewed(bag, **dull).id)
    assert (advice.rule, advice.outcome) == ("steep_coffee", Outcome.STOP)


@pytest.mark.parametrize(
    ("before", "after", "better"),
    [
        ({"flat", "salty"}, {"salty"}, True),
        ({"flat"}, {"flat"}, False),
        ({"flat"}, {"salty"}, False),
        (set(), {"salty"}, None),
    ],
)
def test_a_complaint_that_is_gone_is_a_gain(before, after, better):
    one, other = (
        Tasting(
            id=uuid4(),
            brew_id=uuid4(),
            tasted_at=datetime(2026, 11, 25, tzinfo=UTC),
            marks=Marks(),
            complaints=tuple(Complaint(word) for word in words),
        )
        for words in (before, after)
    )
    assert gained(one, other) is better
