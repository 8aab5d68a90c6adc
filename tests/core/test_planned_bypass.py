"""Water that was planned to be added to the drink: told at the kettle and kept, and no slip."""

from dataclasses import replace
from uuid import UUID

import pytest
from brews_under_way import START, at, events, under_way

from halfclick.brewing.answers import event_told
from halfclick.brewing.finish import brew_from
from halfclick.brewing.guide import guide_of
from halfclick.brewing.screen import screen_at
from halfclick.errors import BadInput
from halfclick.model.brew import How, SlipKind
from halfclick.model.kit import ScaleCarries
from halfclick.model.planned_bypass import CODE
from halfclick.model.under_way import GuideEventKind as Kind
from halfclick.wording import Message

DRAINED = (150, Kind.DRAINED)
READ = (160, Kind.FINAL_READING, 240.0)


def led(*told, carries=ScaleCarries.DRIPPER_AND_SERVER, planned_g=60.0):
    why = (Message(CODE, {"bypass_g": planned_g}),)
    begun = replace(under_way(carries=carries), why=why)
    guide = guide_of(begun, events((0, Kind.CLOCK_STARTED), *told))
    return guide, brew_from(begun, guide, UUID(int=9), START)


def told(guide, seconds):
    return {one.code: dict(one.values) for one in screen_at(guide, at(seconds)).notices}


def test_it_is_told_once_the_brew_has_drained_and_not_before():
    assert CODE not in told(led()[0], 130)
    assert told(led(DRAINED)[0], 151)[CODE] == {"bypass_g": 60.0}


def test_added_as_planned_it_is_kept_and_no_slip():
    _, brew = led(DRAINED, READ, (165, Kind.BYPASS))
    assert (brew.poured.bypass_g.value, brew.poured.bypass_g.how) == (60.0, How.PLANNED)
    assert (brew.slips, brew.weight) == ((), 1.0)


def test_weighed_it_is_kept_as_it_was():
    _, brew = led(DRAINED, READ, (165, Kind.BYPASS, 63.0))
    assert (brew.poured.bypass_g.value, brew.poured.bypass_g.how) == (63.0, How.MEASURED)
    assert brew.slips == ()


@pytest.mark.parametrize(("added_g", "beyond_g"), [(90.0, 30.0), (0.0, 0.0)])
def test_far_from_what_was_planned_it_is_a_slip(added_g, beyond_g):
    _, brew = led(DRAINED, READ, (165, Kind.BYPASS, added_g))
    assert brew.poured.bypass_g.value == added_g
    assert [(one.kind, one.amount) for one in brew.slips] == [(SlipKind.BYPASS, beyond_g)]


def test_what_nobody_told_is_kept_as_planned():
    _, brew = led(DRAINED)
    assert (brew.poured.bypass_g.value, brew.poured.bypass_g.how) == (60.0, How.PLANNED)


def test_a_brew_that_fell_short_is_given_both():
    guide, _ = led((110, Kind.UNDERSHOOT, 222.0), DRAINED)
    assert told(guide, 151)["slip.bypass"] == {"needed_g": 78.0}


def test_a_server_that_is_weighed_is_weighed_before_the_water():
    guide, brew = led(DRAINED, carries=ScaleCarries.SERVER_ALONE)
    assert screen_at(guide, at(151)).do.code == "guide.read_server_alone_before"
    _, brew = led(
        DRAINED, (160, Kind.FINAL_READING, 208.0), (165, Kind.BYPASS), carries=guide.carries
    )
    assert brew.poured.beverage_g.value == 208.0


def test_none_can_be_added_only_where_some_was_planned():
    assert event_told(led(DRAINED)[0], Kind.BYPASS, 0.0, at(151)) == (Kind.BYPASS, 0.0)
    with pytest.raises(BadInput):
        event_told(guide_of(under_way(), events(DRAINED)), Kind.BYPASS, 0.0, at(151))
