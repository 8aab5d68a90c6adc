"""The next cup as a recipe reads: what is moved first and large, what is held in quiet ink."""

from collections.abc import Sequence

from PySide6.QtWidgets import QGridLayout

from halfclick.model.advice import Act
from halfclick.model.changes import told
from halfclick.model.recipe import Change, Lever, Recipe
from halfclick.wording import Wording
from halfclick_desktop.letting_go import let_go
from halfclick_desktop.look import INSIDE
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.mark import ChangeMark, MarkKind
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.recipe_words import lever_text, recipe_levers


class NextCupPanel(Panel):
    """Shows a recipe, its changes against the cup it comes from, and what it is for."""

    def __init__(self, words: Wording) -> None:
        super().__init__(words("sheet.next"))
        self._words = words
        self._lines, self._row = QGridLayout(), 0
        self._lines.setHorizontalSpacing(INSIDE)
        self._lines.setVerticalSpacing(INSIDE)
        self._lines.setColumnStretch(1, 1)
        self.body.addLayout(self._lines)
        self._mode = styled("quiet")
        self.add(self._mode)
        self.body.addStretch(1)

    def show_without_kit(self) -> None:
        """Say that there is no next cup without a kit."""
        self._clear()
        self._mode.setText(self._words("sheet.no_kit"))

    def show_recipe(
        self,
        recipe: Recipe,
        changes: Sequence[Change],
        *,
        before: Recipe | None,
        acts: Sequence[Act],
        mode: str,
    ) -> None:
        """Show a recipe.

        Args:
            recipe: of the next cup.
            changes: what it moves.
            before: what it was moved from, where that is known.
            acts: what is to be done that no lever does.
            mode: what the cup is for where nothing is moved, a code's end.
        """
        self._clear()
        words = self._words
        moved = [change.lever for change in changes]
        for act in acts:
            text = words(f"act.{act.value}")
            self._add_line(text[:1].upper() + text[1:], moved=True)
        for change in changes:
            self._add_line(lever_text(words, change.lever, recipe), moved=True)
            was = lever_text(words, change.lever, before) if before else ""
            line = words("advice_panel.was", was=was, moved=words.sentence(told(change)))
            self._lines.addWidget(styled("changed", line), self._row, 1)
            self._row += 1
        held = [lever for lever in Lever if lever in recipe_levers(recipe) and lever not in moved]
        if recipe.setting is None:
            held.insert(0, Lever.GRIND)
        self._add_line(words("sheet.dose", dose_g=recipe.dose_g), moved=False)
        for lever in held:
            self._add_line(lever_text(words, lever, recipe), moved=False)
        self._mode.setText(words(f"sheet.mode_{'experiment' if moved or acts else mode}"))

    def _add_line(self, text: str, *, moved: bool) -> None:
        mark = ChangeMark(self._words, MarkKind.CHANGED if moved else MarkKind.HELD)
        self._lines.addWidget(mark, self._row, 0)
        self._lines.addWidget(styled("hero" if moved else "body", text), self._row, 1)
        self._row += 1

    def _clear(self) -> None:
        while (item := self._lines.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                let_go(widget)
        self._row = 0
