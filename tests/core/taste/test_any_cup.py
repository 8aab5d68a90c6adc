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

# Strategies are made once: making them anew for each cup takes longer than drawing from them.
BOOLEANS = st.booleans()
LEVEL = st.none() | st.floats(0, 10)
COMPLAINTS = st.frozensets(st.sampled_from(Complaint), max_size=3)
CHANGES = st.lists(
    st.builds(Change, lever=st.sampled_from(Lever), amount=st.sampled_from([-2.0, 2.0])),
    max_size=1,
).map(tuple)
DOSE_G = st.floats(10, 40)
WATER_TO_DOSE = st.floats(12, 20)
POURS = st.fixed_dictionaries(
    {
        "count": st.integers(1, 5),
        "bloom_multiple": st.floats(1.5, 4),
        "rate_g_s": st.floats(2, 10),
    }
)
TEMPERATURE_C = st.none() | st.floats(80, 95)
BOILING_C = st.floats(95, 100)
ROOM_G = st.none() | st.floats(20, 600)
MARKS = st.builds(Marks, sour=LEVEL, bitter=LEVEL, thin=LEVEL, harsh=LEVEL, sweet=LEVEL)
# What the journal may say of a cup and around it, whatever its recipe.
SAID = st.fixed_dictionaries(
    {
        "clock": st.sampled_from(ClockPlace),
        "felt": st.sampled_from(Felt),
        "marks": MARKS,
        "shape": st.sampled_from(DripperShape),
        "liking": st.none() | st.floats(1, 9),
        "verdict": st.none() | st.sampled_from(Verdict),
        "weight": st.floats(0, 1),
        "bed": st.none() | st.sampled_from(Bed),
        "last_changes": CHANGES,
        "fruitless": st.integers(0, 4),
        "complaints": COMPLAINTS,
        "persisting": COMPLAINTS,
        "acts_done": st.frozensets(st.sampled_from(Act), max_size=6),
        "waters": st.frozensets(st.sampled_from(WaterTrait), max_size=3),
        "roast": st.none() | st.sampled_from(Roast),
        "process": st.none() | st.sampled_from(Process),
        "paper": st.none() | st.sampled_from(PaperKind),
        "others": st.none() | st.sampled_from(Others),
        "age_days": st.none() | st.integers(0, 60),
    }
    | dict.fromkeys(
        (
            "stalled",
            "slipped",
            "good_before",
            "clean_before",
            "stalled_before",
            "water_changed",
            "steeped_before",
        ),
        BOOLEANS,
    )
)


def recipe_drawn(draw, bench):
    dose_g = draw(DOSE_G)
    water_g = float(round(dose_g * draw(WATER_TO_DOSE)))
    return bench.recipe(
        dose_g=dose_g,
        water_g=water_g,
        pours=even_pours(dose_g, water_g, **draw(POURS)),
        temperature_c=draw(TEMPERATURE_C),
        setting=bench.setting(18) if draw(BOOLEANS) else None,
        stir_bloom=draw(BOOLEANS),
    )


def cup_drawn(draw, bench):
    recipe = recipe_drawn(draw, bench)
    said = draw(SAID)

    def setting_or_none(steps):
        return bench.setting(steps) if draw(BOOLEANS) else None

    limits = bench.limits(
        boiling_c=draw(BOILING_C),
        shape=said["shape"],
        finer=setting_or_none(16),
        coarser=setting_or_none(20),
        half_finer=setting_or_none(17),
        half_coarser=setting_or_none(19),
        capacity_g=draw(st.floats(beverage_g(recipe.water_g, recipe.dose_g), 900))
        if draw(BOOLEANS)
        else None,
        room_g=draw(ROOM_G),
    )
    steeped_from = recipe if draw(BOOLEANS) else None
    return bench.case(recipe=recipe, steeped_from=steeped_from, **said), limits


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_any_cup_gets_one_idea_inside_the_limits_in_words(bench, data):
    case, limits = cup_drawn(data.draw, bench)
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
    case, limits = cup_drawn(data.draw, bench)
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
    case, _ = cup_drawn(data.draw, bench)
    agrees, disagrees = _sides(case)
    if not case.faults or not agrees or disagrees or case.steeped_from is not None:
        return
    first = next(rule for rule in bench.rules if fits(rule, case))
    assert Lever.GRIND in first.levers or first.exception is not None, first.id


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_a_word_said_of_an_immersion_moves_neither_grind_nor_heat_up(bench, data):
    # Liang, Chan & Ristenpart (2021): near balance neither grind nor 80 to 99 C moves extraction.
    case, limits = cup_drawn(data.draw, bench)
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
