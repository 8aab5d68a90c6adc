"""Whatever the cup, the advice moves one idea, inside the limits, and has words for it."""

from hypothesis import given, settings
from hypothesis import strategies as st

from halfclick.model.advice import Outcome
from halfclick.model.changes import is_one_idea
from halfclick.model.cup import beverage_g
from halfclick.model.kit import DripperShape
from halfclick.model.moves import differences
from halfclick.model.recipe import Change, Lever, even_pours
from halfclick.model.tasting import Bed, Marks, Verdict
from halfclick.taste.diagnosis import diagnose
from halfclick.taste.rules import ClockPlace, Felt

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
        age_days=draw(st.none() | st.integers(0, 60)),
        last_changes=tuple(draw(st.lists(change, max_size=1))),
        fruitless=draw(st.integers(0, 4)),
        good_before=draw(st.booleans()),
    )
    return case, limits


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_any_cup_gets_one_idea_inside_the_limits_in_words(bench, words, data):
    case, limits = data.draw(cups(bench))
    advice = diagnose(case, limits, bench.rules)
    before, after = case.recipe, advice.recipe
    assert is_one_idea(advice.changes)
    if advice.outcome is Outcome.CHANGE:
        assert advice.changes
    if advice.outcome is Outcome.IMMERSION:
        assert after.steep_s is not None
    else:
        assert advice.changes == differences(before, after)
        assert after.dose_g == before.dose_g
    _assert_inside(before, after, limits)
    if advice.runner_up is not None:
        assert is_one_idea(advice.runner_up.changes)
        _assert_inside(before, advice.runner_up.recipe, limits)
        assert advice.runner_up.changes != advice.changes
    _assert_worded(advice, words)


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
    for one in (advice.mind_changer, advice.contested):
        assert one is None or words.sentence(one)
    assert words(f"outcome.{advice.outcome.value}")
    assert words(f"evidence.{advice.evidence.value}")
    assert words(f"noticed.{advice.noticed.value}")
