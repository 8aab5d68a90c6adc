"""Slips while brewing: later targets at once, what they mean, and what is kept of the brew."""

from uuid import UUID

import pytest
from brews_under_way import at, events, guide, recipe, screen, under_way
from hypothesis import given
from hypothesis import strategies as st

from halfclick.brewing.finish import brew_from
from halfclick.brewing.guide import guide_of
from halfclick.brewing.screen import Phase
from halfclick.brewing.steps import pour_steps
from halfclick.model.brew import How, SlipKind
from halfclick.model.departures import departures
from halfclick.model.kit import ScaleCarries
from halfclick.model.under_way import GuideEventKind as Kind

UNTARED = (20, Kind.UNTARED_DOSE, 15.0)
DRAINED = (150, Kind.DRAINED)


def codes(shown):
    return [one.code for one in shown.notices]


def said(words, shown):
    return words.sentences(shown.notices).replace("\N{NO-BREAK SPACE}", " ")


def brew(*told, plan=None, carries=ScaleCarries.DRIPPER_AND_SERVER):
    begun = under_way(plan, carries)
    state = guide_of(begun, events((0, Kind.CLOCK_STARTED), *told))
    return brew_from(begun, state, UUID(int=9), at(300))


def test_a_forgotten_tare_adds_the_dose_to_every_later_target(words):
    # 15 g untared, 45 on the scale: 30 g are in, 2.0 x the dose (worked by hand).
    shown = screen(20, UNTARED)
    assert shown.stop_at_g == 155.0
    assert screen(85, UNTARED).stop_at_g == 255.0
    assert "The bloom so far is 30 g, 2 × the dose." in said(words, shown)
    assert "Add 15 g to the bloom now." in said(words, shown)


def test_a_bloom_is_not_topped_up_once_it_is_late():
    assert "slip.top_up" not in codes(screen(26, UNTARED))
    assert "slip.top_up" not in codes(screen(31, (30, Kind.UNTARED_DOSE, 15.0)))


def test_a_tare_missed_before_the_first_pour_ends_leaves_nothing_to_top_up():
    shown = screen(5, (4, Kind.UNTARED_DOSE, 15.0))
    assert shown.stop_at_g == 60.0
    assert codes(shown) == ["slip.untared"]


def test_a_forgotten_tare_is_kept_with_what_it_leaves_unknown():
    kept = brew(UNTARED, DRAINED, (160, Kind.FINAL_READING, 255.0))
    water, bloom = kept.poured.water_g, kept.poured.bloom_g
    assert (water.value, water.sd, water.how) == (240.0, 1.0, How.CORRECTED)
    assert (bloom.value - bloom.sd, bloom.value + bloom.sd) == (30.0, 45.0)
    assert [slip.kind for slip in kept.slips] == [SlipKind.UNTARED_DOSE]
    assert 0.0 < kept.weight < 1.0


def test_a_forgotten_tare_keeps_the_water_without_a_final_reading():
    assert brew(UNTARED, DRAINED).poured.water_g.value == 240.0


def test_a_tare_missed_until_the_end_means_that_less_went_in(words):
    late = (120, Kind.UNTARED_DOSE, 15.0)
    assert "So 225 g of water went in." in said(words, screen(121, late))
    assert brew(late, DRAINED).poured.water_g.value == 225.0


def test_water_short_of_a_forgotten_tare_is_made_up_by_the_next_pour():
    # Noticed at 1:10 with 140 on the scale: 125 g are in, 115 g are left (worked by hand).
    shown = screen(70, (70, Kind.UNTARED_DOSE, 15.0))
    assert (shown.left_to_pour_g, shown.stop_at_g) == (115.0, 255.0)


def test_a_tare_is_forgotten_once_at_most():
    assert Kind.UNTARED_DOSE not in screen(21, UNTARED).can
    assert guide(UNTARED, UNTARED).offset_g == 15.0


PETRA = recipe(dose_g=16.0, targets=(48.0, 150.0, 256.0))
OVERSHOT = (104, Kind.OVERSHOOT, 271.0)


def test_an_overshoot_says_ratio_and_strength_and_lets_it_be(words):
    # 3.2 g dissolved in 256 - 33.6 and in 271 - 33.6 g: 1.439 and 1.348 % (worked by hand).
    # 0.24 % is the least difference noticed: Frost, Ristenpart & Guinard 2019, abstract.
    text = said(words, screen(105, OVERSHOT, plan=PETRA))
    assert "ratio is now 1:16.9" in text
    assert "about 1.44 to 1.35 % (−6 %), an estimate" in text
    assert "Likely below what people notice: accept it." in text


@pytest.mark.parametrize("carries", list(ScaleCarries))
def test_lifting_is_offered_only_where_the_server_is_weighed_alone(carries, words):
    text = said(words, screen(105, OVERSHOT, plan=PETRA, carries=carries))
    assert ("holds 222 g" in text) is (carries is ScaleCarries.SERVER_ALONE)


def test_an_overshoot_that_was_lifted_is_kept_as_both():
    lifted = (130, Kind.LIFTED, 222.0)
    kept = brew(OVERSHOT, lifted, plan=PETRA, carries=ScaleCarries.SERVER_ALONE)
    assert kept.poured.water_g.value == 271.0
    assert kept.poured.beverage_g.value == 222.0
    assert kept.poured.drained_s.how is How.UNKNOWN
    assert {slip.kind for slip in kept.slips} == {SlipKind.OVERSHOOT, SlipKind.LIFTED_EARLY}


def test_a_large_overshoot_departs_from_the_plan():
    assert [one.code for one in departures(brew(OVERSHOT, DRAINED, plan=PETRA))] == [
        "departed.water"
    ]


