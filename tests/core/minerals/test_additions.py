"""What to add: exact doses, what binds, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.concentrate import Salt
from halfclick.physics.minerals.additions import Binds, Pair, Source, find_mix
from halfclick.physics.minerals.molar import Ion
from halfclick.physics.minerals.safe import check_added, check_stock, check_target
from halfclick.physics.minerals.salts import stock_g_per_l

PURE = Pair(hardness=0.0, alkalinity=0.0)
TARGET = Pair(hardness=68.0, alkalinity=40.0)
EPSOM = Salt.MAGNESIUM_SULFATE_7H2O
SODA = Salt.SODIUM_BICARBONATE


def stock(salt: Salt, mg_l: float = 1000.0) -> Source:
    return Source(salt=salt, g_per_l=stock_g_per_l(salt, mg_l))


def test_of_stocks_of_a_thousand_a_millilitre_is_a_milligram_a_litre():
    mix = find_mix(PURE, TARGET, hardness_from=stock(EPSOM), alkalinity_from=stock(SODA))
    assert mix.hardness_dose.stock_ml_l == pytest.approx(68.0)
    assert mix.alkalinity_dose.stock_ml_l == pytest.approx(40.0)
    assert mix.water == pytest.approx(1 - 0.108)
    assert mix.binds == ()


def test_hard_water_is_thinned_until_nothing_is_over():
    hard = Pair(hardness=307.0, alkalinity=295.0)
    mix = find_mix(hard, TARGET, diluting=PURE, hardness_from=Source(salt=EPSOM))
    assert mix.water == pytest.approx(40 / 295)
    assert mix.result.hardness == pytest.approx(68.0)
    assert mix.hardness_dose.salt_mg_l == pytest.approx((68 - 307 * 40 / 295) * 2.4625, rel=1e-4)
    assert mix.alkalinity_dose is None


def test_adding_takes_nothing_away_and_that_is_said():
    mix = find_mix(Pair(hardness=307.0, alkalinity=295.0), TARGET, hardness_from=stock(EPSOM))
    assert mix.binds == (Binds.HARDNESS_HIGH, Binds.ALKALINITY_HIGH)
    assert mix.water == 1.0
    assert mix.hardness_dose is None


def test_without_a_bicarbonate_what_lacks_is_said():
    mix = find_mix(PURE, TARGET, hardness_from=stock(EPSOM))
    assert mix.binds == (Binds.ALKALINITY_LOW,)


def test_a_stock_that_would_be_most_of_the_drink_is_too_weak():
    weak = stock(EPSOM, 100.0)
    assert find_mix(PURE, TARGET, hardness_from=weak).binds == (Binds.STOCK_WEAK,)


amounts = st.floats(0, 300)


@given(amounts, amounts, st.floats(0, 60), st.floats(0, 60), st.booleans(), st.booleans())
def test_no_other_share_of_the_two_waters_comes_nearer(h1, a1, h2, a2, has_salt, has_soda):
    mix = find_mix(
        Pair(hardness=h1, alkalinity=a1),
        TARGET,
        diluting=Pair(hardness=h2, alkalinity=a2),
        hardness_from=Source(salt=EPSOM) if has_salt else None,
        alkalinity_from=Source(salt=SODA) if has_soda else None,
    )

    def misses(share: float) -> float:
        hardness = h1 * share + h2 * (1 - share)
        alkalinity = a1 * share + a2 * (1 - share)
        hardness = max(hardness, TARGET.hardness) if has_salt else hardness
        alkalinity = max(alkalinity, TARGET.alkalinity) if has_soda else alkalinity
        return (hardness - TARGET.hardness) ** 2 + (alkalinity - TARGET.alkalinity) ** 2

    assert misses(mix.water) <= min(misses(n / 50) for n in range(51)) + 1e-6


@given(amounts, st.floats(0, 100), st.floats(500, 10_000))
def test_waters_and_stocks_fill_the_litre_and_the_figures_add_up(hardness, alkalinity, strength):
    mix = find_mix(
        Pair(hardness=hardness, alkalinity=alkalinity),
        TARGET,
        diluting=PURE,
        hardness_from=stock(EPSOM, strength),
        alkalinity_from=stock(SODA, strength),
    )
    doses = [dose for dose in (mix.hardness_dose, mix.alkalinity_dose) if dose]
    stocks = sum(dose.stock_ml_l for dose in doses) / 1000
    assert mix.water + mix.diluting + stocks == pytest.approx(1.0)
    assert mix.result.hardness == pytest.approx(68.0, abs=0.01)
    assert mix.result.alkalinity == pytest.approx(40.0, abs=0.01)


def test_absurd_targets_doses_and_stocks_are_refused():
    with pytest.raises(BadInput, match="bad_hardness"):
        check_target(Pair(hardness=900.0, alkalinity=40.0))
    with pytest.raises(BadInput, match="bad_alkalinity"):
        check_target(Pair(hardness=60.0, alkalinity=-1.0))
    with pytest.raises(BadInput, match="too_much"):
        check_added({Ion.SODIUM: 230.0}, None)
    with pytest.raises(BadInput, match="bad_strength"):
        check_stock(SODA, 500.0)
    check_target(TARGET)
