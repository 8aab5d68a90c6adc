"""What the guide shows at each moment of a brew that goes as planned."""

import pytest
from brews_under_way import at, events, guide, recipe, screen, under_way

from halfclick.brewing.guide import guide_of
from halfclick.brewing.screen import Phase, screen_at
from halfclick.model.kit import ScaleCarries
from halfclick.model.under_way import GuideEventKind as Kind


def test_before_the_first_water_the_clock_waits_for_space(words):
    shown = screen_at(guide_of(under_way(), []), at(-5))
    assert shown.phase is Phase.GET_READY
    assert shown.clock_s is None
    assert Kind.CLOCK_STARTED in shown.can
    assert words.sentence(shown.do) == "Press Space as the first water touches the grounds."


@pytest.mark.parametrize(
    ("seconds", "phase", "left_g", "stop_g"),
    [
        (0, Phase.POUR, 45.0, 45.0),
        (3, Phase.POUR, 30.0, 45.0),
        (20, Phase.WAIT, 95.0, 140.0),
        (50, Phase.POUR, 70.0, 140.0),
        (70, Phase.WAIT, 100.0, 240.0),
        (90, Phase.POUR, 50.0, 240.0),
        (101, Phase.DRAIN, None, None),
    ],
)
def test_the_guide_moves_on_by_the_clock_with_no_key_pressed(seconds, phase, left_g, stop_g):
    shown = screen(seconds)
    assert (shown.phase, shown.stop_at_g) == (phase, stop_g)
    assert shown.left_to_pour_g == pytest.approx(left_g)


def test_a_wait_tells_its_end_and_what_comes_next(words):
    shown = screen(20)
    assert words.sentence(shown.do) == "Wait until 0:45."
    assert words.sentence(shown.next) == "Next: at 0:45, pour to 140\N{NO-BREAK SPACE}g."


def test_a_key_while_waiting_begins_the_next_pour_early():
    waiting = screen(40)
    assert waiting.next_pour == 1
    assert screen(40, (40, Kind.POUR_STARTED, 1)).phase is Phase.POUR


def test_nothing_asks_for_a_key_while_pouring():
    shown = screen(50)
    assert Kind.POUR_STARTED not in shown.can
    assert Kind.DRAINED not in shown.can


def test_a_long_steep_waits_for_the_valve_before_it_drains(words):
    plan = recipe(targets=(240.0,), starts=(0.0,), steep_s=240.0)
    steeping = screen(120, plan=plan)
    assert steeping.phase is Phase.STEEP
    assert words.sentence(steeping.do) == "Let it steep until 4:00."
    assert words.sentence(screen(241, plan=plan).do) == "Open the valve and let it drain."


def test_the_final_reading_is_asked_for_once_and_can_be_skipped():
    drained = (130, Kind.DRAINED)
    assert screen(140, drained).phase is Phase.READ
    assert screen(140, drained, (140, Kind.FINAL_READING)).phase is Phase.DONE


@pytest.mark.parametrize("carries", list(ScaleCarries))
def test_the_final_question_says_what_stands_on_the_scale(carries, words):
    asked = words.sentence(screen(140, (130, Kind.DRAINED), carries=carries).do)
    assert ("dripper still on it" in asked) is (carries is ScaleCarries.DRIPPER_AND_SERVER)


def test_the_clock_stands_still_once_it_drained():
    assert screen(600, (130, Kind.DRAINED)).clock_s == 130.0


def test_a_guide_found_again_the_same_day_shows_what_it_would_have_shown():
    told = events((0, Kind.CLOCK_STARTED), (40, Kind.POUR_STARTED, 1))
    assert screen_at(guide_of(under_way(), reversed(told)), at(50)) == screen(
        50, (40, Kind.POUR_STARTED, 1)
    )


def test_a_mistaken_start_can_be_taken_back():
    assert screen(5, (4, Kind.TAKEN_BACK)).phase is Phase.GET_READY
    assert guide((4, Kind.TAKEN_BACK), (5, Kind.TAKEN_BACK)).held == ()
