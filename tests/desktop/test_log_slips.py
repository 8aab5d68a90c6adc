"""Slips of a brew logged after the fact, and a dripper's body, as a person types them."""

from dataclasses import replace
from uuid import uuid4

import pytest
from PySide6.QtCore import Qt

from halfclick.model.brew import Brew, How, SlipKind
from halfclick.model.kit import DripperMaterial
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick_desktop.log_page import LogPage
from halfclick_desktop.widgets.dripper_form import DripperForm


@pytest.fixture
def page(qtbot, desk, store, clock):
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    page = LogPage(desk)
    qtbot.addWidget(page)
    page.show()
    page.show_bag(bag.id)
    return page


def choose(page, kind, size=""):
    combo = page._slips.kind.combo
    combo.setCurrentIndex(page._slips.kind._values.index(kind))
    page._slips.size_line.setText(size)


def kept(store):
    with store.reading() as r:
        return r.all(Brew)


def test_a_slip_that_is_chosen_is_kept_and_mends_what_was_read(page, store):
    plan = page._planned.recipe
    choose(page, SlipKind.UNTARED_DOSE)
    assert "as the scale read it" in page._slips.kind._hint.text()
    page._water.line.setText(f"{plan.water_g + plan.dose_g:g}")
    choose(page, SlipKind.UNTARED_DOSE)
    page.save()
    brew = kept(store)[0]
    assert (brew.poured.water_g.value, brew.poured.water_g.how) == (plan.water_g, How.CORRECTED)
    assert [one.kind for one in brew.slips] == [SlipKind.UNTARED_DOSE]
    assert brew.weight < 1.0


def test_a_dose_that_was_not_tared_weighs_what_was_typed(page, store):
    plan = page._planned.recipe
    choose(page, SlipKind.UNTARED_DOSE)
    page._dose.line.setText("20")
    page._water.line.setText(f"{plan.water_g + 20:g}")
    page.save()
    brew = kept(store)[0]
    assert brew.poured.water_g.value == plan.water_g
    assert [one.amount for one in brew.slips] == [20.0]


def test_water_added_to_the_cup_is_taken_off_it(page, store):
    choose(page, SlipKind.BYPASS, "30")
    assert "with the added water" in page._slips.kind._hint.text()
    page._beverage.line.setText("238.5")
    page.save()
    poured = kept(store)[0].poured
    assert (poured.beverage_g.value, poured.bypass_g.value) == (208.5, 30.0)


def test_water_that_the_plan_adds_afterwards_is_offered_and_is_no_slip(page, store):
    assert page._bypass.isHidden()
    page.show_planned(replace(page._planned, bypass_g=187.0))
    assert page._bypass.text() == "187"
    page._beverage.line.setText("395.5")
    page.save()
    brew = kept(store)[0]
    assert brew.poured.beverage_g.value == 208.5
    assert (brew.poured.bypass_g.value, brew.poured.bypass_g.how) == (187.0, How.MEASURED)
    assert brew.slips == ()


def test_a_size_is_asked_for_only_where_a_slip_has_one(page):
    assert not page._slips.size_line.isVisible()
    choose(page, SlipKind.STALL)
    assert not page._slips.size_line.isVisible()
    choose(page, SlipKind.RINSE_LEFT)
    assert page._slips.size_line.isVisible()
    assert "rinse water" in page._slips.size_line.accessibleName()


def test_two_slips_are_listed_and_one_is_taken_off_with_delete(page, qtbot, store):
    choose(page, SlipKind.RINSE_LEFT, "40")
    qtbot.mouseClick(page._slips._add, Qt.MouseButton.LeftButton)
    choose(page, SlipKind.LATE_CLOCK, "20")
    page._slips._add.setFocus()
    qtbot.keyClick(page._slips._add, Qt.Key.Key_Return)
    listed = page._slips._listed
    assert listed.count() == 2
    assert listed.accessibleName()
    listed.setCurrentRow(0)
    qtbot.keyClick(listed, Qt.Key.Key_Delete)
    page.save()
    assert [one.kind for one in kept(store)[0].slips] == [SlipKind.LATE_CLOCK]


@pytest.mark.parametrize("size", ["", "much", "-4", "0"])
def test_a_size_that_cannot_be_is_said_and_nothing_is_kept(page, store, size):
    choose(page, SlipKind.TARED_AFTER_BLOOM, size)
    page.save()
    assert page._error.text()
    assert kept(store) == []


def test_another_bag_begins_without_slips(page, store):
    choose(page, SlipKind.STALL)
    page._slips.keep_chosen()
    page.show_bag(page._planned.bag_id)
    page.save()
    assert kept(store)[0].slips == ()


def test_the_body_of_a_dripper_is_typed_and_shown_again(qtbot, words):
    form = DripperForm(words)
    qtbot.addWidget(form)
    form.show_thing(None)
    form._name.show_text("mine")
    form._material.show_value(DripperMaterial.GLASS)
    form._mass.line.setText("250")
    made = form.thing(uuid4())
    assert (made.material, made.mass_g) == (DripperMaterial.GLASS, 250.0)
    form.show_thing(None)
    assert form._material.value() is None
    form.show_thing(made)
    assert form._mass.value() == 250.0
