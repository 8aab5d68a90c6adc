"""What brews teach of a kit: bands that hold as often as they say, on kits whose truth is known."""

import numpy as np
import pytest
from some_brews import a_recipe

from halfclick.physics.brew.arrays import Kits, Recipes, stack
from halfclick.physics.brew.calibrate import (
    COARSE_S,
    OF_A_COFFEE,
    STRENGTH_SCATTER,
    TIME_SCATTER,
    Belief,
    Brewed,
    Fit,
    calibrate,
    no_belief,
)
from halfclick.physics.brew.priors import NAMES, kits_at
from halfclick.physics.brew.simulate import Outcome, simulate_pairs
from halfclick.physics.brew.weigh import Weighing, joined

READ_S, READ_STRENGTH = 4.0, 0.0003
KITS, MOST_BREWS = 200, 3
ROWS, DRAWN = 80, 112


def simulated(asked: list[tuple[Kits, Recipes]]) -> list[Outcome]:
    """Simulate what many ask for at once, and give each its part."""
    sizes = np.cumsum([len(kits) for kits, _ in asked])[:-1]
    outcome = simulate_pairs(
        joined([kits for kits, _ in asked]), stack([rows for _, rows in asked]), step_s=COARSE_S
    )
    parts = {name: np.split(getattr(outcome, name), sizes) for name in Outcome.__dataclass_fields__}
    return [Outcome(**{name: parts[name][i] for name in parts}) for i in range(len(asked))]


def read(outcome: Outcome, place: int, rng: np.random.Generator) -> dict[str, float]:
    """Return what a person reads of a brew, with the scatter of hands, clock and refractometer."""
    time_s = float(outcome.stream_breaks_s[place]) * np.exp(TIME_SCATTER * rng.normal())
    return {
        "drained_s": time_s + READ_S * rng.normal(),
        "beverage_g": float(outcome.beverage_g[place]) + 2.2 * rng.normal(),
        "strength": float(outcome.strength[place])
        + np.hypot(STRENGTH_SCATTER, READ_STRENGTH) * rng.normal(),
    }


def recipes_around(steps: float, count: int, rng: np.random.Generator) -> list[Recipes]:
    """Return brews as a person who dials in makes them: a step either way, a degree or two."""
    return [
        a_recipe(steps=steps + rng.integers(-1, 2), kettle_c=92.0 + rng.integers(0, 5))
        for _ in range(count)
    ]


@pytest.fixture(scope="module")
def journals():
    """Brew on 200 kits of known constants: one to three brews to learn from, and the next."""
    rng = np.random.default_rng(20_261_125)
    found = []
    for kit in range(KITS):
        steps = float(20 + rng.integers(-4, 5))
        truth = kits_at(rng.standard_normal((1, len(NAMES))), middle_steps=steps)
        rows = recipes_around(steps, 2 + kit % MOST_BREWS, rng)
        outcome = simulate_pairs(joined([truth] * len(rows)), stack(rows), step_s=COARSE_S)
        found.append([Brewed(recipe=r, **read(outcome, i, rng)) for i, r in enumerate(rows)])
    return found


@pytest.fixture(scope="module")
def beliefs(journals) -> list[Belief]:
    fits = [Fit(brews[:-1]) for brews in journals]
    while going := [fit for fit in fits if not fit.done]:
        for fit, outcome in zip(going, simulated([one.ask() for one in going]), strict=True):
            fit.hear(outcome)
    return [fit.belief() for fit in fits]


@pytest.fixture(scope="module")
def forecasts(journals, beliefs):
    """Forecast the next brew of each kit: times and strengths, (kits, rows) each."""
    rng = np.random.default_rng(7)
    weighings = [
        Weighing(belief, brews[:-1], rng, drawn=DRAWN)
        for belief, brews in zip(beliefs, journals, strict=True)
    ]
    outcomes = simulated([one.ask() for one in weighings])
    rows = [one.hear(told, count=ROWS) for one, told in zip(weighings, outcomes, strict=True)]
    fresh = np.zeros((ROWS, len(OF_A_COFFEE)))
    asked = [
        (belief.kits(drawn, fresh, 0), brews[-1].recipe.take(np.zeros(ROWS, dtype=np.intp)))
        for belief, drawn, brews in zip(beliefs, rows, journals, strict=True)
    ]
    told = simulated(asked)
    time_s = np.stack([one.stream_breaks_s for one in told])
    strength = np.stack([one.strength for one in told])
    time_s = time_s * np.exp(TIME_SCATTER * rng.standard_normal(time_s.shape))
    time_s += READ_S * rng.standard_normal(time_s.shape)
    strength += np.hypot(STRENGTH_SCATTER, READ_STRENGTH) * rng.standard_normal(strength.shape)
    return time_s, strength


def test_ninety_percent_bands_hold_for_85_to_95_percent_of_next_brews(journals, forecasts):
    for told, name in zip(forecasts, ("drained_s", "strength"), strict=True):
        happened = np.array([getattr(brews[-1], name) for brews in journals])
        low, high = np.quantile(told, (0.05, 0.95), axis=1)
        held = float(np.mean((low <= happened) & (happened <= high)))
        assert 0.85 <= held <= 0.95, (name, held)


