"""At the kettle by keys alone: what is shown, what each slip does, and what is kept at once."""

import pytest
from at_the_kettle import AtTheKettle
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QLabel

from halfclick.brewing.screen import Phase
from halfclick.errors import StoreUnwritable
from halfclick.model.brew import How, SlipKind
from halfclick.model.kit import ScaleCarries
from halfclick.model.recipe import Change, Lever
from halfclick.service.guide import under_way
from halfclick_desktop import guide_page
from halfclick_desktop.widgets.mark import ChangeMark, MarkKind


def test_what_is_tested_wears_the_half_mark_and_all_else_is_said_to_be_held(begun):
    bo = begun(changes=(Change(lever=Lever.GRIND, amount=-2.0),))
    assert "Testing: 2 steps finer. All else is held." in bo.sees()
    assert bo.page._testing.property("role") == "changed"
    assert bo.page._mark._kind is MarkKind.CHANGED
    assert bo.page._mark.accessibleName()


def test_what_was_moved_is_marked_in_the_list_of_what_to_have_ready(begun):
    bo = begun(changes=(Change(lever=Lever.TEMPERATURE, amount=3.0),))
    roles = {one.text(): one.property("role") for one in bo.page._ready.findChildren(QLabel)}
    changed = [
        text.replace("\N{NO-BREAK SPACE}", " ") for text in roles if "changed" in roles[text]
    ]
    # This kettle has no thermometer and was not timed. Worked by hand: 440 g in 0.45 kg of steel is
    # 2075 J/K, 0.68 W/K, and 4.97 K of 77.97 K take 200 s, or 83 to 482 s.
    assert len(changed) == 1
    assert changed[0].startswith("Water boils at 100 °C here. Boil, leave the lid on and wait ")
    assert "wait 1:20 to 8:05, about 3:20, for 95 °C, with about 440 g" in changed[0]
    assert len(bo.page._ready.findChildren(ChangeMark)) == 1
    bo.press(Qt.Key.Key_Space)
    assert not bo.page._ready.isVisible()


def test_a_first_cup_tests_nothing_and_wears_no_accent(begun):
    bo = begun()
    assert "A first cup: nothing to compare with yet." in bo.sees()
    assert bo.page._testing.property("role") == "quiet"
    assert bo.page._mark._kind is MarkKind.HELD


def test_before_the_first_water_one_is_told_what_to_have_ready(begun):
    seen = begun().sees()
    for told in (
        "Weigh 15 g of beans.",
        "wait 1:20 to 8:05, about 3:20, for 95 °C",
        "Rinse the paper",
        "scalds at once",
    ):
        assert told in seen
    assert "Press Space as the first water touches the grounds." in seen


