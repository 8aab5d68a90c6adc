"""The shelf: every coffee with its age, what is left, and how far it is dialled in."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.service.coffees import ShelfRow, bury_coffee, is_full, restore_coffee, shelf
from halfclick.service.done import Touched
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.shelf_table import ShelfTable, label_text


class CoffeesPage(QWidget):
    """Lists the coffees; one key for each thing to do with them."""

    changed = Signal(Touched)
    read = Signal()  # the shelf is there
    sheet_asked = Signal(object)  # coffee id
    new_asked = Signal()
    edit_asked = Signal(object)  # bag id
    again_asked = Signal(object)  # coffee id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._rows: tuple[ShelfRow, ...] = ()
        self._buried: UUID | None = None
        self._reading = Latest(desk.jobs, self)
        self._reading.done.connect(self._show)
        self._reading.failed.connect(self._failed)
        words = desk.words
        self._title = QLabel(words("coffees_page.title"))
        self._title.setProperty("role", "heading")
        self._empty = QLabel(words("coffees_page.empty"))
        self._empty.setWordWrap(True)
        self._table = ShelfTable(words)
        self._table.itemDoubleClicked.connect(self._open)
        self._notice = Notice(words)
        self._notice.undo_asked.connect(self._undo)
        self._buttons: dict[str, QPushButton] = {}
        for name, does in (
            ("open", self._open),
            ("new", self.new_asked.emit),
            ("edit", self._edit),
            ("again", self._again),
            ("bury", self._bury),
        ):
            button = QPushButton(words(f"coffees_page.{name}"))
            button.clicked.connect(does)
            self._buttons[name] = button
        self._buttons["new"].setProperty("role", "main")
        self._lay_out()

    def _lay_out(self) -> None:
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        for button in self._buttons.values():
            keys.addWidget(button)
        keys.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(self._notice)
        whole.addWidget(self._empty)
        whole.addWidget(self._table, 1)
        whole.addLayout(keys)
        self._stretch = QWidget()
        whole.addWidget(self._stretch, 1)

    def reload(self, touched: Touched) -> None:
        """Read the shelf again where it may have changed."""
        if not touched & (Touched.COFFEES | Touched.BREWS):
            return
        if is_full(self._desk.store):
            if not self._rows:
                self._empty.setText(self._desk.words("coffees_page.reading"))
            self._reading.ask(partial(shelf, self._desk.store, self._desk.today()))
        else:
            self._reading.drop()
            self._show(shelf(self._desk.store, self._desk.today()))

    def waits(self) -> bool:
        """Return whether there is nothing to show yet."""
        return not self._rows and self._reading.waits()

    def _failed(self, error: CoreError) -> None:
        self._notice.say(self._desk.words.sentence(error))
        self.read.emit()

    def _show(self, rows: tuple[ShelfRow, ...]) -> None:
        chosen = self._chosen()
        self._rows = rows
        self._table.show_cells([self._cells(row) for row in self._rows])
        ids = [row.coffee.id for row in self._rows]
        if ids:
            kept = chosen.coffee.id if chosen and chosen.coffee.id in ids else ids[0]
            self._table.selectRow(ids.index(kept))
        self._empty.setText(self._desk.words("coffees_page.empty"))
        self._empty.setVisible(not ids)
        self._table.setVisible(bool(ids))
        self._stretch.setVisible(not ids)
        self.setFocusProxy(self._table if ids else self._buttons["new"])
        for name in ("open", "edit", "again", "bury"):
            self._buttons[name].setVisible(bool(ids))
        self.read.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        keys = {"n": "new", "e": "edit", "b": "again"}
        name = keys.get(event.text().lower())
        if event.key() == Qt.Key.Key_Delete:
            name = "bury"
        elif is_return(event):
            name = "open" if self._rows else "new"
        if name is None:
            super().keyPressEvent(event)
        else:
            self._buttons[name].click()

    def _cells(self, row: ShelfRow) -> tuple[str, ...]:
        words = self._desk.words
        process = row.coffee.process.value if row.coffee.process else None
        roast = row.coffee.roast.value if row.coffee.roast else None
        age = "" if row.age_days is None else words("coffees_page.age", count=row.age_days)
        left = ""
        if row.brews_left is not None:
            left = words("coffees_page.brews_left", count=row.brews_left)
        cups = str(row.brews) if row.brews else ""
        status = words(f"status.{row.status.value}")
        label = [
            label_text(words, process, roast),
            words("bag.frozen") if row.bag.is_frozen else "",
        ]
        told = ", ".join(part for part in label if part)
        return (row.coffee.name, told, age, left, cups, status)

    def _chosen(self) -> ShelfRow | None:
        number = self._table.currentRow()
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def _open(self) -> None:
        row = self._chosen()
        if row is not None:
            self.sheet_asked.emit(row.coffee.id)

    def _edit(self) -> None:
        row = self._chosen()
        if row is not None:
            self.edit_asked.emit(row.bag.id)

    def _again(self) -> None:
        row = self._chosen()
        if row is not None:
            self.again_asked.emit(row.coffee.id)

    def _bury(self) -> None:
        row = self._chosen()
        if row is None:
            return
        done = bury_coffee(self._desk.store, row.coffee.id, clock=self._desk.clock)
        self._buried = done.value
        self.changed.emit(done.touched)
        said = self._desk.words("coffees_page.buried", name=row.coffee.name)
        self._notice.say(said, undo=True)

    def _undo(self) -> None:
        if self._buried is not None:
            done = restore_coffee(self._desk.store, self._buried, clock=self._desk.clock)
            self._buried = None
            self.changed.emit(done.touched)
