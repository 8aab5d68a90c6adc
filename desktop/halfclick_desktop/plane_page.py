"""A coffee's cups by strength and extraction, beside where the next one is expected."""

from functools import partial
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Signal
from PySide6.QtGui import QImageWriter, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QFileDialog,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.service.coffees import coffees_brewed
from halfclick.service.done import Touched
from halfclick.service.plane import Plane, PlanePoint, plane_of
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.plots.export import csv_of, write_whole
from halfclick_desktop.plots.plane_plot import PlanePlot
from halfclick_desktop.text import day, percent
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.field import ChoiceField
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.record_table import RecordTable, last_takes_rest

COLUMNS = ("number", "date", "strength", "extraction", "verdict")

TABLE_PX = 430  # so that no column of the table is cut


class PlanePage(QWidget):
    """Shows one coffee's plane, its summary and the same as a table; Escape goes back."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._plane = Plane(points=())
        self._reckoning = Latest(desk.jobs, self, reckons=True)
        self._reckoning.done.connect(self._show)
        self._reckoning.failed.connect(self._failed)
        self._stale = True
        words = desk.words
        self._coffee = ChoiceField(words, "plane.coffee")
        self._coffee.edited.connect(self._read)
        self._plot = PlanePlot(words)
        self._table = RecordTable(
            [words(f"plane.column_{name}") for name in COLUMNS], words("plane.table")
        )
        last_takes_rest(self._table)
        self._said = styled("")
        self._notice = Notice(words)
        self._classic = QCheckBox(words("plane.classic"))
        self._classic.setChecked(True)
        self._classic.toggled.connect(self._plot.show_classic)
        self._export = QPushButton(words("plane.export"))
        self._export.clicked.connect(self._choose_export)
        for key, button in (("B", self._classic), ("X", self._export)):
            QShortcut(QKeySequence(key), self).activated.connect(button.click)
        self._lay_out()
        self.setFocusProxy(self._coffee)

    def _lay_out(self) -> None:
        words = self._desk.words
        left_side, right_side = QWidget(), QWidget()
        left, right = QVBoxLayout(left_side), QVBoxLayout(right_side)
        for column in (left, right):
            column.setContentsMargins(0, 0, 0, 0)
        left.addWidget(self._plot, 1)
        left.addWidget(self._said)
        right.setSpacing(GROUPS)
        self._table.setMinimumWidth(TABLE_PX)
        right.addWidget(self._table, 1)
        right.addWidget(self._classic)
        right.addWidget(styled("label", words("plane.classic_source")))
        keys = QHBoxLayout()
        keys.addWidget(self._export)
        keys.addStretch(1)
        right.addLayout(keys)
        body = Columns((left_side, 3), (right_side, 2), spacing=THOUGHTS, as_one=True)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(styled("heading", words("plane.title"), wrap=False))
        whole.addWidget(self._coffee)
        whole.addWidget(self._notice)
        whole.addWidget(body, 1)

    def show_coffee(self, coffee_id: UUID) -> None:
        """Show a coffee, if it was brewed."""
        self._offer()
        if any(coffee_id == one for one, _ in coffees_brewed(self._desk.store)):
            self._coffee.show_value(coffee_id)
        self._read()

    def reload(self, touched: Touched) -> None:
        """Read again where a cup may have changed, once somebody looks."""
        if touched & (Touched.COFFEES | Touched.BREWS | Touched.KIT | Touched.SETTINGS):
            self._stale = True
            if self.isVisible():
                self._offer()
                self._read()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self._offer()
            self._read()

    def _offer(self) -> None:
        chosen = self._coffee.value()
        brewed = coffees_brewed(self._desk.store)
        self._coffee.show_choices([(name, one) for one, name in brewed])
        if any(one == chosen for one, _ in brewed):
            self._coffee.show_value(chosen)

    def _read(self) -> None:
        self._stale = False
        coffee_id = self._coffee.value()
        if not isinstance(coffee_id, UUID):
            self._said.setText(self._desk.words("plane.no_coffee"))
            return
        self._said.setText(self._desk.words("plane.working"))
        today = self._desk.today()
        learned = self._desk.forecasts.learned()
        work = partial(plane_of, self._desk.store, coffee_id, today=today, learned=learned)
        self._reckoning.ask(work)

    def _failed(self, error: CoreError) -> None:
        self._said.setText(self._desk.words.sentence(error))

    def _show(self, plane: Plane) -> None:
        self._plane = plane
        summary = self._desk.words.sentences(plane.summary)
        self._said.setText(summary)
        self._plot.show_plane(plane, summary)
        self._table.show_rows([self._cells(point) for point in plane.points])

    def _cells(self, point: PlanePoint) -> list[str]:
        words = self._desk.words
        return [
            str(point.number),
            day(words, point.brewed_on),
            percent(point.strength, 2),
            percent(point.extraction, 1),
            words("plane.kept" if point.is_good else "plane.not_kept"),
        ]

    def _choose_export(self) -> None:
        place, chosen = QFileDialog.getSaveFileName(
            self, self._desk.words("plane.export"), "", "PNG (*.png);;CSV (*.csv)"
        )
        if place:
            path = Path(place)
            kind = path.suffix.lstrip(".").lower() or chosen[:3].lower()
            self.export(path.with_suffix(f".{kind}"), kind)

    def export(self, place: Path, kind: str) -> None:
        """Write what is shown to a file, whole or not at all."""
        words = self._desk.words
        if kind not in {"png", "csv"}:
            self._notice.say(words("plane.no_format", kind=kind))
            return
        heads = [words(f"plane.column_{name}") for name in COLUMNS]
        rows = [heads, *(self._cells(point) for point in self._plane.points)]
        try:
            write_whole(place, csv_of(rows) if kind == "csv" else self._png())
        except OSError as error:
            said = words("history_page.not_written", place=str(place), why=str(error))
        else:
            said = words("history_page.exported", place=str(place))
        self._notice.say(said)

    def _png(self) -> bytes:
        content = QByteArray()
        buffer = QBuffer(content)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        QImageWriter(buffer, QByteArray(b"png")).write(self._plot.grab().toImage())
        return bytes(content.data())