def test_three_brews_narrow_more_than_one_and_one_more_than_none(journals, forecasts):
    time_s, _ = forecasts
    low, high = np.quantile(time_s, (0.05, 0.95), axis=1)
    happened = np.array([brews[-1].drained_s for brews in journals])
    width = (high - low) / happened
    by_brews = [np.median(width[n::MOST_BREWS]) for n in range(MOST_BREWS)]
    rng = np.random.default_rng(3)
    blank = kits_at(rng.standard_normal((ROWS, len(NAMES))))
    before = simulate_pairs(blank, a_recipe().take(np.zeros(ROWS, dtype=np.intp))).stream_breaks_s
    low, high = np.quantile(before, (0.05, 0.95))
    assert by_brews[0] < 0.5 * (high - low) / np.median(before)
    assert by_brews[2] < by_brews[0]


def test_ten_brews_narrow_the_next_well():
    """Five kits of known constants: the width of the band of the next drained time over it."""
    rng = np.random.default_rng(29)
    widths = []
    for _ in range(5):
        truth = kits_at(rng.standard_normal((1, len(NAMES))), middle_steps=20.0)
        rows = recipes_around(20.0, 11, rng)
        outcome = simulate_pairs(joined([truth] * 11), stack(rows), step_s=COARSE_S)
        brews = [Brewed(recipe=r, **read(outcome, i, rng)) for i, r in enumerate(rows)]
        widths.append([width_of_next(calibrate(brews[:n]), brews[-1]) for n in (0, 1, 10)])
    none, one, ten = np.mean(widths, axis=0)
    assert one < 0.7 * none
    assert ten < 0.8 * one
    assert ten < 0.5


def width_of_next(belief: Belief, brew: Brewed) -> float:
    """Return how wide the band of a brew's drained time is, over what it was."""
    rng = np.random.default_rng(1)
    rows = belief.draw(rng.standard_normal((ROWS, len(belief.mean))))
    kits = belief.kits(rows, np.zeros((ROWS, len(OF_A_COFFEE))), 0)
    every = brew.recipe.take(np.zeros(ROWS, dtype=np.intp))
    time_s = simulate_pairs(kits, every, step_s=COARSE_S).stream_breaks_s
    time_s = time_s * np.exp(TIME_SCATTER * rng.standard_normal(ROWS))
    low, high = np.quantile(time_s + READ_S * rng.standard_normal(ROWS), (0.05, 0.95))
    return float((high - low) / brew.drained_s)


def test_one_wild_record_moves_the_belief_by_little(journals):
    rng = np.random.default_rng(11)
    truth = kits_at(rng.standard_normal((1, len(NAMES))))
    rows = recipes_around(20.0, 6, rng)
    outcome = simulate_pairs(joined([truth] * 6), stack(rows), step_s=COARSE_S)
    honest = [Brewed(recipe=r, **read(outcome, i, rng)) for i, r in enumerate(rows)]
    wild = [*honest[:5], Brewed(recipe=rows[5], drained_s=3.0 * honest[5].drained_s)]

    def expected_s(belief: Belief) -> float:
        kits = belief.kits(belief.mean[None], np.zeros((1, len(OF_A_COFFEE))), 0)
        return float(simulate_pairs(kits, rows[0], step_s=COARSE_S).stream_breaks_s[0])

    assert expected_s(calibrate(wild)) == pytest.approx(expected_s(calibrate(honest)), rel=0.08)


def test_the_order_of_brews_teaches_nothing(journals):
    brews = next(brews for brews in journals if len(brews) == 4)[:3]
    one, other = calibrate(brews), calibrate(brews[::-1])
    np.testing.assert_allclose(one.mean, other.mean, atol=1e-8)
    np.testing.assert_allclose(one.covariance, other.covariance, atol=1e-8)


def test_a_brew_that_does_not_count_teaches_nothing():
    silent = Brewed(recipe=a_recipe(), drained_s=400.0, weight=0.0)
    np.testing.assert_allclose(calibrate([silent]).mean, 0.0, atol=1e-9)


def test_before_any_brew_the_prior_is_believed():
    belief = calibrate([])
    np.testing.assert_array_equal(belief.mean, no_belief().mean)
    np.testing.assert_array_equal(belief.covariance, np.eye(len(NAMES)))


def test_times_alone_tell_products_and_not_parts():
    """Size and permeability stay wide, but what they make together is narrow."""
    belief = calibrate([Brewed(recipe=a_recipe(), drained_s=200.0) for _ in range(4)])
    size, permeability = NAMES.index("size_um"), NAMES.index("permeability_m2")
    sd = np.sqrt(np.diag(belief.covariance))
    assert sd[size] > 0.6
    assert sd[permeability] > 0.6
    between = belief.covariance[size, permeability] / (sd[size] * sd[permeability])
    assert between < -0.3