def test_the_page_leads_through_a_brew_with_two_keys_and_one_reading(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(4)
    # At the plan's 5 g a second 20 g of the bloom's 45 are in.
    for told in ("Wet all the grounds, to 45 g.", "25 g", "stop at 45 g", "0:04"):
        assert told in bo.sees()
    assert "Next: at 0:45, pour to 140 g." in bo.sees()
    bo.wait(26)
    assert "Wait until 0:45." in bo.sees()
    assert "95 g" in bo.sees()
    bo.wait(20)
    assert "Pour to 140 g." in bo.sees()
    bo.wait(45)
    assert "Pour to 240 g." in bo.sees()
    assert "Next: let it drain." in bo.sees()
    bo.wait(65)
    assert "Let it drain." in bo.sees()
    bo.press(Qt.Key.Key_Space)
    assert "What does the scale read, dripper still on it?" in bo.sees()
    bo.type("238")
    bo.press(Qt.Key.Key_Return)
    poured = bo.kept().poured
    assert (poured.water_g.value, poured.water_g.how) == (238.0, How.MEASURED)
    assert (poured.drained_s.value, poured.drained_s.how) == (160.0, How.MEASURED)
    assert under_way(bo.store) is None


def test_no_key_is_taken_for_going_on_while_water_runs(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(3)
    bo.press(Qt.Key.Key_Space, Qt.Key.Key_Return)
    assert len(bo.events()) == 1
    bo.wait(27)
    bo.press(Qt.Key.Key_Return)
    assert len(bo.events()) == 1


def test_a_key_held_down_is_one_press(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(30)
    held = QKeyEvent(
        QEvent.Type.KeyPress, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ", True
    )
    QApplication.sendEvent(bo.page, held)
    assert len(bo.events()) == 1


def test_a_forgotten_tare_is_one_key_and_every_later_weight_counts_it_in(begun):
    # Story of a scale that stood at 15 g: the bloom to "45" was 30 g, 2.0 x the dose.
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(20)
    bo.type("d")
    seen = bo.sees()
    assert "The bloom so far is 30 g, 2 × the dose." in seen
    assert "Add 15 g to the bloom now." in seen
    assert "stop at 155 g" in seen
    assert not bo.page._slips._buttons[bo.events()[-1].kind].isVisible()
    bo.wait(40)
    assert "Pour to 155 g." in bo.sees()
    bo.wait(30)
    assert "Pour to 255 g." in bo.sees()
    bo.wait(70)
    bo.press(Qt.Key.Key_Space)
    bo.type("255")
    bo.press(Qt.Key.Key_Return)
    kept = bo.kept()
    water, bloom = kept.poured.water_g, kept.poured.bloom_g
    assert (water.value, water.sd, water.how) == (240.0, 1.0, How.CORRECTED)
    # 30 g, or 45 g where it was topped up: the record says that it is one of the two.
    assert (bloom.value - bloom.sd, bloom.value + bloom.sd) == (30.0, 45.0)
    assert [slip.kind for slip in kept.slips] == [SlipKind.UNTARED_DOSE]
    assert 0.0 < kept.weight < 1.0


def test_a_clock_started_late_is_put_forward(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(10)
    bo.type("c")
    bo.type("20")
    bo.press(Qt.Key.Key_Return)
    assert "0:30" in bo.sees()


@pytest.mark.parametrize("answer", ["", "?"])
def test_a_clock_that_was_forgotten_is_unknown_and_not_zero(begun, answer):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(30)
    bo.type("c")
    bo.type(answer)
    bo.press(Qt.Key.Key_Return)
    assert "time unknown" in bo.sees()
    bo.wait(130)
    bo.press(Qt.Key.Key_Space, Qt.Key.Key_Return)
    assert bo.kept().poured.drained_s.how is How.UNKNOWN


def test_a_stall_says_what_to_do(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(120)
    bo.type("s")
    assert "Stop pouring and do not stir." in bo.sees()


def test_a_slip_by_mistake_is_taken_back(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(20)
    bo.type("d")
    bo.type("u")
    assert "Taken back: " in bo.sees()
    assert "stop at 140 g" in bo.sees()
    assert "too high" not in bo.sees()


@pytest.mark.parametrize(
    ("slip", "typed", "said"),
    [
        ("o", "much", "number"),
        ("o", "-5", "A scale does not read"),
        ("o", "99999", "A scale does not read"),
        ("c", "900", "A clock is not"),
        ("c", "0", "A clock is not"),
        ("l", "-5", "A scale does not read"),
    ],
)
def test_a_reading_that_cannot_be_is_said_and_asked_again(begun, slip, typed, said):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(130)
    bo.type(slip)
    bo.type(typed)
    bo.press(Qt.Key.Key_Return)
    assert said in bo.sees()
    assert bo.page._ask.isVisible()
    assert len(bo.events()) == 1
    bo.press(Qt.Key.Key_Escape)
    assert not bo.page._ask.isVisible()
    assert len(bo.events()) == 1
    bo.type("s")  # the keys are the page's again
    assert len(bo.events()) == 2


def test_a_server_weighed_at_the_lift_is_not_asked_for_again(begun):
    bo = begun(ScaleCarries.SERVER_ALONE)
    bo.press(Qt.Key.Key_Space)
    bo.wait(130)
    bo.type("l")
    bo.type("205")
    bo.press(Qt.Key.Key_Return)
    beverage = bo.kept().poured.beverage_g
    assert (beverage.value, beverage.how) == (205.0, How.MEASURED)


def test_escape_says_that_the_brew_goes_on_before_it_leaves(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.press(Qt.Key.Key_Escape)
    assert "Escape again leaves this page. The brew and its clock go on" in bo.sees()


def test_a_lift_off_a_scale_that_carried_both_is_never_kept_as_water(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(130)
    bo.type("l")
    bo.type("205")
    bo.press(Qt.Key.Key_Return)
    poured = bo.kept().poured
    assert (poured.beverage_g.value, poured.beverage_g.how) == (205.0, How.MEASURED)
    assert (poured.water_g.value, poured.water_g.how) == (240.0, How.PLANNED)


def test_a_reading_far_from_the_brew_is_asked_again_and_then_believed(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(160)
    bo.press(Qt.Key.Key_Space)
    bo.type("25")
    bo.press(Qt.Key.Key_Return)
    assert "25 g is far from what this brew leads to" in bo.sees()
    bo.press(Qt.Key.Key_Return)
    assert bo.kept().poured.water_g.value == 25.0


def test_a_lift_that_was_not_weighed_is_asked_for_the_reading_once(begun):
    bo = begun(ScaleCarries.SERVER_ALONE)
    bo.press(Qt.Key.Key_Space)
    bo.wait(130)
    bo.type("l")
    bo.press(Qt.Key.Key_Return)
    assert "What does the server weigh" in bo.sees()
    bo.press(Qt.Key.Key_Return)
    kept = bo.kept()
    assert kept.poured.beverage_g.how is How.UNKNOWN
    assert [slip.kind for slip in kept.slips] == [SlipKind.LIFTED_EARLY]


def test_a_slip_clicked_while_something_is_asked_closes_the_question(begun, qtbot):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(160)
    bo.press(Qt.Key.Key_Space)
    assert bo.page._ask.isVisible()
    back = bo.page._slips._buttons
    qtbot.mouseClick(
        next(back[kind] for kind in back if kind == "taken_back"), Qt.MouseButton.LeftButton
    )
    assert not bo.page._ask.isVisible()
    assert bo.page.now_shown().phase is Phase.DRAIN


def test_a_question_left_with_escape_can_be_asked_for_again(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(160)
    bo.press(Qt.Key.Key_Space, Qt.Key.Key_Escape)
    assert under_way(bo.store) is not None
    bo.wait(30)
    assert "2:40" in bo.sees()
    bo.press(Qt.Key.Key_Space)
    bo.type("240")
    bo.press(Qt.Key.Key_Return)
    assert bo.kept().poured.drained_s.value == 160.0


def test_every_key_is_in_the_journal_before_the_next_one(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(20)
    bo.type("d")
    found = under_way(bo.store).guide
    assert found.offset_g == 15.0
    assert found.started_at is not None


def test_a_brew_found_again_goes_on_where_its_clock_stands(begun, qtbot, desk, clock):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(20)
    bo.type("d")
    clock.advance(30)
    again = AtTheKettle(qtbot, desk, clock)
    again.page.resume(under_way(bo.store))
    assert "Pour to 155 g." in again.sees()
    assert "0:50" in again.sees()


def test_a_key_that_could_not_be_kept_is_said_and_works_once_there_is_room(begun, monkeypatch):
    bo = begun()
    real = guide_page.note

    def full(*_args, **_named):
        raise StoreUnwritable("store.full", path="/home/bo/journal.db")

    monkeypatch.setattr(guide_page, "note", full)
    bo.press(Qt.Key.Key_Space)
    assert "/home/bo/journal.db" in bo.sees()
    assert bo.page.now_shown().phase is Phase.GET_READY
    bo.wait(1)
    assert "/home/bo/journal.db" in bo.sees()
    monkeypatch.setattr(guide_page, "note", real)
    bo.press(Qt.Key.Key_Space)
    assert bo.page.now_shown().phase is Phase.POUR
    assert "/home/bo/journal.db" not in bo.sees()


def test_the_numbers_at_the_kettle_are_read_from_two_metres(begun):
    bo = begun()
    bo.press(Qt.Key.Key_Space)
    bo.wait(4)
    left, stop = bo.page._left.fontInfo().pixelSize(), bo.page._stop.fontInfo().pixelSize()
    assert (left, stop) == (72, 34)
