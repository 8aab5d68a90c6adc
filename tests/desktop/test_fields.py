import math
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QApplication

from halfclick.errors import BadInput
from halfclick.units import TemperatureUnit, Units, WeightUnit
from halfclick.wording import open_wording
from halfclick_desktop.text import typed
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.field import (
    ChoiceField,
    DateField,
    NumberField,
    YesNoField,
    parsed_date,
    parsed_measure,
    parsed_number,
)
from halfclick_desktop.widgets.mark import ChangeMark, MarkKind
from halfclick_desktop.widgets.notice import Notice

TODAY = date(2026, 11, 25)
OURS = Units(temperature=TemperatureUnit.FAHRENHEIT, weight=WeightUnit.OUNCE)
IN_OURS = open_wording()
IN_OURS.units = OURS
# Whatever can be typed, and what is nearly a number, a time or a day.
TYPED = st.one_of(
    st.text(max_size=40),
    st.text("0123456789.,:/-+ eE_\u2212\u00a0\u0663nNov s", max_size=24),
)


@pytest.mark.parametrize(
    ("text", "value"),
    [("15", 15.0), ("15,5", 15.5), ("15.5", 15.5), (" .5 ", 0.5), ("1 000", 1000.0), ("-2", -2.0)],
)
def test_a_number_is_read_with_either_decimal_mark(text: str, value: float):
    assert parsed_number(text) == value


@pytest.mark.parametrize("text", ["x", "1.2.3", "--1", "1e9", "inf", "nan", "٣", "1" * 40, "."])
def test_what_is_no_number_is_refused(text: str):
    with pytest.raises(BadInput):
        parsed_number(text)


@given(TYPED)
def test_any_text_is_a_number_that_is_finite_or_a_refusal(text: str):
    try:
        assert math.isfinite(parsed_number(text))
    except BadInput as refused:
        IN_OURS.sentence(refused)


@given(TYPED, st.sampled_from(["g", "c", "size_c", "g_s", "s"]))
def test_any_text_is_a_finite_measure_in_other_units_or_a_refusal(text: str, suffix: str):
    try:
        assert math.isfinite(parsed_measure(IN_OURS, suffix, text))
    except BadInput as refused:
        IN_OURS.sentence(refused)


@given(TYPED)
def test_any_text_is_a_time_a_timer_can_show_or_a_refusal(text: str):
    try:
        assert 0.0 <= parsed_time(text) < 100 * 60
    except BadInput as refused:
        IN_OURS.sentence(refused)


@given(TYPED)
def test_any_text_is_a_day_or_a_refusal(text: str):
    try:
        assert isinstance(parsed_date(text), date)
    except BadInput as refused:
        IN_OURS.sentence(refused)


@given(st.floats(-1e6, 1e6).map(lambda value: round(value, 1)))
def test_a_number_shown_in_a_field_reads_back_as_itself(value: float):
    assert parsed_number(typed(value)) == pytest.approx(value)


@pytest.mark.parametrize("text", ["2026-11-03", "3.11.2026", "3/11/2026", "3 Nov 2026"])
def test_a_day_is_read_in_the_usual_ways(text: str):
    assert parsed_date(text) == date(2026, 11, 3)


def test_a_wrong_number_is_said_beside_its_field_until_it_is_mended(qtbot, words):
    field = NumberField(words, "kit.altitude", unit="m")
    qtbot.addWidget(field)
    qtbot.keyClicks(field.line, "high")
    with pytest.raises(BadInput):
        field.value()
    assert "“high” is not a number" in field.error()
    qtbot.keyClick(field.line, Qt.Key.Key_Backspace)
    assert field.error() == ""


def test_showing_a_value_is_not_an_edit(qtbot, words):
    number = NumberField(words, "kit.altitude")
    choice = ChoiceField(words, "kit.shape", [("a", 1), ("b", 2)])
    tick = YesNoField(words, "kit.thermometer")
    for field, value in ((number, 120.0), (choice, 2), (tick, True)):
        qtbot.addWidget(field)
        with qtbot.assertNotEmitted(field.edited):
            field.show_value(value)
        assert field.value() == value


def test_a_field_in_another_unit_shows_it_and_gives_back_the_base_unit(qtbot, words):
    field = NumberField(words, "kit.top", unit="mm", scale=1000)
    qtbot.addWidget(field)
    field.show_value(0.116)
    assert field.text() == "116"
    assert field.value() == pytest.approx(0.116)


