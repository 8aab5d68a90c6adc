"""Bring cups in from a table, or a whole journal: shown first, then kept all or not at all."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.service.done import Done, Touched
from halfclick.service.import_json import Incoming, bring_in_journal, look_at_journal
from halfclick.service.import_table import (
    BroughtIn,
    Gathered,
    bring_in_table,
    first_rows,
    gather,
    source_of,
)
from halfclick.service.table_fields import matched
from halfclick.service.table_rows import BadRow
from halfclick.store.exchange.merge import Tally
from halfclick.store.exchange.progress import Progress
from halfclick.store.exchange.table_in import Table, look_at_table
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled
from halfclick_desktop.widgets.progress_row import ProgressRow
from halfclick_desktop.widgets.table_match import TableMatch
from halfclick_desktop.widgets.text_table import TextTable

COLUMN_PX = 720
COUNTED = ("new", "changed", "kept", "buried")


class BringInPage(QWidget):
    """Chooses a file, shows what it holds, and writes when the person says so."""

    changed = Signal(Touched)
    brought_in = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._table: Table | None = None
        self._gathered: Gathered | None = None
        self._incoming: Incoming | None = None
        words = desk.words
        self._choose_table = QPushButton(words("bring_in.choose_table"))
        self._choose_table.clicked.connect(self._table_asked)
        self._choose_journal = QPushButton(words("bring_in.choose_journal"))
        self._choose_journal.clicked.connect(self._journal_asked)
        self._first = QPushButton(words("bring_in.choose_table_first"))
        self._first.setProperty("role", "main")
        self._first.clicked.connect(self._table_asked)
        self._second = QPushButton(words("bring_in.choose_journal"))
        self._second.clicked.connect(self._journal_asked)
        self._told = QLabel()
        self._told.setWordWrap(True)
        self._match = TableMatch(words)
        self._match.matching_edited.connect(self._matching_edited)
        self._match.delimiter_edited.connect(self._delimiter_edited)
        self._result = TextTable(words("bring_in.result"))
        self._start = self._two_ways()
        self._nothing = QWidget()
        self._shown = QStackedWidget()
        for widget in (self._start, self._match, self._result, self._nothing):
            self._shown.addWidget(widget)
        self._columns = QPushButton(words("bring_in.columns_again"))
        self._columns.clicked.connect(self._show_match)
        self._main = QPushButton()
        self._main.setProperty("role", "main")
        self._main.clicked.connect(self._go_on)
        self._does: Callable[[], None] | None = None
        self._notice = Notice(words)
        self._progress = ProgressRow(words)
        self._lay_out()
        self._show_start()

    def _lay_out(self) -> None:
        title = QLabel(self._desk.words("bring_in.title"))
        title.setProperty("role", "heading")
        top = Flow(title, self._choose_table, self._choose_journal, spread=title)
        foot = QHBoxLayout()
        foot.setSpacing(INSIDE)
        foot.addWidget(self._main)
        foot.addWidget(self._columns)
        foot.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addLayout(top)
        whole.addWidget(self._notice)
        whole.addWidget(self._told)
        whole.addWidget(self._shown, 1)
        whole.addWidget(self._progress)
        whole.addLayout(foot)

    def _two_ways(self) -> QWidget:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GROUPS)
        for name, button in (("table", self._first), ("journal", self._second)):
            panel = Panel(self._desk.words(f"bring_in.{name}"))
            panel.setMaximumWidth(COLUMN_PX)
            told = QLabel(self._desk.words(f"bring_in.{name}_told"))
            told.setWordWrap(True)
            row = QHBoxLayout()
            row.addWidget(button)
            row.addStretch(1)
            panel.add(told)
            panel.add(row)
            column.addWidget(panel)
        column.addStretch(1)
        return scrolled(inside)

    def reload(self, touched: Touched) -> None:
        """Nothing to read again: what was chosen stays."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._main if self._does is not None else self._first)
        else:
            super().keyPressEvent(event)

    def open_table(self, path: Path, delimiter: str | None = None) -> None:
        """Look at a table, and show its first rows."""
        self._begin("bring_in.looking")
        job = self._desk.jobs.run(partial(look_at_table, path, delimiter=delimiter))
        job.done.connect(self._table_seen)
        job.failed.connect(self._failed)

    def open_journal(self, path: Path) -> None:
        """Read a whole journal from a document, and show what bringing it in would do."""
        progress = self._begin("bring_in.looking")
        job = self._desk.jobs.run(
            partial(look_at_journal, self._desk.store, path, progress=progress)
        )
        job.done.connect(self._journal_seen)
        job.failed.connect(self._failed)

    def _table_asked(self) -> None:
        words = self._desk.words
        path, _ = QFileDialog.getOpenFileName(
            self, words("bring_in.choose_table"), "", words("exchange.table_files")
        )
        if path:
            self.open_table(Path(path))

    def _journal_asked(self) -> None:
        words = self._desk.words
        path, _ = QFileDialog.getOpenFileName(
            self, words("bring_in.choose_journal"), "", words("exchange.json_files")
        )
        if path:
            self.open_journal(Path(path))

    def _table_seen(self, table: Table) -> None:
        self._end()
        self._left_start()
        self._table = table
        self._match.show_table(table, matched(table))
        self._show_match()

    def _delimiter_edited(self, delimiter: str) -> None:
        if self._table is not None:
            self.open_table(self._table.path, delimiter)

    def _show_match(self) -> None:
        self._shown.setCurrentWidget(self._match)
        self._columns.hide()
        self._matching_edited()
        self._match.setFocus()

    def _matching_edited(self) -> None:
        """Tell what the first rows come to as the columns are taken now."""
        if self._table is None:
            return
        words = self._desk.words
        rows = first_rows(self._table, self._match.matching(), clock=self._desk.clock)
        if not rows:
            self._told.setText(words("bring_in.no_rows"))
            self._offer("", None)
            return
        bad = [row for row in rows if isinstance(row, BadRow)]
        told = [words("bring_in.first_rows_told", count=len(rows), good=len(rows) - len(bad))]
        if bad:
            why = words.sentence(bad[0].why)
            told.append(words("bring_in.first_bad", line=bad[0].line, why=why))
        self._told.setText(" ".join(told))
        self._offer(words("bring_in.check"), self._check)

    def _check(self) -> None:
        if self._table is None:
            return
        work = partial(
            gather,
            self._desk.store,
            self._table,
            self._match.matching(),
            clock=self._desk.clock,
            progress=self._begin("bring_in.reading"),
        )
        job = self._desk.jobs.run(work)
        job.done.connect(self._table_read)
        job.failed.connect(self._failed)

    def _table_read(self, gathered: Gathered) -> None:
        self._end()
        self._gathered = gathered
        words = self._desk.words
        told = [words("bring_in.would_add", count=gathered.new)]
        if gathered.known:
            told.append(words("bring_in.known", count=gathered.known))
        if gathered.new_coffees:
            told.append(words("bring_in.new_coffees", count=len(gathered.new_coffees)))
        if gathered.unread_settings:
            told.append(words("bring_in.unread_settings", count=gathered.unread_settings))
        if gathered.bad_count:
            told.append(words("bring_in.bad_rows", count=gathered.bad_count))
        self._told.setText(" ".join(told))
        header = [words("bring_in.column_line"), words("bring_in.column_why")]
        self._result.show_rows(
            header, [[str(bad.line), words.sentence(bad.why)] for bad in gathered.bad]
        )
        self._shown.setCurrentWidget(self._result if gathered.bad else self._nothing)
        self._columns.show()
        if gathered.new:
            self._offer(words("bring_in.write_cups", count=gathered.new), self._write_table)
        else:
            self._offer("", None)

    def _write_table(self) -> None:
        if self._table is None or self._gathered is None:
            return
        work = partial(
            bring_in_table,
            self._desk.store,
            self._gathered,
            source=source_of(self._table.path),
            clock=self._desk.clock,
            progress=self._begin("bring_in.writing"),
        )
        job = self._desk.jobs.run(work)
        job.done.connect(self._table_written)
        job.failed.connect(self._failed)

    def _table_written(self, done: Done[BroughtIn]) -> None:
        self._end()
        words = self._desk.words
        told = [words("bring_in.cups_written", count=done.value.cups)]
        if done.value.coffees:
            told.append(words("bring_in.coffees_written", count=done.value.coffees))
        self._finish(" ".join(told), done.touched)

    def _journal_seen(self, incoming: Incoming) -> None:
        self._end()
        self._left_start()
        self._incoming = incoming
        words = self._desk.words
        header = [words("bring_in.column_kind")]
        header += [words(f"bring_in.column_{name}") for name in COUNTED]
        self._result.show_rows(header, [self._counts(one) for one in _telling(incoming.tallies)])
        self._shown.setCurrentWidget(self._result)
        self._columns.hide()
        code = "bring_in.journal_adds" if incoming.adds else "bring_in.journal_adds_nothing"
        self._told.setText(words(code, name=incoming.path.name))
        if incoming.adds:
            self._offer(words("bring_in.write_journal"), self._write_journal)
        else:
            self._offer("", None)

    def _counts(self, tally: Tally) -> list[str]:
        kind = self._desk.words(f"exchange.kind_{tally.kind}")
        return [kind, *(str(getattr(tally, name) or "") for name in COUNTED)]

    def _write_journal(self) -> None:
        if self._incoming is None:
            return
        work = partial(
            bring_in_journal,
            self._desk.store,
            self._incoming,
            clock=self._desk.clock,
            progress=self._begin("bring_in.writing"),
        )
        job = self._desk.jobs.run(work)
        job.done.connect(self._journal_written)
        job.failed.connect(self._failed)

    def _journal_written(self, done: Done[tuple[Tally, ...]]) -> None:
        self._end()
        count = sum(tally.new + tally.changed for tally in done.value)
        self._finish(self._desk.words("bring_in.journal_written", count=count), done.touched)

    def _finish(self, sentence: str, touched: Touched) -> None:
        self._table = self._gathered = self._incoming = None
        self._show_start()
        self._notice.say(sentence)
        self.changed.emit(touched)
        self.brought_in.emit()

    def _show_start(self) -> None:
        self._shown.setCurrentWidget(self._start)
        self._columns.hide()
        self._told.setText(self._desk.words("bring_in.told"))
        for button in (self._choose_table, self._choose_journal):
            button.hide()
        self._offer("", None)

    def _offer(self, text: str, does: Callable[[], None] | None) -> None:
        """Offer the one thing to do next; nothing where there is none."""
        self._does = does
        self._main.setText(text)
        self._main.setVisible(does is not None)

    def _left_start(self) -> None:
        """Offer another file beside the one that is shown."""
        for button in (self._choose_table, self._choose_journal):
            button.show()

    def _go_on(self) -> None:
        if self._does is not None and not self._progress.is_busy():
            self._does()

    def _begin(self, code: str) -> Progress:
        self._notice.hide()
        self._usable(False)
        return self._progress.begin(self._desk.words(code))

    def _end(self) -> None:
        self._progress.end()
        self._usable(True)

    def _usable(self, usable: bool) -> None:
        for widget in (
            self._choose_table,
            self._choose_journal,
            self._shown,
            self._columns,
            self._main,
        ):
            widget.setEnabled(usable)

    def _failed(self, error: CoreError) -> None:
        self._end()
        self._notice.say(self._desk.words.sentence(error))


def _telling(tallies: tuple[Tally, ...]) -> list[Tally]:
    """Return the tallies of kinds that the document holds any of."""
    return [one for one in tallies if one.new or one.changed or one.kept]
