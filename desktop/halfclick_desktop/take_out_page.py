"""Take the journal out: tables for a spreadsheet, or the whole of it as one document."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.service.done import Touched
from halfclick.service.export import export_json, export_tables
from halfclick.store.exchange.csv_out import CsvForm
from halfclick.store.exchange.progress import Progress
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.widgets.field import YesNoField
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled
from halfclick_desktop.widgets.progress_row import ProgressRow

COLUMN_PX = 720


class TakeOutPage(QWidget):
    """Asks where to, writes in the background, and says where it lies."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        words = desk.words
        self._comma = YesNoField(words, "take_out.decimal_comma", hint="take_out.comma_hint")
        self._bom = YesNoField(words, "take_out.bom", hint="take_out.bom_hint")
        self._tables = QPushButton(words("take_out.tables_asked"))
        self._tables.setProperty("role", "main")
        self._tables.clicked.connect(self._tables_asked)
        self._document = QPushButton(words("take_out.document_asked"))
        self._document.clicked.connect(self._document_asked)
        self._notice = Notice(words)
        self._progress = ProgressRow(words)
        self._lay_out()

    def _lay_out(self) -> None:
        words = self._desk.words
        title = QLabel(words("take_out.title"))
        title.setProperty("role", "heading")
        inside = QWidget()
        inside.setMaximumWidth(COLUMN_PX)
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GROUPS)
        tables = Panel(words("take_out.tables"))
        tables.add(_told(words("take_out.tables_told")))
        tables.add(self._comma)
        tables.add(self._bom)
        tables.add(_row(self._tables))
        document = Panel(words("take_out.document"))
        document.add(_told(words("take_out.document_told")))
        document.add(_row(self._document))
        column.addWidget(tables)
        column.addWidget(document)
        column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(title)
        whole.addWidget(self._notice)
        whole.addWidget(self._progress)
        whole.addWidget(scrolled(inside), 1)

    def reload(self, touched: Touched) -> None:
        """Nothing to read again."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._tables)
        else:
            super().keyPressEvent(event)

    def write_tables(self, place: Path) -> None:
        """Write the tables into a new folder in a place."""
        form = CsvForm(decimal_comma=self._comma.value(), with_bom=self._bom.value())
        progress = self._begin()
        work = partial(
            export_tables,
            self._desk.store,
            place,
            form,
            self._desk.words.sentences,
            clock=self._desk.clock,
            progress=progress,
        )
        job = self._desk.jobs.run(work)
        job.done.connect(self._tables_written)
        job.failed.connect(self._failed)

    def write_document(self, path: Path) -> None:
        """Write the whole journal to one file."""
        self._path = path
        progress = self._begin()
        work = partial(
            export_json, self._desk.store, path, clock=self._desk.clock, progress=progress
        )
        job = self._desk.jobs.run(work)
        job.done.connect(self._document_written)
        job.failed.connect(self._failed)

    def _tables_asked(self) -> None:
        words = self._desk.words
        place = QFileDialog.getExistingDirectory(self, words("take_out.tables_asked"))
        if place:
            self.write_tables(Path(place))

    def _document_asked(self) -> None:
        words = self._desk.words
        name = f"halfclick {self._desk.today().isoformat()}.json"
        path, _ = QFileDialog.getSaveFileName(
            self, words("take_out.document_asked"), name, words("exchange.json_files")
        )
        if path:
            self.write_document(Path(path) if Path(path).suffix else Path(f"{path}.json"))

    def _begin(self) -> Progress:
        self._notice.hide()
        for button in (self._tables, self._document):
            button.setEnabled(False)
        return self._progress.begin(self._desk.words("take_out.writing"))

    def _end(self, sentence: str) -> None:
        self._progress.end()
        for button in (self._tables, self._document):
            button.setEnabled(True)
        self._notice.say(sentence)
        self._tables.setFocus()

    def _tables_written(self, folder: Path) -> None:
        self._end(self._desk.words("take_out.tables_written", path=str(folder)))

    def _document_written(self, count: int) -> None:
        words = self._desk.words
        self._end(words("take_out.document_written", count=count, path=str(self._path)))

    def _failed(self, error: CoreError) -> None:
        self._end(self._desk.words.sentence(error))


def _told(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    return label


def _row(button: QPushButton) -> QHBoxLayout:
    row = QHBoxLayout()
    row.addWidget(button)
    row.addStretch(1)
    return row
