"""A water's report and what to add to it, from a bottle's label to the finished water."""

from dataclasses import replace
from uuid import uuid4

import pytest

from halfclick.errors import BadInput
from halfclick.model.concentrate import Salt
from halfclick.model.kit import Water
from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.additions import Pair, Source
from halfclick.physics.minerals.calcite import Scaling
from halfclick.physics.minerals.hardness_units import HardnessUnit
from halfclick.service.mixing import (
    AtHand,
    MixWanted,
    made_water,
    propose_mix,
    stock_recipe,
)
from halfclick.service.waters import (
    choose_hardness_unit,
    hardness_unit,
    in_unit,
    report_of,
)

BOTTLE = Water(
    id=uuid4(),
    name="bottle",
    minerals=Minerals(
        calcium_mg_l=80.0,
        magnesium_mg_l=26.0,
        sodium_mg_l=6.5,
        bicarbonate_mg_l=360.0,
        chloride_mg_l=10.0,
        sulfate_mg_l=14.0,
    ),
    tds_mg_l=345.0,
)
TARGET = Pair(hardness=68.0, alkalinity=40.0)


def said(words, messages) -> str:
    return " ".join(words.sentence(one) for one in messages)


def test_a_label_tells_hardness_alkalinity_and_strong_scale():
    report = report_of(BOTTLE)
    assert report.hardness == pytest.approx(306.9, abs=0.2)
    assert report.alkalinity == pytest.approx(295.3, abs=0.2)
    assert report.scaling is Scaling.STRONG
    assert not report.index_at_most
    assert report.doubts == ()


def test_of_a_strip_the_scale_is_an_upper_bound():
    report = report_of(Water(id=uuid4(), name="tap", hardness_mg_l=180.0, alkalinity_mg_l=120.0))
    assert report.index_at_most
    assert report.scaling is Scaling.STRONG or report.scaling is Scaling.CLEAR
    assert report_of(Water(id=uuid4(), name="tap")).scaling is None


def test_a_slip_of_the_decimal_point_is_doubted(words):
    slipped = replace(BOTTLE, minerals=replace(BOTTLE.minerals, calcium_mg_l=8.0))
    assert "calcium, magnesium or sodium missing" in said(words, report_of(slipped).doubts)
    strip = replace(BOTTLE, hardness_mg_l=100.0)
    assert "hardness of 307" in said(words, report_of(strip).doubts)


def test_a_bottle_is_thinned_and_given_magnesium(words):
    wanted = MixWanted(
        water=BOTTLE,
        target=TARGET,
        made_g=1000.0,
        demineralised=True,
        hardness_from=AtHand(source=Source(salt=Salt.MAGNESIUM_SULFATE_7H2O)),
    )
    proposed = propose_mix(wanted)
    assert proposed.reached
    text = said(words, proposed.steps)
    assert "135.5\N{NO-BREAK SPACE}g of bottle" in text
    assert "demineralised water" in text
    assert "sulfate along" in said(words, proposed.brings)
    # 0.065 g on a scale that tells tenths is a guess.
    assert "may be off by" in said(words, proposed.notes)
    made = made_water(proposed, "brew water")
    assert made.hardness_mg_l == 68.0
    assert made.minerals.calcium_mg_l == pytest.approx(80 * 0.13546, abs=0.01)


def test_alkalinity_from_soda_says_what_sodium_it_brings(words):
    pure = Water(id=uuid4(), name="pure", hardness_mg_l=0.0, alkalinity_mg_l=0.0)
    soda = AtHand(source=Source(salt=Salt.SODIUM_BICARBONATE, g_per_l=1.679), name="soda bottle")
    epsom = AtHand(
        source=Source(salt=Salt.MAGNESIUM_SULFATE_7H2O, g_per_l=2.463), name="epsom bottle"
    )
    wanted = MixWanted(
        water=pure, target=TARGET, made_g=500.0, hardness_from=epsom, alkalinity_from=soda
    )
    proposed = propose_mix(wanted)
    assert "18.4\N{NO-BREAK SPACE}mg/L of sodium" in said(words, proposed.brings)
    assert "20\N{NO-BREAK SPACE}mL of soda bottle" in said(words, proposed.steps)
    assert "Never mix the two in one bottle" in said(words, proposed.notes)


def test_hard_water_alone_stays_hard_and_says_so(words):
    proposed = propose_mix(MixWanted(water=BOTTLE, target=TARGET, made_g=1000.0))
    assert not proposed.reached
    assert "adding takes nothing away" in said(words, proposed.lacks)


def test_an_unknown_water_or_an_absurd_amount_is_refused(words):
    with pytest.raises(BadInput) as refused:
        propose_mix(MixWanted(water=Water(id=uuid4(), name="tap"), target=TARGET, made_g=1000.0))
    assert "Type its calcium" in words.sentence(refused.value)
    with pytest.raises(BadInput, match="bad_amount"):
        propose_mix(MixWanted(water=BOTTLE, target=TARGET, made_g=1.0))


def test_a_stock_of_a_thousand_is_told_in_grams(words):
    text = words.sentence(stock_recipe(Salt.MAGNESIUM_SULFATE_7H2O))
    assert "2.46\N{NO-BREAK SPACE}g" in text
    assert "off by 2\N{NO-BREAK SPACE}%" in text
    with pytest.raises(BadInput, match="cannot_weigh"):
        stock_recipe(Salt.SODIUM_BICARBONATE, litres=0.25)


def test_a_persons_unit_is_remembered(store, clock, words):
    assert hardness_unit(store) is HardnessUnit.MG_L
    choose_hardness_unit(store, HardnessUnit.GERMAN, clock=clock)
    assert hardness_unit(store) is HardnessUnit.GERMAN
    assert words.sentence(in_unit(68.0, HardnessUnit.GERMAN)) == "3.8 °dH"
