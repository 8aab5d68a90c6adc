"""Caffeine of a pot as a range, worked by hand; the authority's figures with their source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.brew import Mode
from halfclick.model.caffeine import Beans, Caffeine, caffeine_of
from halfclick.model.tasting import Verdict
from halfclick.service.caffeine import (
    CaffeineShown,
    beans_of,
    caffeine_shown,
    pot_caffeine,
    show_caffeine,
    tasted_today,
    with_half_decaf,
)
from halfclick.service.plan import Planned, next_plan


@pytest.mark.parametrize(
    ("dose_g", "low", "high"),
    [
        # Arabica 1.0 to 1.4 % of roasted mass, 85 to 95 % extracted (from memory), by hand:
        # 12 x 10 x 0.85 = 102, 12 x 14 x 0.95 = 159.6 mg; and so on, to 10 mg.
        (12.0, 100, 160),
        (15.0, 130, 200),
        (20.0, 170, 270),
    ],
)
def test_a_pots_caffeine_is_a_range_from_its_dose(dose_g, low, high):
    assert caffeine_of(dose_g).shown() == (low, high)


def test_a_share_of_forty_percent_of_twenty_grams_is_seventy_to_a_hundred_and_ten():
    # 0.4 x 170 = 68 and 0.4 x 266 = 106.4 mg.
    assert caffeine_of(20.0).part(0.4).shown() == (70, 110)


def test_robusta_is_about_double():
    one, other = caffeine_of(15.0), caffeine_of(15.0, Beans.ROBUSTA)
    assert other.low_mg == pytest.approx(2 * one.low_mg)
    assert other.high_mg == pytest.approx(2 * one.high_mg)


@given(st.floats(1.0, 500.0))
def test_decaf_is_small_and_never_nothing(dose_g):
    low, high = caffeine_of(dose_g, Beans.DECAF).shown()
    assert 0 < low <= high
    # At most 0.1 % of dry mass: US commercial item description A-A-20213B.
    assert caffeine_of(dose_g, Beans.DECAF).high_mg <= dose_g * 0.001 * 1000


def test_half_decaf_is_half_of_each():
    # 10 g: 85 to 133 mg; 10 g of decaf: 1.7 to 9.5 mg.
    mixed = caffeine_of(20.0, Beans.HALF_DECAF)
    assert mixed.low_mg == pytest.approx(86.7)
    assert mixed.high_mg == pytest.approx(142.5)


@given(st.floats(0.0, 1.0), st.floats(1.0, 100.0))
def test_the_shares_of_a_pot_add_up_to_it(share, dose_g):
    pot = caffeine_of(dose_g)
    both = pot.part(share).plus(pot.part(1.0 - share))
    assert both.low_mg == pytest.approx(pot.low_mg)
    assert both.high_mg == pytest.approx(pot.high_mg)


@pytest.mark.parametrize("share", [-0.1, 1.1])
def test_no_share_is_less_than_nothing_or_more_than_all(share):
    with pytest.raises(ValueError, match="share"):
        caffeine_of(20.0).part(share)


def test_a_range_runs_upwards():
    with pytest.raises(ValueError, match="range"):
        Caffeine(low_mg=2.0, high_mg=1.0)


def test_a_dose_of_nothing_is_a_mistake():
    with pytest.raises(ValueError, match="positive"):
        caffeine_of(0.0)


def test_the_figures_are_quoted_with_their_source_and_a_doctor(store, clock, words):
    view = pot_caffeine(store, 20.0, beans=Beans.ARABICA, share=0.4, today=clock().date())
    said = words.sentences(view.told + view.figures).replace("\N{NO-BREAK SPACE}", " ")
    # EFSA (2015), EFSA Journal 13(5):4102, abstract.
    for part in ("EFSA (2015)", "400 mg a day", "200 mg at once", "200 mg a day", "3 mg per kg"):
        assert part in said
    assert "170 to 270 mg" in said
    assert "A share of 40 %: 70 to 110 mg" in said
    assert "10 g of it and 10 g of decaf" in said
    assert "midwife" in said
    assert "not medical advice" in said
    for word in ("safe", "healthy for"):
        assert word not in said


@pytest.mark.parametrize("share", [0.0, -1.0, 1.5])
def test_an_impossible_share_is_refused(store, clock, share):
    with pytest.raises(BadInput):
        pot_caffeine(store, 20.0, beans=Beans.ARABICA, share=share, today=clock().date())


def test_cups_tasted_today_are_counted_and_yesterdays_are_not(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", Verdict.CHANGE)  # a day passes
    assert tasted_today(store, clock().date()) == (Caffeine(low_mg=0.0, high_mg=0.0), 0)
    brewed_on = clock().date()
    cup(bag, "18", Verdict.CHANGE)
    total, count = tasted_today(store, brewed_on)
    assert count == 1
    assert total == caffeine_of(15.0)


def test_a_decaf_label_is_believed(store, coffee):
    assert beans_of(store, coffee("Ash Gill", decaf=True).id) is Beans.DECAF
    assert beans_of(store, coffee("Fell Beck").id) is Beans.ARABICA


def test_when_to_show_it_is_kept(store, clock):
    assert caffeine_shown(store) is CaffeineShown.ASKED
    show_caffeine(store, CaffeineShown.NEVER, clock=clock)
    assert caffeine_shown(store) is CaffeineShown.NEVER


def test_half_decaf_is_noted_once(store, clock, coffee, kit):
    bag = coffee("Tarn Hollow")
    recipe = next_plan(store, bag.id, today=clock().date()).recipe
    planned = Planned(bag_id=bag.id, recipe=recipe, mode=Mode.EXPERIMENT)
    noted = with_half_decaf(with_half_decaf(planned))
    assert [one.code for one in noted.why] == ["caffeine_panel.half_decaf_note"]
