"""The twenty-second entry by keys alone, and the advice that settles beside it."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from walk import unnamed

from halfclick.errors import StoreUnwritable
from halfclick.model.advice import Answer, Proposal
from halfclick.model.brew import Brew
from halfclick.model.grinder import read_setting
from halfclick.model.moves import with_setting
from halfclick.model.tasting import Bed, Mark, StrengthFelt, Tasting, Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, record_brew
from halfclick_desktop import taste_page
from halfclick_desktop.taste_page import TastePage

Key = Qt.Key


class AtTheCup:
    """A page that asks about one brew, and a person who answers it by keys."""

    def __init__(self, qtbot, desk, brew) -> None:
        self.page = TastePage(desk)
        self.store = desk.store
        self.brew = brew
        self._qtbot = qtbot
        self.tasted: list[object] = []
        self.page.tasted.connect(self.tasted.append)
        qtbot.addWidget(self.page)
        self.page.resize(1200, 800)
        self.page.show()
        self.page.show_brew(brew.id)

    def press(self, *keys: Qt.Key) -> None:
        for key in keys:
            self._qtbot.keyClick(self.page.focusWidget(), key)

    def type(self, text: str) -> None:
        for letter in text:
            self._qtbot.keyClicks(self.page.focusWidget(), letter)

    def sees(self) -> str:
        labels = [one.text() for one in self.page.findChildren(QLabel) if one.isVisible()]
        return "\n".join(labels).replace("\N{NO-BREAK SPACE}", " ")

    def all(self, kind):
        with self.store.reading() as r:
            return r.all(kind)


@pytest.fixture
def ilse(qtbot, desk, store, clock):
    """A brew at 18 that drained in 2:08.4, and its taste still to be told."""
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    kit = kit_in_use(store)
    planned = next_plan(store, bag.id, today=clock().date())
    recipe = with_setting(planned.recipe, read_setting(kit.grinder, kit.zero, "18"))
    entry = BrewEntry(planned=planned_from(store, planned, recipe), drained_s=128.4)
    return AtTheCup(qtbot, desk, record_brew(store, entry, kit, clock=clock).value)


def test_a_digit_answers_a_row_and_the_next_row_takes_the_keys(ilse):
    ilse.type("60502r5k")
    entry = ilse.page.entry()
    assert [entry.marks.of(mark) for mark in Mark] == [6.0, 0.0, 5.0, 0.0, 2.0]
    assert (entry.strength_felt, entry.liking) == (StrengthFelt.RIGHT, 5.0)
    assert entry.verdict is Verdict.KEEP
    ilse.type("sharp, goes away fast")
    assert ilse.page.entry().words == "sharp, goes away fast"


def test_a_mark_can_be_ticked_overwhelming_or_left_out(ilse):
    ilse.type("x+")
    ilse.press(Key.Key_Down)
    ilse.type("3")
    marks = ilse.page.entry().marks
    assert (marks.sour, marks.bitter, marks.thin, marks.harsh) == (5.0, 10.0, None, 3.0)


def test_a_mark_typed_wrong_is_gone_back_to_and_cleared(ilse):
    ilse.type("7")
    ilse.press(Key.Key_Up, Key.Key_Backspace)
    assert ilse.page.entry().marks.sour is None
    ilse.type("2")
    assert ilse.page.entry().marks.sour == 2.0


@pytest.mark.parametrize(
    ("key", "felt"),
    [
        ("w", StrengthFelt.WEAK),
        ("1", StrengthFelt.WEAK),
        ("r", StrengthFelt.RIGHT),
        ("2", StrengthFelt.RIGHT),
        ("S", StrengthFelt.STRONG),
        ("3", StrengthFelt.STRONG),
    ],
)
def test_strength_is_told_by_its_letter_or_its_place(ilse, key, felt):
    ilse.type("00000")
    ilse.type(key)
    assert ilse.page.entry().strength_felt is felt


def test_a_liking_of_nothing_is_no_liking(ilse):
    ilse.type("00000r0")
    assert ilse.page.entry().liking is None


def test_a_row_tells_a_screen_reader_its_answer(ilse):
    ilse.type("6")
    row = ilse.page._marks[Mark.SOUR]
    assert row.accessibleName() == "sour, 6"
    assert "overwhelming" in row.accessibleDescription()


def test_the_page_says_when_to_judge_and_when_to_drink(ilse):
    assert "judge between 45 °C and 55 °C" in ilse.sees()
    assert "drink it below 65 °C" in ilse.sees()


def test_the_advice_is_there_before_the_taste_is_kept_and_settles_as_more_is_told(ilse):
    assert "What to do next" in ilse.sees()
    ilse.type("60")
    first = ilse.sees()
    ilse.type("502r5c")
    assert ilse.sees() != first
    assert "steps finer" in ilse.sees()
    assert "Held: 1:16, 240 g" in ilse.sees()
    assert ilse.all(Tasting) == []


def test_a_drained_time_that_was_only_shown_is_no_correction(ilse):
    assert ilse.page._fields.drained.text() == "2:08"
    ilse.type("60502r5k")
    ilse.press(Key.Key_Return)
    assert ilse.all(Brew) == [ilse.brew]


def test_a_drained_time_typed_anew_is_kept_as_a_correction(ilse):
    ilse.page._fields.drained.show_text("2:20")
    ilse.type("60502r5k")
    ilse.press(Key.Key_Return)
    (mended,) = ilse.all(Brew)
    assert mended.corrects_id == ilse.brew.id
    assert mended.poured.drained_s.value == 140.0
    assert len(ilse.all(Tasting)) == 1


@pytest.mark.parametrize("typed", ["soon", "9:99", "2:5"])
def test_a_time_that_is_none_is_said_and_nothing_is_kept(ilse, typed):
    ilse.page._fields.drained.show_text(typed)
    ilse.type("60502r5k")
    ilse.press(Key.Key_Return)
    assert "is no time" in ilse.sees()
    assert ilse.all(Tasting) == []
    assert ilse.page.entry().marks.sour == 6.0


def test_what_is_seldom_known_can_be_told_too(ilse):
    ilse.page._fields.beverage.line.setText("205")
    ilse.page._fields.measured.line.setText("1.35")
    ilse.page._fields.bed.show_value(Bed.DRY_PATCH)
    ilse.type("60502r5k")
    ilse.press(Key.Key_Return)
    (kept,) = ilse.all(Tasting)
    assert kept.beverage_g == 205.0
    assert kept.strength == pytest.approx(0.0135)
    assert kept.bed is Bed.DRY_PATCH


def test_a_usual_cup_is_asked_nothing_about_its_measurement(ilse):
    fields = ilse.page._fields
    assert not fields.more.isVisible()
    fields.measured.setFocus()
    ilse.type("1.35")
    assert fields.more.button.isVisible()
    assert not fields.more.uncertainty.isVisible()
    assert unnamed(ilse.page) == []


def test_who_measures_first_is_told_what_spoils_a_sample_once(ilse):
    fields, caution = ilse.page._fields, ilse.page._sample
    assert not caution.isVisible()
    fields.measured.setFocus()
    ilse.type("1.35")
    assert caution.isVisible()
    assert "stands open" in caution.text()
    assert "zeroed" in caution.text()
    caution.see()
    ilse.type("1")
    assert not caution.isVisible()


def test_more_about_a_measurement_is_opened_by_a_key_typed_and_kept(ilse):
    fields = ilse.page._fields
    fields.measured.setFocus()
    ilse.type("1.35")
    fields.more.button.setFocus()
    ilse.press(Key.Key_Space)
    for field, text in ((fields.more.uncertainty, "0.03"), (fields.more.sample, "24")):
        field.setFocus()
        ilse.type(text)
    fields.more.moisture.setFocus()
    ilse.type("3")
    assert unnamed(ilse.page) == []
    ilse.press(Key.Key_Return)
    (kept,) = ilse.all(Tasting)
    told = (kept.strength_sd, kept.sample_c, kept.dose_moisture)
    assert told == pytest.approx((0.0003, 24.0, 0.03))
    ilse.page.show_brew(ilse.brew.id)
    assert fields.more.uncertainty.text() == "0.03"
    assert fields.more.uncertainty.isVisible()


def test_without_a_strength_nothing_is_kept_of_its_measurement(ilse):
    fields = ilse.page._fields
    fields.measured.setFocus()
    ilse.type("1.35")
    fields.more.button.click()
    fields.more.sample.setFocus()
    ilse.type("hot")
    assert fields.more.sample.error()
    fields.measured.setFocus()
    fields.measured.line.selectAll()
    ilse.press(Key.Key_Delete)
    ilse.page.save()
    (kept,) = ilse.all(Tasting)
    assert (kept.strength, kept.sample_c) == (None, None)


def test_return_keeps_the_taste_and_return_again_accepts_the_advice(ilse):
    ilse.type("60502r5c")
    ilse.press(Key.Key_Return)
    assert len(ilse.all(Tasting)) == 1
    assert ilse.tasted == []
    ilse.press(Key.Key_Return)
    (proposal,) = ilse.all(Proposal)
    assert proposal.answer is Answer.ACCEPTED
    assert proposal.why
    assert ilse.tasted == [ilse.brew.id]


def test_an_advice_is_refused_with_the_persons_own_reason(ilse):
    ilse.type("60502r5c")
    ilse.press(Key.Key_Return)
    ilse.type("n")
    ilse.type("the mill was cold")
    ilse.press(Key.Key_Return)
    (proposal,) = ilse.all(Proposal)
    assert (proposal.answer, proposal.answer_reason) == (Answer.REFUSED, "the mill was cold")
    assert ilse.tasted == [ilse.brew.id]


def test_an_advice_on_marks_changed_since_is_not_answered_before_they_are_kept(ilse):
    ilse.type("60502r5c")
    ilse.press(Key.Key_Return)
    ilse.page._marks[Mark.SOUR].setFocus()
    ilse.type("0")
    assert not ilse.page._panel._accept.isVisible()
    ilse.press(Key.Key_Return)  # keeps the taste, and answers nothing
    assert ilse.all(Proposal) == []
    (kept,) = ilse.all(Tasting)
    assert kept.marks.sour == 0.0
    assert ilse.page._panel._accept.isVisible()


def test_nothing_tasted_is_kept_as_nothing_and_asks_for_no_answer(ilse):
    ilse.page.save()
    (kept,) = ilse.all(Tasting)
    assert kept.liking is None
    assert ilse.all(Proposal) == []


def test_an_answer_that_could_not_be_kept_is_said_and_can_be_given_again(ilse, monkeypatch):
    ilse.type("60502r5c")
    ilse.press(Key.Key_Return)
    real = taste_page.answer

    def full(*_args, **_named):
        raise StoreUnwritable("store.full", path="/home/ilse/journal.db")

    monkeypatch.setattr(taste_page, "answer", full)
    ilse.press(Key.Key_Return)
    assert "/home/ilse/journal.db" in ilse.sees()
    assert ilse.tasted == []
    monkeypatch.setattr(taste_page, "answer", real)
    ilse.press(Key.Key_Return)
    assert ilse.tasted == [ilse.brew.id]


def test_a_measured_strength_says_what_it_comes_to_and_what_cannot_be(ilse):
    fields = ilse.page._fields
    fields.beverage.line.setText("205")
    fields.measured.setFocus()
    ilse.type("1.35")
    assert "Extraction " in ilse.sees()
    assert "give or take" in ilse.sees()
    ilse.type("9")
    assert "coffee gives" not in ilse.sees()
    fields.measured.line.selectAll()
    ilse.type("3.9")
    assert "coffee gives" in ilse.sees()
