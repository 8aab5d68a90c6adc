"""A person types what a cup was like, and sees what was made of it."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from walk import unnamed, unreached

from halfclick.model.brew import Brew, SlipKind
from halfclick.model.preference import Preference
from halfclick.model.tasting import Complaint, Mark, StrengthFelt, Tasting
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.corrections import brew_versions
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, record_brew
from halfclick_desktop.taste_page import TastePage

Key = Qt.Key


class AtTheCup:
    """A page that asks about a brew, and a person who types."""

    def __init__(self, qtbot, desk, brew: Brew) -> None:
        self.store = desk.store
        self.brew = brew
        self._desk = desk
        self._qtbot = qtbot
        self.open_again()

    def open_again(self) -> None:
        self.page = TastePage(self._desk)
        self._qtbot.addWidget(self.page)
        self.page.resize(1200, 800)
        self.page.show()
        self.page.show_brew(self.brew.id)

    def press(self, *keys: Qt.Key) -> None:
        for key in keys:
            self._qtbot.keyClick(self.page.focusWidget(), key)

    def type(self, text: str) -> None:
        self._qtbot.keyClicks(self.page.focusWidget(), text)

    def say(self, text: str) -> None:
        self.page._fields.words_line.line.setFocus()
        self.type(text)

    def matches(self) -> list[str]:
        return [row.text() for row in self.page._fields.matches.rows()]

    def sees(self) -> str:
        labels = [one.text() for one in self.page.findChildren(QLabel) if one.isVisible()]
        return "\n".join(labels).replace("\N{NO-BREAK SPACE}", " ")

    def marks(self) -> dict[str, float]:
        marks = self.page.entry().marks
        return {one.value: marks.of(one) for one in Mark if marks.of(one) is not None}

    def kept(self) -> Tasting:
        with self.store.reading() as r:
            return r.all(Tasting)[-1]


@pytest.fixture
def ilse(qtbot, desk, store, clock):
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    planned = next_plan(store, bag.id, today=clock().date())
    entry = BrewEntry(planned=planned_from(store, planned, planned.recipe), drained_s=128.0)
    brew = record_brew(store, entry, kit_in_use(store), clock=clock).value
    return AtTheCup(qtbot, desk, brew)


def test_what_the_words_stand_for_is_shown_as_they_are_typed_and_fills_the_rows(ilse):
    ilse.say("sharp")
    assert ilse.matches() == ["sharp → sour 5"]
    assert "from your words" in ilse.sees()
    ilse.type(", goes away fast, papery, drains forever")
    assert ilse.matches() == [
        "sharp → sour 5",
        "goes away fast → thin 5",
        "papery → papery",
        "“drains forever”: slow, or stalled?",
    ]
    assert ilse.marks() == {"sour": 5.0, "thin": 5.0}
    assert ilse.page.entry().complaints == (Complaint.PAPERY,)


def test_the_advice_follows_the_words(ilse):
    before = ilse.sees()
    assert "Tastes sour" not in before
    ilse.say("very sour")
    assert "Tastes sour" in ilse.sees()


def test_a_word_taken_back_takes_its_mark_back(ilse):
    ilse.say("sharp")
    for _ in range(5):
        ilse.press(Key.Key_Backspace)
    assert ilse.matches() == []
    assert ilse.marks() == {}


def test_a_mark_typed_by_hand_stands_before_the_words(ilse):
    ilse.type("2")
    ilse.say("very sour")
    assert ilse.marks() == {"sour": 2.0}
    assert ilse.matches() == ["sour → sour 8; yours stands"]


def test_a_mark_cleared_by_hand_stays_empty(ilse):
    ilse.press(Key.Key_Backspace)
    ilse.say("sour")
    assert ilse.marks() == {}


def test_a_word_is_left_out_and_counted_again_by_space(ilse):
    ilse.say("sharp")
    ilse.press(Key.Key_Down, Key.Key_Space)
    assert ilse.matches() == ["sharp → left out"]
    assert ilse.marks() == {}
    ilse.press(Key.Key_Space)
    assert ilse.marks() == {"sour": 5.0}


def test_a_word_changed_to_another_mark_is_remembered(ilse):
    ilse.say("sharp")
    ilse.press(Key.Key_Down, Key.Key_Right)
    assert ilse.matches() == ["sharp → bitter 5"]
    assert ilse.marks() == {"bitter": 5.0}
    ilse.press(Key.Key_Return)
    with ilse.store.reading() as r:
        assert [(one.key, one.value) for one in r.all(Preference, key="word.sharp")] == [
            ("word.sharp", "bitter")
        ]
    ilse.open_again()
    assert ilse.matches() == ["sharp → bitter 5"]
    ilse.page._fields.words_line.show_text("")
    ilse.say("sharp")
    assert ilse.matches() == ["sharp → bitter 5"]


@pytest.mark.parametrize(
    ("said", "asked", "how", "first", "second"),
    [
        ("acidic", "sour, or bright?", "pleasant acidity", {"sour": 5.0}, {}),
        ("rough", "bitter, or dry?", "Dry is a touch", {"bitter": 5.0}, {"harsh": 5.0}),
        ("weak", "weak, or underdone?", "sour and thin", {}, {"sour": 5.0, "thin": 5.0}),
        ("clogged", "slow, or stalled?", "stood still", {}, {}),
        ("too strong", "strong, or bitter?", "hot water", {}, {"bitter": 5.0}),
    ],
)
def test_a_word_of_two_meanings_is_asked_once_and_answered_by_a_key(
    ilse, said, asked, how, first, second
):
    ilse.say(said)
    assert sum(asked in line for line in ilse.matches()) == 1
    assert how in ilse.sees()
    assert ilse.marks() == {}
    ilse.press(Key.Key_Down)
    ilse.type("1")
    assert ilse.marks() == first
    ilse.press(Key.Key_Up)
    ilse.type("2")
    assert ilse.marks() == second


def test_weak_fills_the_strength(ilse):
    ilse.say("weak")
    ilse.press(Key.Key_Down)
    ilse.type("1")
    assert ilse.page.entry().strength_felt is StrengthFelt.WEAK


def test_an_unanswered_question_is_kept_as_words_alone(ilse):
    ilse.say("acidic, fruity")
    ilse.press(Key.Key_Return)
    kept = ilse.kept()
    assert kept.words == "acidic, fruity"
    assert all(kept.marks.of(mark) is None for mark in Mark)


def test_complaints_are_ticked_by_letters_kept_and_shown_again(ilse):
    ilse.page._fields.complaints.setFocus()
    ilse.type("fyn")
    ilse.type("f")
    assert ilse.page._fields.complaints.accessibleName() == "and also, smoky, not sweet"
    ilse.press(Key.Key_Return)
    assert ilse.kept().complaints == (Complaint.SMOKY, Complaint.NOT_SWEET)
    ilse.open_again()
    assert ilse.page.entry().complaints == (Complaint.SMOKY, Complaint.NOT_SWEET)


def test_a_complaint_cleared_by_hand_stands_before_the_words(ilse):
    ilse.say("papery")
    ilse.page._fields.complaints.setFocus()
    ilse.type("p")
    assert ilse.page.entry().complaints == ()


def test_a_kept_taste_opened_again_is_as_it_was_kept(ilse):
    ilse.say("sharp, papery, acidic")
    ilse.press(Key.Key_Down, Key.Key_Space, Key.Key_Return)
    kept = ilse.kept()
    assert (kept.marks.sour, kept.complaints) == (None, (Complaint.PAPERY,))
    ilse.open_again()
    assert ilse.matches() == ["sharp → left out", "papery → papery", "acidic → left out"]
    assert ilse.marks() == {}
    assert ilse.page.entry().complaints == (Complaint.PAPERY,)


def test_down_and_up_walk_from_the_words_through_the_matches_to_the_complaints(ilse):
    ilse.say("sharp, acidic")
    fields = ilse.page._fields
    first, second = fields.matches.rows()
    for wanted in (first, second, fields.complaints):
        ilse.press(Key.Key_Down)
        assert ilse.page.focusWidget() is wanted
    for wanted in (second, first, fields.words_line.control):
        ilse.press(Key.Key_Up)
        assert ilse.page.focusWidget() is wanted


def test_every_word_can_be_reached_and_read_out(ilse):
    ilse.say("sharp, papery, acidic, clogged")
    assert unnamed(ilse.page) == []
    assert unreached(ilse.page) == []


@pytest.mark.parametrize("text", ["🙂☕", "مر جدا", "x" * 10_000, "sour " * 300, "\u202esour"])
def test_any_words_are_taken(ilse, text):
    ilse.page._fields.words_line.show_text(text)
    ilse.page._edited()
    assert set(ilse.marks()) <= {"sour"}


def test_a_stall_in_words_is_offered_to_the_brew_and_kept_with_it(ilse):
    assert ilse.page._stall.isHidden()
    ilse.say("it stalled")
    assert ilse.page._stall.isVisible()
    ilse.page._stall.click()
    assert ilse.page._stall.isHidden()
    kept = brew_versions(ilse.store, ilse.brew.id)[0].record
    assert [slip.kind for slip in kept.slips] == [SlipKind.STALL]