def test_up_in_an_empty_date_is_today_and_then_the_days_after(qtbot, words):
    field = DateField(words, "kit.name", today=TODAY)
    qtbot.addWidget(field)
    qtbot.keyClick(field.line, Qt.Key.Key_Up)
    assert field.value() == TODAY
    qtbot.keyClick(field.line, Qt.Key.Key_Down)
    assert field.value() == date(2026, 11, 24)


def test_a_choice_keeps_its_values_and_has_a_name(qtbot, words):
    field = ChoiceField(words, "kit.shape", [("a", 1), ("b", None)])
    qtbot.addWidget(field)
    qtbot.keyClick(field.combo, Qt.Key.Key_Down)
    assert field.value() is None
    assert field.combo.accessibleName() == "Shape"


def test_a_mark_says_what_it_shows(qtbot, words):
    mark = ChangeMark(words, MarkKind.CHANGED, 32)
    qtbot.addWidget(mark)
    assert mark.accessibleName() == "changed"
    changed = mark.grab().toImage()
    mark.show_kind("held")
    assert mark.grab().toImage() != changed


def test_undo_is_offered_only_where_it_can_be(qtbot, words):
    notice = Notice(words)
    qtbot.addWidget(notice)
    notice.say("Kept.")
    qtbot.keyClick(notice, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert notice.isVisible()
    notice.say("Put away.", undo=True)
    with qtbot.waitExposed(notice):
        notice.activateWindow()
    with qtbot.waitSignal(notice.undo_asked):
        qtbot.keyClick(notice, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert notice.isHidden()


@pytest.mark.parametrize("text", ["203.5", "203,5"])
def test_a_temperature_is_typed_in_the_unit_a_person_reads(qtbot, words, text: str):
    words.units = OURS
    field = NumberField(words, "log_page.temperature", unit="°C")
    qtbot.addWidget(field)
    qtbot.keyClicks(field.line, text)
    assert field.value() == pytest.approx(95.27778)  # (203.5 - 32) / 1.8
    assert field.control.accessibleName().endswith("°F")


def test_a_weight_shown_in_ounces_and_not_touched_is_kept_to_the_gram(qtbot, words):
    words.units = OURS
    field = NumberField(words, "log_page.dose", unit="g")
    qtbot.addWidget(field)
    field.show_value(15.3)
    assert field.text() == "0.54"
    assert field.value() == 15.3


def test_other_units_change_what_a_field_shows_and_not_what_it_means(qtbot, words):
    field = NumberField(words, "log_page.dose", unit="g")
    qtbot.addWidget(field)
    field.show_example(20.0)
    qtbot.keyClicks(field.line, "15,3")
    for units, text, example in ((OURS, "0.54", "0.71"), (Units(), "15.3", "20")):
        words.units = units
        with qtbot.assertNotEmitted(field.edited):
            field.show_units()
        assert field.text() == text
        assert field.line.placeholderText() == example
        assert field.value() == pytest.approx(15.3)


def test_what_is_no_number_stays_as_typed_in_other_units(qtbot, words):
    field = NumberField(words, "log_page.dose", unit="g")
    qtbot.addWidget(field)
    qtbot.keyClicks(field.line, "some")
    words.units = OURS
    field.show_units()
    assert field.text() == "some"


def test_a_field_of_a_unit_without_a_choice_stays_as_it_is(qtbot, words):
    field = NumberField(words, "kit.top", unit="mm", scale=1000)
    qtbot.addWidget(field)
    field.show_value(0.116)
    words.units = OURS
    field.show_units()
    assert field.text() == "116"


def test_a_choice_too_long_for_its_room_ends_in_dots_and_tells_the_whole(qtbot, words):
    field = ChoiceField(words, "kit.water", [("filtered tap water, jug of the kitchen", 1)])
    qtbot.addWidget(field)
    field.narrow_to(6)
    field.resize(120, field.sizeHint().height())
    field.show()
    assert field.combo.shown_text().endswith("\N{HORIZONTAL ELLIPSIS}")
    place = QPoint(9, 9)
    told = QHelpEvent(QEvent.Type.ToolTip, place, field.combo.mapToGlobal(place))
    QApplication.sendEvent(field.combo, told)
    assert field.combo.toolTip() == "filtered tap water, jug of the kitchen"
    field.resize(600, field.height())
    QApplication.processEvents()
    assert field.combo.shown_text() == "filtered tap water, jug of the kitchen"
    QApplication.sendEvent(field.combo, told)
    assert field.combo.toolTip() == ""
