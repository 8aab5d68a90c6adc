"""The reasons of a first recipe: each number with where it comes from and what stands behind it."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel

from halfclick.service.first_recipe import FirstRecipe, Reasoned
from halfclick.wording import Wording
from halfclick_desktop.letting_go import let_go
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.panel import Panel


class ReasonList(Panel):
    """Shows why a first recipe is what it is."""

    def __init__(self, words: Wording) -> None:
        super().__init__(words("reason_list.title"))
        self._words = words
        self._near = QLabel()
        self._near.setWordWrap(True)
        self.add(self._near)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(GROUPS)
        self._grid.setVerticalSpacing(INSIDE)
        self._grid.setColumnStretch(1, 1)
        self.body.addLayout(self._grid)
        self.body.addStretch(1)
        self._shown: list[str] = []

    def show_first(self, first: FirstRecipe) -> None:
        """Show the reasons of a first recipe, and the likeness of the coffees it came from."""
        words = self._words
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                let_go(widget)
        near = [
            words(
                "reason_list.neighbour",
                name=one.coffee.name,
                likeness_share=one.likeness.share,
                alike=one.likeness.alike,
            )
            for one in first.neighbours
        ]
        self._near.setText("\n".join(near))
        self._near.setVisible(bool(near))
        self._shown = []
        for row, (title, one) in enumerate(self._titled(first.reasons)):
            sentence = words.sentence(one.message)
            if one.part != "grind" and one.low is not None and one.high is not None:
                band = words("reason_list.band", low=one.low, high=one.high)
                sentence = f"{sentence} {band}"
            evidence = words(f"evidence.{one.evidence.value}")
            self._shown.append(sentence)
            for column, (text, role) in enumerate(
                (
                    (title, "label"),
                    (sentence, "body"),
                    (evidence, "label"),
                )
            ):
                label = QLabel(text)
                label.setProperty("role", role)
                label.setWordWrap(column == 1)
                label.setAlignment(Qt.AlignmentFlag.AlignTop)
                self._grid.addWidget(label, row, column)

    def _titled(self, reasons: Sequence[Reasoned]) -> list[tuple[str, Reasoned]]:
        """Say one reason once where it holds for every number."""
        whole = {(self._words.sentence(one.message), one.evidence) for one in reasons}
        if len(whole) == 1 and all(one.low is None for one in reasons):
            return [(self._words("reason_list.all"), reasons[0])]
        return [(self._words(f"reason_list.{one.part}"), one) for one in reasons]

    def shown(self) -> tuple[str, ...]:
        """Return the sentences shown."""
        return tuple(self._shown)
