"""How good the model is: published curves with ours over them, and what it does not know."""

from collections.abc import Callable
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.service.done import Touched
from halfclick.service.held_bands import Held, held_bands
from halfclick.wording import Wording, number
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.widgets.curve_picture import CurvePicture, Drawn
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled
from halfclick_desktop.widgets.record_table import RecordTable, fits_width
from halfclick_desktop.widgets.wall import Wall

if TYPE_CHECKING:  # its service loads numpy, which waits until the page is looked at
    from halfclick.service.model_check import CheckedCurve, ModelCheck

IN_A_ROW = 3
CURVE_COLUMNS = ("curve", "at", "seen", "ours", "miss")
CONSTANT_COLUMNS = ("name", "middle", "between", "source")
TABLE_PX = 400
ROW_PX = 38


class ModelCheckPage(QWidget):
    """Shows the check; it is computed off the main thread when the page is first looked at."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._asked = False
        self._stale = True
        words = desk.words
        self._turn = QPushButton(words("model_check.as_table"))
        self._turn.setCheckable(True)
        self._turn.setEnabled(False)  # until there is something to turn
        self._turn.toggled.connect(self._turned)
        self._state = styled("quiet", words("model_check.reckoning"))
        self._pictures = Wall(IN_A_ROW)
        self._curves: list[CurvePicture] = []
        self._table = _table(words, "table", CURVE_COLUMNS)
        self._unknown = Panel(words("model_check.unknown_title"))
        self._unknown.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._record = Panel(words("model_check.held_title"))
        self._record.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._held = styled("body")
        self._constants = _table(words, "constants_title", CONSTANT_COLUMNS)
        _break_lines(self._constants)
        self._lay_out()
        self.setFocusProxy(self._turn)

    def _lay_out(self) -> None:
        words = self._desk.words
        self._record.add(self._held)
        self._record.add(styled("quiet", words("model_check.held_told")))
        self._record.body.addStretch(1)
        beside = QHBoxLayout()
        beside.setSpacing(GROUPS)
        beside.addWidget(self._unknown, 2)
        beside.addWidget(self._record, 1)
        constants = Panel(words("model_check.constants_title"))
        constants.add(styled("quiet", words("model_check.constants_told")))
        constants.add(self._constants)
        self._later = (self._unknown, constants)
        for panel in self._later:
            panel.hide()  # until there is something to read in it
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, GROUPS, 0)
        column.setSpacing(GROUPS)
        column.addWidget(self._state)
        column.addWidget(self._pictures)
        column.addWidget(self._table)
        column.addLayout(beside)
        column.addWidget(constants)
        column.addStretch(1)
        self._table.hide()
        head = QHBoxLayout()
        head.addWidget(styled("heading", words("model_check.title"), wrap=False), 1)
        head.addWidget(self._turn)
        self._scroll = scrolled(inside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addLayout(head)
        whole.addWidget(styled("body", words("model_check.lead")))
        whole.addWidget(self._scroll, 1)

    def reload(self, touched: Touched) -> None:
        """Read the person's own record again; when the page is next shown, if it is not."""
        if touched & Touched.BREWS:
            self._stale = True
            if self.isVisible():
                self._ask()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._ask()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self._scroll.verticalScrollBar()
        if event.key() == Qt.Key.Key_T and self._turn.isEnabled():
            self._turn.toggle()
        elif event.key() == Qt.Key.Key_PageDown:
            bar.setValue(bar.value() + bar.pageStep())
        elif event.key() == Qt.Key.Key_PageUp:
            bar.setValue(bar.value() - bar.pageStep())
        else:
            super().keyPressEvent(event)

    def _ask(self) -> None:
        if not self._asked:
            self._asked = True
            self._run(_checked, self._show_check)
        if self._stale:
            self._stale = False
            self._run(partial(held_bands, self._desk.store), self._show_held)

    def _run(self, work: Callable[[], object], then: Callable[..., None]) -> None:
        job = self._desk.jobs.reckon(work)
        job.done.connect(then)
        job.failed.connect(self._failed)

    def _failed(self, error: CoreError) -> None:
        self._state.setText(self._desk.words.sentence(error))
        self._state.show()

    def _show_check(self, check: "ModelCheck") -> None:
        words = self._desk.words
        self._state.hide()
        for panel in self._later:
            panel.show()
        pictures = [self._add_curve(one) for one in check.curves]
        self._curves = pictures
        how = Panel(words("model_check.how_title"))
        how.add(styled("body", words("model_check.how")))
        how.add(styled("quiet", words("model_check.keys_told")))
        how.body.addStretch(1)
        self._pictures.put(how)
        self._table.show_rows([row for one in check.curves for row in _rows(words, one)])
        for message in check.unknowns:
            self._unknown.add(styled("body", words.sentence(message)))
        self._unknown.body.addStretch(1)
        told = " ".join(words.sentence(message) for message in check.unknowns)
        self._unknown.setAccessibleDescription(told)
        self._constants.show_rows(
            [
                [words.sentence(said) for said in (one.name, one.middle, one.between, one.source)]
                for one in check.constants
            ]
        )
        order = [self._turn, *pictures, self._table, self._unknown, self._record, self._constants]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)
        self._turn.setEnabled(True)

    def _add_curve(self, curve: "CheckedCurve") -> CurvePicture:
        words = self._desk.words
        title, verdict, source = (
            words.sentence(said) for said in (curve.title, curve.verdict, curve.source)
        )
        name = words("model_check.picture", title=title, verdict=verdict, **{"from": source})
        picture = CurvePicture(name, _drawn(words, curve))
        panel = Panel(title)
        panel.add(picture)
        panel.add(styled("body", verdict))
        panel.add(styled("quiet", source))
        panel.body.addStretch(1)
        self._pictures.put(panel)
        return picture

    def _show_held(self, held: tuple[Held, ...]) -> None:
        words = self._desk.words
        said = [words.sentence(one.said) for one in held] or [words("model_check.held_none")]
        self._held.setText("\n".join(said))
        self._record.setAccessibleDescription(" ".join(said))

    def _turned(self, as_table: bool) -> None:
        # The keys go along, else they would fall to whatever comes next on the page.
        had_keys = any(one.hasFocus() for one in (self._table, *self._curves))
        (self._table if as_table else self._pictures).show()
        if had_keys:
            (self._table if as_table else self._curves[0]).setFocus()
        (self._pictures if as_table else self._table).hide()
        self._scroll.verticalScrollBar().setValue(0)
        code = "model_check.as_pictures" if as_table else "model_check.as_table"
        self._turn.setText(self._desk.words(code))


