"""A person at the kettle, who has keys and a clock."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from halfclick.model.brew import Brew
from halfclick.model.under_way import GuideEvent
from halfclick_desktop.guide_page import GuidePage


class AtTheKettle:
    """A page that leads one brew, and a person in front of it who has keys and a clock."""

    def __init__(self, qtbot, desk, clock) -> None:
        self.page = GuidePage(desk)
        self.store = desk.store
        self._qtbot = qtbot
        self._clock = clock
        self.finished: list[object] = []
        self.page.finished.connect(self.finished.append)
        qtbot.addWidget(self.page)
        self.page.resize(1100, 720)
        self.page.show()

    def press(self, *keys: Qt.Key) -> None:
        for key in keys:
            self._qtbot.keyClick(self.page.focusWidget() or self.page, key)

    def type(self, text: str) -> None:
        for letter in text:
            self._qtbot.keyClicks(self.page.focusWidget() or self.page, letter)

    def wait(self, seconds: float) -> None:
        self._clock.advance(seconds)
        self.page._redraw()

    def sees(self) -> str:
        labels = [one.text() for one in self.page.findChildren(QLabel) if one.isVisible()]
        return "\n".join(labels).replace("\N{NO-BREAK SPACE}", " ")

    def kept(self) -> Brew:
        with self.store.reading() as r:
            return r.get(Brew, self.finished[0])

    def events(self) -> list[GuideEvent]:
        with self.store.reading() as r:
            return r.all(GuideEvent)
