"""Cases and limits to diagnose: a steep cone, 15 g and 240 g at 95 °C, setting 18."""

from dataclasses import replace
from uuid import UUID

import pytest

from halfclick.model.grinder import Setting
from halfclick.model.kit import DripperShape, ScaleCarries
from halfclick.model.limits import DrainedBand, Limits
from halfclick.model.recipe import Recipe, even_pours
from halfclick.model.tasting import Mark, Marks
from halfclick.taste.case import Case, marks_there
from halfclick.taste.diagnosis import diagnose
from halfclick.taste.rules import ClockPlace, Felt, load_rules

ZERO = UUID(int=1)
BAND = DrainedBand(low_s=150, high_s=180, brews=2)
TIMES_S = {ClockPlace.FAST: 128.0, ClockPlace.INSIDE: 165.0, ClockPlace.SLOW: 215.0}


def setting(steps):
    return Setting(text=str(steps), steps=steps, zero_id=ZERO)


def recipe_of(**given):
    plain = Recipe(
        dose_g=15.0,
        water_g=240.0,
        temperature_c=95.0,
        setting=setting(18),
        pours=even_pours(15.0, 240.0, count=2),
    )
    return replace(plain, **given)


def limits_of(**given):
    plain = Limits(
        boiling_c=100.0,
        shape=DripperShape.STEEP_CONE,
        scale_carries=ScaleCarries.DRIPPER_AND_SERVER,
        search_steps=2,
        finer=setting(16),
        coarser=setting(20),
        half_finer=setting(17),
        half_coarser=setting(19),
        band=BAND,
    )
    return replace(plain, **given)


def case_of(*faults, clock=ClockPlace.UNKNOWN, felt=Felt.UNSAID, usual=None, marks=None, **given):
    """A cup with these faults at 6 of 10, or with the marks given."""
    marks = marks or Marks(**dict.fromkeys(faults, 6.0))
    plain = Case(
        recipe=recipe_of(),
        marks=marks,
        there=marks_there(marks, usual or {}),
        felt=felt,
        liking=None,
        verdict=None,
        clock=clock,
        drained_s=TIMES_S.get(clock),
        band=None if clock is ClockPlace.UNKNOWN else BAND,
        stalled=False,
        shape=DripperShape.STEEP_CONE,
        departures=(),
        slipped=False,
        weight=1.0,
    )
    return replace(plain, **given)


class Bench:
    """What the tests of this folder work with."""

    rules = load_rules()
    faults = (Mark.SOUR, Mark.BITTER, Mark.THIN, Mark.HARSH)
    band = BAND
    case = staticmethod(case_of)
    limits = staticmethod(limits_of)
    recipe = staticmethod(recipe_of)
    setting = staticmethod(setting)

    def advice(self, *faults, limits=None, **given):
        return diagnose(case_of(*faults, **given), limits or limits_of(), self.rules)


@pytest.fixture(scope="session")
def bench():
    return Bench()