def test_an_overshoot_in_an_early_pour_leaves_the_end_where_it_was():
    shown = screen(66, (64, Kind.OVERSHOOT, 160.0))
    assert (shown.phase, shown.left_to_pour_g, shown.stop_at_g) == (Phase.WAIT, 80.0, 240.0)


def test_an_overshoot_past_the_next_target_skips_that_pour():
    plan = recipe(targets=(45.0, 140.0, 190.0, 240.0), starts=(0.0, 45.0, 80.0, 115.0))
    shown = screen(66, (65, Kind.OVERSHOOT, 200.0), plan=plan)
    assert (shown.phase, shown.next_pour, shown.left_to_pour_g) == (Phase.WAIT, 3, 40.0)


def test_nothing_is_left_to_wait_for_once_all_the_water_is_in():
    assert screen(66, (65, Kind.OVERSHOOT, 240.0)).phase is Phase.DRAIN


def test_an_overshoot_read_on_an_untared_scale_is_corrected_in_either_order():
    over, untared = (98, Kind.OVERSHOOT, 270.0), (99, Kind.UNTARED_DOSE, 15.0)
    first, second = guide(over, untared), guide((98, *untared[1:]), (99, *over[1:]))
    assert first.overshot_g == second.overshot_g == 255.0


def test_a_late_clock_moves_all_that_was_noted_before_it():
    state = guide((40, Kind.POUR_STARTED, 1), (50, Kind.LATE_CLOCK, 10.0))
    assert state.clock_s(at(60)) == 70.0
    assert state.started_pours == ((1, 50.0),)


def test_a_late_clock_keeps_a_drained_time_that_is_less_sure():
    on_time, late = brew(DRAINED), brew((20, Kind.LATE_CLOCK, 10.0), DRAINED)
    assert late.poured.drained_s.value == 160.0
    assert late.poured.drained_s.sd > on_time.poured.drained_s.sd
    assert late.poured.drained_s.how is How.CORRECTED


def test_a_lost_clock_is_kept_as_unknown_and_not_as_zero():
    lost = (50, Kind.LOST_CLOCK)
    assert screen(60, lost).clock_known is False
    assert brew(lost, DRAINED).poured.drained_s.value is None


def test_a_stall_says_what_to_do_until_it_drained():
    assert codes(screen(125, (120, Kind.STALLED))) == ["slip.stall"]
    assert codes(screen(160, (120, Kind.STALLED), DRAINED)) == []


def test_what_was_not_weighed_is_kept_as_planned_and_counts_a_little_less():
    unread, read = brew(DRAINED), brew(DRAINED, (155, Kind.FINAL_READING, 238.0))
    assert (unread.poured.water_g.value, unread.poured.water_g.how) == (240.0, How.PLANNED)
    assert (read.poured.water_g.value, read.poured.water_g.how) == (238.0, How.MEASURED)
    assert unread.poured.water_g.sd > read.poured.water_g.sd
    assert unread.weight < read.weight


def test_a_server_weighed_alone_gives_the_drink_and_not_the_water():
    kept = brew(DRAINED, (155, Kind.FINAL_READING, 207.0), carries=ScaleCarries.SERVER_ALONE)
    assert (kept.poured.beverage_g.value, kept.poured.beverage_g.how) == (207.0, How.MEASURED)
    assert kept.poured.water_g.how is How.PLANNED


def test_every_notice_has_its_words(words):
    told = (
        (12, Kind.UNTARED_DOSE, 15.0),
        (20, Kind.LOST_CLOCK),
        (22, Kind.OVERSHOOT, 400.0),
        (23, Kind.STALLED),
    )
    assert said(words, screen(24, *told, carries=ScaleCarries.SERVER_ALONE))


slips = st.one_of(
    st.tuples(st.just(Kind.UNTARED_DOSE), st.just(15.0)),
    st.tuples(st.just(Kind.OVERSHOOT), st.floats(1, 500)),
    st.tuples(st.just(Kind.LATE_CLOCK), st.floats(1, 60)),
    st.tuples(st.sampled_from([Kind.LOST_CLOCK, Kind.STALLED]), st.none()),
)
orders = st.lists(st.tuples(st.floats(1, 120), slips), max_size=6).map(
    lambda told: [(second, *slip) for second, slip in sorted(told, key=lambda one: one[0])]
)


@given(orders)
def test_targets_never_decrease_whatever_slipped(told):
    steps = pour_steps(guide(*told))
    assert all(step.from_g <= step.until_g for step in steps)
    reached = [step.until_g for step in steps]
    assert reached == sorted(reached)


@given(orders, slips)
def test_taking_a_slip_back_restores_what_was_before_it(told, slip):
    assert guide(*told, (121, *slip), (122, Kind.TAKEN_BACK)) == guide(*told)


@given(orders, st.floats(0, 400), st.randoms())
def test_what_is_shown_depends_on_the_events_alone_and_not_on_their_reading(told, second, chance):
    listed = events((0, Kind.CLOCK_STARTED), *told)
    shuffled = list(listed)
    chance.shuffle(shuffled)
    assert guide_of(under_way(), shuffled) == guide_of(under_way(), listed)
    shown = screen(second, *told)
    assert 0.0 <= shown.step_share <= 1.0
    assert shown.left_to_pour_g is None or shown.left_to_pour_g >= 0.0


@given(orders)
def test_every_brew_that_slipped_can_be_kept(told):
    kept = brew(*told, DRAINED)
    assert 0.0 <= kept.weight <= 1.0
    assert kept.poured.water_g.value > 0
