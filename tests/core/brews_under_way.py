"""A brew under way made by hand: a plan, and events at seconds after its first water."""

from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

from halfclick.brewing.guide import guide_of
from halfclick.brewing.screen import screen_at
from halfclick.model.brew import KitUsed, Mode
from halfclick.model.kit import DrainedRule, ScaleCarries
from halfclick.model.recipe import Pour, Recipe
from halfclick.model.under_way import GuideEvent, GuideEventKind, UnderWay

START = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


def at(seconds):
    """Return the moment so many seconds after the first water."""
    return START + timedelta(seconds=seconds)


def recipe(dose_g=15.0, targets=(45.0, 140.0, 240.0), starts=(0.0, 45.0, 80.0), **given):
    pours = tuple(
        Pour(start_s=start_s, until_g=until_g, rate_g_s=5.0)
        for start_s, until_g in zip(starts, targets, strict=True)
    )
    return Recipe(
        dose_g=dose_g, water_g=targets[-1], pours=pours, **{"temperature_c": 95.0, **given}
    )


def under_way(plan=None, carries=ScaleCarries.DRIPPER_AND_SERVER):
    kit = KitUsed(
        grinder_id=UUID(int=1), zero_id=UUID(int=2), dripper_id=UUID(int=3), scale_carries=carries
    )
    return UnderWay(
        id=UUID(int=4),
        bag_id=UUID(int=5),
        kit=kit,
        plan=plan or recipe(),
        mode=Mode.EXPERIMENT,
        drained_rule=DrainedRule.LAST_DROP,
        begun_at=at(-60),
    )


def events(*told):
    """Return events from (seconds, kind, value) or (seconds, kind)."""
    return [
        GuideEvent(
            id=uuid4(),
            under_way_id=UUID(int=4),
            number=number,
            at=at(one[0]),
            kind=one[1],
            value=one[2] if len(one) > 2 else None,
        )
        for number, one in enumerate(told)
    ]


def guide(*told, plan=None, carries=ScaleCarries.DRIPPER_AND_SERVER):
    """Return the state after the first water at second 0 and what was told since."""
    started = (0, GuideEventKind.CLOCK_STARTED)
    return guide_of(under_way(plan, carries), events(started, *told))


def screen(seconds, *told, **given):
    return screen_at(guide(*told, **given), at(seconds))
