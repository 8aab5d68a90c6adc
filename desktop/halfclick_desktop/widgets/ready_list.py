"""What to have ready before the first water; what is tested wears the mark of change."""

from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from halfclick.model.acts import acts_in
from halfclick.model.planned_bypass import planned_bypass_g
from halfclick.model.recipe import Lever
from halfclick.model.under_way import UnderWay
from halfclick.wording import Wording
from halfclick_desktop.letting_go import let_go
from halfclick_desktop.look import INSIDE
from halfclick_desktop.widgets.mark import SIZE_PX, ChangeMark, MarkKind


class ReadyList(QWidget):
    """A line for each thing to do, then the caution in quiet."""

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._shown: list[QWidget] = []
        self._texts: list[tuple[QLabel, bool]] = []  # each with whether it is under test
        self._small = False
        self._lines = QVBoxLayout()
        self._lines.setSpacing(4)
        self._caution = QLabel(words("guide_page.caution"))
        self._caution.setProperty("role", "quiet")
        self._caution.setWordWrap(True)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, INSIDE, 0, 0)
        whole.setSpacing(INSIDE)
        whole.addLayout(self._lines)
        whole.addWidget(self._caution)

    def show_brew(self, begun: UnderWay, purge_g: float, heating: str) -> None:
        """Show what a brew needs.

        Args:
            begun: the brew.
            purge_g: what the grinder wants thrown away at a new setting, g.
            heating: how to get the water as hot as planned; empty where it is not planned.
        """
        for line in self._shown:
            self._lines.removeWidget(line)
            let_go(line)
        self._shown, self._texts = [], []
        words, plan = self._words, begun.plan
        changed = {change.lever for change in begun.changes}
        self._add(words("guide_page.weigh", dose_g=plan.dose_g))
        if plan.setting is not None:
            text = words("guide_page.set_grinder", setting=plan.setting.text)
            if purge_g and Lever.GRIND in changed:
                text = f"{text} {words('guide_page.purge', purge_g=purge_g)}"
            self._add(text, changed=Lever.GRIND in changed)
        if heating:
            self._add(heating, changed=Lever.TEMPERATURE in changed)
        for act in sorted(acts_in(begun.why)):
            text = words(f"act.{act.value}")
            self._add(text[:1].upper() + text[1:], changed=True)
        self._add(words("guide_page.rinse"))
        bypass_g = planned_bypass_g(begun.why)
        if bypass_g:
            self._add(words("guide_page.keep_hot", bypass_g=bypass_g))

    def show_small(self, small: bool) -> None:
        """Write small where the window is low, so that no line is out of sight."""
        if small == self._small:
            return
        self._small = small
        for label, changed in self._texts:
            label.setProperty("role", _role(changed=changed, small=small))
            label.style().unpolish(label)
            label.style().polish(label)

    def _add(self, text: str, *, changed: bool = False) -> None:
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(INSIDE)
        if changed:
            row.addWidget(ChangeMark(self._words, MarkKind.CHANGED))
        else:
            row.addSpacing(SIZE_PX + INSIDE)
        label = QLabel(text)
        label.setProperty("role", _role(changed=changed, small=self._small))
        label.setWordWrap(True)
        row.addWidget(label, 1)
        self._lines.addWidget(line)
        line.show()
        self._shown.append(line)
        self._texts.append((label, changed))


def _role(*, changed: bool, small: bool) -> str:
    if small:
        return "changed" if changed else "body"
    return "next_changed" if changed else "next"