def _checked() -> "ModelCheck":
    """Compute the check; runs off the main thread, where numpy may be loaded."""
    from halfclick.service.model_check import check_model

    return check_model()


def _table(words: Wording, name: str, columns: tuple[str, ...]) -> RecordTable:
    header = [words(f"model_check.column_{column}") for column in columns]
    table = RecordTable(header, words(f"model_check.{name}"))
    table.setFixedHeight(TABLE_PX)
    fits_width(table)
    return table


def _break_lines(table: RecordTable) -> None:
    """Let long texts take more lines, and narrow columns no more than they need."""
    header, rows = table.horizontalHeader(), table.verticalHeader()
    for column in (1, 2):
        header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
    table.setWordWrap(True)
    rows.setMinimumSectionSize(ROW_PX)
    rows.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)


def _drawn(words: Wording, curve: "CheckedCurve") -> Drawn:
    chosen = words.units.of(curve.axis.rpartition("_")[2])

    def across(at: float) -> float:
        return chosen.shown(at) if chosen else at

    return Drawn(
        seen=[(across(at), seen) for at, seen in zip(curve.at, curve.seen, strict=True)],
        line=[(across(at), ours) for at, ours in zip(curve.line_at, curve.line, strict=True)],
        misses=[(across(at), miss) for at, miss in zip(curve.at, curve.misses, strict=True)],
        across=words(f"model_check.axis_{curve.axis}", unit=chosen.sign if chosen else ""),
        up=words(f"model_check.value_{curve.unit}"),
        published=words("model_check.published"),
        ours=words("model_check.ours"),
        miss=words("model_check.miss"),
        told=tuple(
            words("model_check.point", at=at, seen=seen, ours=ours, miss=miss)
            for _, at, seen, ours, miss in _rows(words, curve)
        ),
    )


def _rows(words: Wording, curve: "CheckedCurve") -> list[list[str]]:
    """Return each published point in words: the curve, where, published, ours, the difference."""
    unit = f"model_check.in_{curve.unit}"
    title = words.sentence(curve.title)
    return [
        [
            title,
            words(f"model_check.at_{curve.axis}", value=number(at), at_g=at),
            *(words(unit, value=number(value, 2)) for value in (seen, ours, miss)),
        ]
        for at, seen, ours, miss in zip(curve.at, curve.seen, curve.ours, curve.misses, strict=True)
    ]
