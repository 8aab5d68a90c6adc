"""Four questions of a new user, asked of the real window by keys alone, from an empty journal."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

Key = Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier
LONG_MS = 30_000
# Calcium, magnesium, sodium, potassium, bicarbonate, chloride and sulfate as a bottle has them.
BOTTLE = ("80", "26", "6.5", "1", "360", "10", "14")


@pytest.fixture(autouse=True)
def _forecasts(monkeypatch, _no_forecasts):
    """Let forecasts be made here, of few samples to be quick."""
    monkeypatch.setattr("halfclick_desktop.forecasts.REST_MS", 0)
    monkeypatch.setattr("halfclick.service.learned.SAMPLES", 24)
    monkeypatch.setattr("halfclick.service.learned.DRAWN", 48)


class NewUser:
    """Presses keys where the keys go, and reads what is in sight."""

    def __init__(self, qtbot, window) -> None:
        self.qtbot, self.window = qtbot, window
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)

    def press(self, *keys: Key, held=Qt.KeyboardModifier.NoModifier) -> None:
        for key in keys:
            self.qtbot.keyClick(self.window.focusWidget() or self.window, key, held)

    def type(self, text: str) -> None:
        self.qtbot.keyClicks(self.window.focusWidget(), text)

    def sees(self) -> str:
        page = self.window.page(self.window.current())
        shown = [label.text() for label in page.findChildren(QLabel) if label.isVisible()]
        return "\n".join(shown).replace("\N{NO-BREAK SPACE}", " ")

    def waits_to_see(self, text: str) -> None:
        self.qtbot.waitUntil(lambda: text in self.sees(), timeout=LONG_MS)

    def waits_to_be_at(self, name: str) -> None:
        def is_there() -> None:
            at = self.window.focusWidget()
            assert at is not None
            assert at.accessibleName().startswith(name), (
                f"{type(at).__name__} {at.accessibleName()}"
            )

        self.qtbot.waitUntil(is_there, timeout=LONG_MS)

    def waits_for(self, page: str) -> None:
        self.qtbot.waitUntil(lambda: self.window.current() == page, timeout=LONG_MS)


def test_a_new_user_finds_four_answers_by_keys(qtbot, start):
    new = NewUser(qtbot, start().window)
    new.type("Hand grinder")
    new.press(Key.Key_Return, Key.Key_Down)  # from a steep cone to a flat bottom
    new.press(Key.Key_Return, Key.Key_Tab)
    new.type("1800")
    new.press(Key.Key_Return, Key.Key_Return)
    new.waits_for("coffee_form")
    new.type("Tarn Hollow")
    new.press(Key.Key_Return)
    new.waits_for("sheet")
    new.press(Key.Key_Return)
    new.waits_for("plan")

    # How long do I wait at 1,800 m?
    assert "Water boils at 94 °C here. Boil, leave the lid on and wait 0:20 to 1:40" in new.sees()
    assert "about 0:45, for 93 °C" in new.sees()
    new.waits_to_see("Free below the rim")
    assert "run over the rim" not in new.sees()
    assert "the most and the least washed part" in new.sees()
    # What is proposed is not found fault with.
    assert "deep enough for a flat bottom" in new.sees()
    assert "mm deep" not in new.sees()

    # Will my flat-bottom dripper overflow with 30 g?
    new.press(*[Key.Key_Backtab] * 4)
    new.type("30")
    new.press(Key.Key_Tab)
    new.waits_to_see("may run over the rim, by up to about")
    new.press(Key.Key_F, held=CTRL)
    new.waits_to_see("What binds is the rim")
    assert "Use a smaller dose or a larger dripper" in new.sees()

    # What do I add to this bottled water?
    new.press(Key.Key_5, held=CTRL)
    new.waits_for("water")
    new.press(Key.Key_N)
    new.type("Bottle")
    for figure in BOTTLE:
        new.press(Key.Key_Tab)
        new.type(figure)
    new.press(Key.Key_Return)
    assert "Hardness 307 mg/L, alkalinity 295 mg/L" in new.sees()
    assert "Scale: much." in new.sees()
    new.press(Key.Key_A)
    new.waits_to_be_at("Hardness wanted")
    assert "1. Take 135.5 g of Bottle." in new.sees()
    assert "Stir in 0.07 g of magnesium sulfate heptahydrate" in new.sees()
    assert "That makes hardness 68 mg/L and alkalinity 40 mg/L." in new.sees()

    # My new grinder, where do I start?
    new.press(Key.Key_6, held=CTRL)
    new.waits_for("kit")
    new.waits_to_be_at("Grinder")
    new.press(Key.Key_Tab, Key.Key_Tab)  # past Change
    new.waits_to_be_at("Add another Grinder")
    new.press(Key.Key_Return)
    new.waits_to_see("Add a grinder")
    new.waits_to_be_at("What you call it")
    new.type("New mill")
    new.press(*[Key.Key_Tab] * 4)
    new.waits_to_be_at("One step moves the burrs by")
    new.type("25")
    new.press(Key.Key_Return)
    assert "New mill was added and is in use." in new.sees()
    new.press(Key.Key_1, held=CTRL)
    new.waits_for("coffees")
    new.press(Key.Key_Return)
    new.waits_for("sheet")
    assert "Start near 20 on this dial" in new.sees()
