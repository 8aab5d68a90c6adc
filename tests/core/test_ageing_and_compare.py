"""A bag followed as it ages, and two cups side by side: no one change is blamed among several."""

from uuid import uuid4

import pytest
from scipy import stats
from story_drift import AGES, LIKINGS, brew_the_bag

from halfclick.model.coffee import Process
from halfclick.model.grinder import read_setting
from halfclick.model.kit import Water
from halfclick.model.moves import with_setting
from halfclick.model.tasting import Marks
from halfclick.service.ageing import bag_ageing, falls_from
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.compare import compare
from halfclick.service.kitchens import add_thing, put_to_use
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.service.trend import trend_of


@pytest.fixture
def drifted(store, clock, kit, words):
    """Return what brews the bag of the story, and what is said of it then."""

    def told(**changed):
        coffee_id = brew_the_bag(store, clock, kit, **changed)
        return bag_ageing(store, coffee_id)

    return told


def test_a_bag_that_drifts_is_told_with_its_day_and_nothing_else_blamed(drifted, words):
    ageing = drifted()
    said = words.sentences(ageing.said)
    assert [point.age_days for point in ageing.points] == list(AGES)
    assert "liking falls from about day 20" in said
    assert "the drain gets quicker by about 1.1 s a day" in said
    assert "no other recorded change" in said
    proposed = words.sentences(ageing.proposals)
    assert "one step finer" in proposed
    assert "aroma will not come back" in proposed
    assert "by day 40" in proposed


def test_another_water_on_day_21_makes_two_things_and_neither_is_blamed(drifted, words):
    ageing = drifted(new_water_on=21)
    said = words.sentences(ageing.said)
    assert "two things changed" in said
    assert "the water used changed on day 21" in said
    assert "Neither can be blamed" in said
    assert "no other recorded change" not in said
    assert "finer" not in words.sentences(ageing.proposals)


@pytest.mark.parametrize("thing", ["setting", "zero"])
def test_another_setting_or_zero_is_a_second_thing_too(drifted, words, thing):
    said = words.sentences(drifted(other=thing, other_on=21).said)
    assert "two things changed" in said
    assert {"setting": "the setting", "zero": "zero"}[thing] in said


def test_too_few_cups_say_only_how_many_it_takes(store, clock, kit, words):
    coffee_id = brew_the_bag(store, clock, kit, cups=7)
    ageing = bag_ageing(store, coffee_id)
    assert (ageing.liking, ageing.drained, ageing.proposals) == (None, None, ())
    assert "too few" in words.sentences(ageing.said)


def test_scatter_alone_is_no_drift(store, clock, kit, words):
    coffee_id = brew_the_bag(
        store, clock, kit, likings=(7, 8, 7, 6, 8, 7, 7, 6, 8, 7, 7, 8, 6, 7), drains=(160, 171) * 7
    )
    assert "no drift" in words.sentences(bag_ageing(store, coffee_id).said)


def test_a_bag_without_a_roast_date_asks_for_it(store, clock, kit, cup, coffee, words):
    bag = coffee("Tarn Hollow")
    cup(bag, "20")
    told = bag_ageing(store, coffee_of_bag(store, bag.id).id)
    assert "roast date" in words.sentences(told.said)
    assert told.points == ()


def test_the_trend_is_the_one_an_independent_library_finds():
    # scipy.stats.theilslopes and scipy.stats.kendalltau, asymptotic.
    for ys in (LIKINGS, [float(160 - age + age % 3) for age in AGES], (3, 1, 4, 1, 5, 9, 2, 6, 5)):
        xs = AGES[: len(ys)]
        trend = trend_of(xs, ys)
        assert trend.slope == pytest.approx(stats.theilslopes(ys, xs).slope)
        expected = stats.kendalltau(xs, ys, method="asymptotic").pvalue
        assert trend.p == pytest.approx(expected, abs=1e-9)


def test_no_trend_is_told_of_values_that_are_all_the_same():
    assert trend_of((1, 2, 3), (5, 5, 5)) is None
    assert trend_of((1, 1, 2), (4, 5, 6)) is None
    assert falls_from(()) is None


# Two cups


@pytest.fixture
def pair(store, clock, coffee, kit):
    """Return what brews two cups of one bag and compares them."""

    def compared(setting="20", water=None, wait_days=1, **tasted):
        bag = coffee("Tarn Hollow", process=Process.WASHED, roasted_on=clock().date())
        brews = []
        for text in ("20", setting):
            planned = next_plan(store, bag.id, today=clock().date())
            put = read_setting(kit().grinder, kit().zero, text)
            planned = planned_from(store, planned, with_setting(planned.recipe, put))
            brews.append(record_brew(store, BrewEntry(planned=planned), kit(), clock=clock).value)
            clock.advance(86_400 * wait_days)
            if water is not None and len(brews) == 1:
                add_thing(store, water, clock=clock)
                put_to_use(store, water, clock=clock)
        entry = TastingEntry(**tasted)
        record_tasting(store, brews[1].id, entry, clock=clock)
        return compare(store, brews[0].id, brews[1].id)

    return compared


def test_what_differs_comes_first_and_one_change_is_named(pair, words):
    found = pair(setting="18", liking=7.0, marks=Marks(sour=3.0))
    assert words.sentence(found.said) == "One recorded thing changed: the setting."
    differing = [line.code for line in found.lines if line.differs]
    assert differing == [line.code for line in found.lines][: len(differing)]
    assert differing == ["setting", "liking", "mark_sour", "age"]
    by_code = {line.code: line for line in found.lines}
    assert (by_code["setting"].one, by_code["setting"].other) == ("20", "18")
    assert not by_code["dose"].differs


def test_two_things_changed_are_both_named_and_neither_blamed(pair, words):
    water = Water(id=uuid4(), name="bottled")
    said = words.sentence(pair(setting="18", water=water).said)
    assert "2 recorded things changed: the setting, the water used" in said
    assert "None of them alone" in said


def test_a_week_of_age_is_a_thing_that_changed(pair, words):
    assert "the age of the bag" in words.sentence(pair(wait_days=7).said)
    assert "No recorded thing changed" in words.sentence(pair().said)


def test_every_line_of_a_comparison_has_a_word(pair, words):
    for line in pair(setting="18", liking=7.0, words="plum").lines:
        assert words(f"compare.row_{line.code}")
