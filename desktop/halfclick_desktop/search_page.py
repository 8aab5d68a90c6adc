"""All brews of all coffees: found by words and filters, a page at a time."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import BadInput, CoreError
from halfclick.model.kit import Dripper
from halfclick.model.tasting import Mark, Verdict
from halfclick.model.wanted import Wanted
from halfclick.service.done import Touched
from halfclick.service.kitchens import list_kit
from halfclick.service.search import PAGE, Found, Hit, end_of, search, start_of
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.text import day, minutes
from halfclick_desktop.widgets.field import (
    ChoiceField,
    DateField,
    Field,
    NumberField,
    TextField,
    YesNoField,
)
from halfclick_desktop.widgets.record_table import RecordTable

COLUMNS = ("date", "coffee", "setting", "drained", "liking", "verdict", "words")
# A person types faster than this; the journal is asked when they pause.
PAUSE_MS = 200


class SearchPage(QWidget):
    """Asks the journal off the main thread; the newest question is the one that is shown."""

    changed = Signal(Touched)
    brew_asked = Signal(object)  # brew id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._found: Found | None = None
        self._first = 0
        self._asked = 0
        self._stale = True
        words = desk.words
        verdicts = [(words(f"verdict.{one.value}"), one) for one in Verdict]
        marks = [(words(f"mark.{one.value}"), one) for one in Mark]
        any_one = (words("search_page.any"), None)
        self._words = TextField(words, "search_page.words", hint="search_page.words_hint")
        self._verdict = ChoiceField(words, "search_page.verdict", [any_one, *verdicts])
        self._liking = NumberField(words, "search_page.liking")
        self._mark = ChoiceField(words, "search_page.mark", [any_one, *marks])
        self._setting = TextField(words, "search_page.setting")
        self._dripper = ChoiceField(words, "search_page.dripper", [any_one])
        self._from = DateField(words, "search_page.from", today=desk.today())
        self._until = DateField(words, "search_page.until", today=desk.today())
        self._slipped = YesNoField(words, "search_page.slipped")
        self._corrected = YesNoField(words, "search_page.corrected")
        self._build()

    def _build(self) -> None:
        words = self._desk.words
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._ask_anew)
        places: tuple[tuple[Field, int, int, int], ...] = (
            (self._words, 0, 0, 2),
            (self._setting, 0, 2, 1),
            (self._liking, 0, 3, 1),
            (self._verdict, 0, 4, 1),
            (self._mark, 1, 0, 1),
            (self._dripper, 1, 1, 1),
            (self._from, 1, 2, 1),
            (self._until, 1, 3, 1),
            (self._slipped, 2, 0, 2),
            (self._corrected, 2, 2, 2),
        )
        for field, *_ in places:
            field.edited.connect(self._pause.start)
        title = QLabel(words("search_page.title"))
        title.setProperty("role", "heading")
        self._said = QLabel()
        self._said.setWordWrap(True)
        columns = [words(f"search_page.column_{name}") for name in COLUMNS]
        self._table = RecordTable(columns, words("search_page.table"))
        self._table.row_opened.connect(self._open)
        self._newer = QPushButton(words("search_page.newer"))
        self._older = QPushButton(words("search_page.older"))
        for button in (self._newer, self._older):
            button.setEnabled(False)  # until something was found
        self._newer.clicked.connect(partial(self._turn, -PAGE))
        self._older.clicked.connect(partial(self._turn, PAGE))
        grid = QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE)
        for field, row, column, width in places:
            grid.addWidget(field, row, column, 1, width, Qt.AlignmentFlag.AlignTop)
        for column, share in enumerate((5, 5, 6, 6, 5)):  # days are long to write
            grid.setColumnStretch(column, share)
        foot = QHBoxLayout()
        foot.setSpacing(INSIDE)
        foot.addWidget(self._said, 1)
        foot.addWidget(self._newer)
        foot.addWidget(self._older)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(title)
        whole.addLayout(grid)
        whole.addWidget(self._table, 1)
        whole.addLayout(foot)
        self.setFocusProxy(self._words.control)

    def reload(self, touched: Touched) -> None:
        """Ask again where brews may have changed; when it is next shown, if it is not."""
        if not touched & (Touched.COFFEES | Touched.BREWS | Touched.KIT):
            return
        self._fill_drippers()
        self._stale = True
        if self.isVisible():
            self._ask()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self._ask()

    def _fill_drippers(self) -> None:
        kept = self._dripper.value()
        drippers = [(one.name, one.id) for one in list_kit(self._desk.store, Dripper)]
        self._dripper.show_choices([(self._desk.words("search_page.any"), None), *drippers])
        self._dripper.show_value(kept)

    def _ask_anew(self) -> None:
        self._first = 0
        self._ask()

    def _turn(self, by: int) -> None:
        self._first = max(self._first + by, 0)
        self._ask()

    def _ask(self) -> None:
        self._stale = False
        try:
            wanted = self._wanted()
        except BadInput as error:
            self._said.setText(self._desk.words.sentence(error))
            return
        self._asked += 1
        job = self._desk.jobs.run(partial(_answer, self._desk, wanted, self._first, self._asked))
        job.done.connect(self._show)
        job.failed.connect(self._failed)

    def _wanted(self) -> Wanted:
        first, last = self._from.value(), self._until.value()
        verdict, mark, dripper_id = (
            field.value() for field in (self._verdict, self._mark, self._dripper)
        )
        return Wanted(
            words=self._words.text(),
            setting=self._setting.text(),
            verdict=verdict if isinstance(verdict, Verdict) else None,
            liking_from=self._liking.value(),
            mark=mark if isinstance(mark, Mark) else None,
            dripper_id=dripper_id if isinstance(dripper_id, UUID) else None,
            from_at=start_of(first) if first else None,
            before_at=end_of(last) if last else None,
            slipped=self._slipped.value(),
            corrected=self._corrected.value(),
        )

    def _show(self, answer: tuple[int, Found]) -> None:
        number, found = answer
        if number != self._asked:
            return  # another question was asked since
        self._found = found
        self._table.show_rows([self._cells(hit) for hit in found.hits])
        words, last = self._desk.words, found.first + len(found.hits)
        if not found.total:
            self._said.setText(words("search_page.none"))
        else:
            values = {"count": found.total, "first": found.first + 1, "last": last}
            self._said.setText(words("search_page.found", **values))
        self._newer.setEnabled(found.first > 0)
        self._older.setEnabled(last < found.total)

    def _failed(self, error: CoreError) -> None:
        self._said.setText(self._desk.words.sentence(error))

    def _cells(self, hit: Hit) -> list[str]:
        words = self._desk.words
        said = "; ".join(text for text in (hit.words, hit.note) if text)
        return [
            day(words, hit.started_at.astimezone().date()),
            hit.coffee_name,
            hit.setting_text,
            minutes(hit.drained_s, ""),
            "" if hit.liking is None else f"{hit.liking:g}",
            words(f"verdict.{hit.verdict.value}") if hit.verdict else "",
            said,
        ]

    def _open(self, row: int) -> None:
        if self._found is not None and row < len(self._found.hits):
            self.brew_asked.emit(self._found.hits[row].brew_id)


def _answer(desk: Desk, wanted: Wanted, first: int, number: int) -> tuple[int, Found]:
    """Ask the journal; called off the main thread."""
    return number, search(desk.store, wanted, first=first)
