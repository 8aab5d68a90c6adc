"""Cups of an imagined coffee, for tests of the learner: made by a plain rule, not by its form."""

from halfclick.dialling.request import Context, Cup, Dial, Request, Seen, Settings

START = Settings(setting=20, ratio=16, water_c=93, pour_g_s=5, bloom_x=2.5, bloom_s=40, swirl=0)
LEVERS = {
    "ratio": (13.0, 18.0, 0.1),
    "water_c": (82.0, 99.0, 0.5),
    "pour_g_s": (2.0, 9.0, 0.25),
    "bloom_x": (1.0, 4.0, 0.1),
    "bloom_s": (15.0, 120.0, 1.0),
    "swirl": (0.0, 1.0, 1.0),
}
CONTEXT = Context(
    dial=Dial(min=0, max=40, step=1),
    start=START,
    dose_g=20,
    dripper="steep cone",
    roast="light",
    days_off_roast=12,
    strength_measured=True,
    tasted_by="marks",
    boiling_c=100,
    levers=LEVERS,
)


def sour_cup(setting: float = 20.0, **other: object) -> Cup:
    """Return a cup that is the sourer and faster, the coarser it is ground."""
    coarse = setting - 14.0
    seen = {
        "time_s": 200.0 - 4.0 * coarse,
        "beverage_g": 278.0,
        "strength_pct": 1.36 - 0.01 * coarse,
        "marks": {
            "sour": min(max(2.0 + 0.6 * coarse, 0.0), 10.0),
            "bitter": max(3.0 - 0.2 * coarse, 0.0),
            "thin": 3.0,
            "harsh": 1.5,
            "sweet": 5.0,
        },
        "liking": min(max(7.5 - 0.5 * abs(coarse), 1.0), 9.0),
        **other,
    }
    return Cup(settings=at(setting), seen=Seen(**seen))


def at(setting: float) -> Settings:
    """Return the start at another setting."""
    values = {name: getattr(START, name) for name in START.__dataclass_fields__}
    return Settings(**{**values, "setting": setting})


def asked(*cups: Cup, context: Context = CONTEXT, seed: int = 7, changes: int = 1) -> Request:
    """Return a request with these cups."""
    return Request(context=context, history=list(cups), seed=seed, changes_at_most=changes)
