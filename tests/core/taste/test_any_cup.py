"""Whatever the cup, the advice moves one idea, inside the limits, and has words for it."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from halfclick.model.advice import Act, Outcome
from halfclick.model.changes import is_one_idea
from halfclick.model.coffee import Process, Roast
from halfclick.model.cup import beverage_g
from halfclick.model.kit import DripperShape, PaperKind
from halfclick.model.moves import differences
from halfclick.model.recipe import Change, Lever, even_pours
from halfclick.model.tasting import Bed, Complaint, Mark, Marks, Verdict
from halfclick.taste.diagnosis import diagnose
from halfclick.taste.fitting import fits
from halfclick.taste.rules import FAULTS, ClockPlace, Felt
from halfclick.taste.suspects import Others, WaterTrait
from halfclick.wording import open_wording

WORDS = open_wording()
LEVEL = st.none() | st.floats(0, 10)


@st.composite
def recipes(draw, bench):
    dose_g = draw(st.floats(10, 40))
    water_g = float(round(dose_g * draw(st.floats(12, 20))))
    pours = even_pours(
        dose_g,
        water_g,
        count=draw(st.integers(1, 5)),
        bloom_multiple=draw(st.floats(1.5, 4)),
        rate_g_s=draw(st.floats(2, 10)),
    )
    return bench.recipe(
        dose_g=dose_g,
        water_g=water_g,
        pours=pours,
        temperature_c=draw(st.none() | st.floats(80, 95)),
        setting=draw(st.none() | st.just(bench.setting(18))),
        stir_bloom=draw(st.booleans()),
    )


def surroundings(recipe):
    """Return what else the journal may say around a cup."""
    some_words = st.frozensets(st.sampled_from(Complaint), max_size=3)
    return st.fixed_dictionaries(
        {
            "complaints": some_words,
            "persisting": some_words,
            "acts_done": st.frozensets(st.sampled_from(Act), max_size=6),
            "waters": st.frozensets(st.sampled_from(WaterTrait), max_size=3),
            "roast": st.none() | st.sampled_from(Roast),
            "process": st.none() | st.sampled_from(Process),
            "paper": st.none() | st.sampled_from(PaperKind),
            "others": st.none() | st.sampled_from(Others),
            "age_days": st.none() | st.integers(0, 60),
            "steeped_from": st.none() | st.just(recipe),
        }
        | {
            name: st.booleans()
            for name in ("clean_before", "stalled_before", "water_changed", "steeped_before")
        }
    )


@st.composite
def cups(draw, bench):
    clock = draw(st.sampled_from(ClockPlace))
    shape = draw(st.sampled_from(DripperShape))
    finer, coarser = (draw(st.none() | st.just(bench.setting(steps))) for steps in (16, 20))
    recipe = draw(recipes(bench))
    limits = bench.limits(
        boiling_c=draw(st.floats(95, 100)),
        shape=shape,
        finer=finer,
        coarser=coarser,
        half_finer=draw(st.none() | st.just(bench.setting(17))),
        half_coarser=draw(st.none() | st.just(bench.setting(19))),
        capacity_g=draw(st.none() | st.floats(beverage_g(recipe.water_g, recipe.dose_g), 900)),
        room_g=draw(st.none() | st.floats(20, 600)),
    )
    marks = Marks(
        sour=draw(LEVEL), bitter=draw(LEVEL), thin=draw(LEVEL), harsh=draw(LEVEL), sweet=draw(LEVEL)
    )
    change = st.builds(Change, lever=st.sampled_from(Lever), amount=st.sampled_from([-2.0, 2.0]))
    case = bench.case(
        clock=clock,
        felt=draw(st.sampled_from(Felt)),
        marks=marks,
        recipe=recipe,
        shape=shape,
        liking=draw(st.none() | st.floats(1, 9)),
        verdict=draw(st.none() | st.sampled_from(Verdict)),
        stalled=draw(st.booleans()),
        slipped=draw(st.booleans()),
        weight=draw(st.floats(0, 1)),
        bed=draw(st.none() | st.sampled_from(Bed)),
        last_changes=tuple(draw(st.lists(change, max_size=1))),
        fruitless=draw(st.integers(0, 4)),
        good_before=draw(st.booleans()),
        **draw(surroundings(recipe)),
    )
    return case, limits


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_any_cup_gets_one_idea_inside_the_limits_in_words(bench, data):
    case, limits = data.draw(cups(bench))
    advice = diagnose(case, limits, bench.rules)
    before, after = case.recipe, advice.recipe
    assert is_one_idea(advice.changes)
    if advice.outcome is Outcome.CHANGE:
        assert advice.changes
    if advice.outcome in {Outcome.ACT, Outcome.STOP}:
        assert advice.changes == ()
    assert (advice.act is not None) == (advice.outcome is Outcome.ACT)
    if advice.outcome is Outcome.IMMERSION:
        assert after.steep_s is not None
    else:
        assert advice.changes == differences(before, after)
        assert after.dose_g == before.dose_g
    _assert_inside(before, after, limits)
    if advice.runner_up is not None:
        second = advice.runner_up
        assert is_one_idea(second.changes)
        assert bool(second.changes) != (second.act is not None)
        _assert_inside(before, second.recipe, limits)
        assert (second.changes, second.act) != (advice.changes, advice.act)
    _assert_worded(advice, WORDS)


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_any_cup_keeps_the_laws_or_its_rule_names_the_exception(bench, data):
    case, limits = data.draw(cups(bench))
    advice = diagnose(case, limits, bench.rules)
    rule = next((one for one in bench.rules if one.id == advice.rule), None)
    levers = {change.lever for change in advice.changes}
    if case.slipped:
        assert Lever.GRIND not in levers
    if case.is_good and not case.departures:
        assert advice.outcome in {Outcome.HOLD, Outcome.CONFIRM}
    if rule is None or rule.exception is not None:
        return
    said = case.faults or case.complaints
    if not said and case.felt in {Felt.WEAK, Felt.STRONG} and not rule.steeped:
        assert levers == {Lever.RATIO}, rule.id
    agrees, disagrees = _sides(case)
    if disagrees and not agrees:
        assert Lever.GRIND not in levers, rule.id


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_where_taste_and_clock_agree_the_grind_comes_first_or_the_rule_names_its_exception(
    bench, data
):
    case, _ = data.draw(cups(bench))
    agrees, disagrees = _sides(case)
    if not case.faults or not agrees or disagrees or case.steeped_from is not None:
        return
    first = next(rule for rule in bench.rules if fits(rule, case))
    assert Lever.GRIND in first.levers or first.exception is not None, first.id


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_a_word_said_of_an_immersion_moves_neither_grind_nor_heat_up(bench, data):
    # Liang, Chan & Ristenpart (2021): near balance neither grind nor 80 to 99 C moves extraction.
    case, limits = data.draw(cups(bench))
    case = replace(case, shape=DripperShape.IMMERSION, marks=Marks(), there=frozenset())
    advice = diagnose(case, replace(limits, shape=DripperShape.IMMERSION), bench.rules)
    rule = next((one for one in bench.rules if one.id == advice.rule), None)
    if rule is not None and rule.complaints:
        assert not {(one.lever, one.amount > 0) for one in advice.changes} & {
            (Lever.GRIND, False),
            (Lever.GRIND, True),
            (Lever.TEMPERATURE, True),
        }


def _sides(case):
    """Return whether some fault agrees with the clock, and whether some disagrees."""
    little = bool(case.there & {Mark.SOUR}) or bool(
        not case.faults & set(FAULTS)
        and case.complaints & {Complaint.GRASSY, Complaint.SALTY, Complaint.HOLLOW}
    )
    much = bool(case.there & {Mark.BITTER, Mark.HARSH}) or bool(
        not case.faults & set(FAULTS) and case.complaints & {Complaint.MUDDY, Complaint.SMOKY}
    )
    fast, slow = case.clock is ClockPlace.FAST, case.clock is ClockPlace.SLOW
    return (little and fast) or (much and slow), (little and slow) or (much and fast)


def _assert_inside(before, after, limits):
    if after.temperature_c is not None and after.temperature_c != before.temperature_c:
        assert 80 <= after.temperature_c <= limits.boiling_c
    if after.setting != before.setting:
        reachable = (limits.finer, limits.coarser, limits.half_finer, limits.half_coarser)
        assert after.setting in reachable
    if limits.capacity_g is not None:
        assert beverage_g(after.water_g, after.dose_g) <= limits.capacity_g + 1


def _assert_worded(advice, words):
    said = [advice.why, advice.spoke_for, advice.spoke_against, advice.expect, advice.this_cup]
    for messages in said:
        assert "{" not in words.sentences(messages)
    assert words.sentences(advice.why)
    for one in (advice.mind_changer, advice.contested, advice.title):
        assert one is None or words.sentence(one)
    assert words(f"outcome.{advice.outcome.value}")
    assert words(f"evidence.{advice.evidence.value}")
    assert advice.act is None or words(f"act.{advice.act.value}")
    assert words(f"noticed.{advice.noticed.value}")
