"""A sheet before it is printed: its pages as they will be, the paper, and where it goes."""

from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPixmap
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.service.history import coffee_history
from halfclick.service.plan import Planned
from halfclick.service.printing import recipe_sheet
from halfclick.service.trial_views import TrialView
from halfclick.wording import Wording
from halfclick_desktop.desk import Desk
from halfclick_desktop.letting_go import let_go
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.printing import PAPERS, Sheet, page_layout, paint, preview, write_pdf
from halfclick_desktop.sheets import history_on_paper, recipe_on_paper
from halfclick_desktop.trial_pictures import pictures_on_paper
from halfclick_desktop.trial_result_page import Result, how_done
from halfclick_desktop.trial_sheets import (
    helper_on_paper,
    opened_rows,
    result_on_paper,
    taster_on_paper,
)
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.notice import Notice

PREVIEW_DPI = 80
# Countries whose usual paper is Letter (Unicode CLDR, paperSize "US-Letter").
LETTER_COUNTRIES = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)


class PrintDialog(QDialog):
    """Shows the pages; Return saves a PDF, Ctrl+P prints, Escape closes."""

    def __init__(self, words: Wording, sheet: Sheet, parent: QWidget | None) -> None:
        super().__init__(parent)
        self._words = words
        self._sheet = sheet
        self.setWindowTitle(sheet.title)
        self.resize(800, 760)
        self._paper = QComboBox()
        self._paper.setAccessibleName(words("print.paper"))
        self._paper.addItems([words(f"print.paper_{name}") for name in PAPERS])
        self._paper.setCurrentIndex(list(PAPERS).index(usual_paper()))
        self._paper.currentIndexChanged.connect(self._show_pages)
        self._save = QPushButton(words("print.save"))
        self._save.setProperty("role", "main")
        self._save.clicked.connect(self._save_asked)
        self._print = QPushButton(words("print.print"))
        self._print.setShortcut("Ctrl+P")
        self._print.clicked.connect(self._print_asked)
        self._close = QPushButton(words("shell.close"))
        self._close.clicked.connect(self.reject)
        self._notice = Notice(words)
        self._area = QScrollArea()
        self._pages = QVBoxLayout()
        self._pages.setSpacing(GROUPS)
        self._lay_out()
        self._show_pages()

    def _lay_out(self) -> None:
        inside = QWidget()
        inside.setLayout(self._pages)
        self._area.setWidget(inside)
        self._area.setWidgetResizable(True)
        self._area.setAccessibleName(self._words("print.pages"))
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the page keys move it
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._save)
        keys.addWidget(self._print)
        keys.addWidget(self._close)
        keys.addStretch(1)
        label = QLabel(self._words("print.paper"))
        label.setProperty("role", "label")
        label.setBuddy(self._paper)
        keys.addWidget(label)
        keys.addWidget(self._paper)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(GROUPS, GROUPS, GROUPS, GROUPS)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._notice)
        whole.addWidget(self._area, 1)
        whole.addLayout(keys)
        self._save.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            focused = self.focusWidget()
            (focused if isinstance(focused, QPushButton) else self._save).click()
        elif event.key() in {Qt.Key.Key_PageDown, Qt.Key.Key_PageUp}:
            bar = self._area.verticalScrollBar()
            way = 1 if event.key() == Qt.Key.Key_PageDown else -1
            bar.setValue(bar.value() + way * bar.pageStep())
        else:
            super().keyPressEvent(event)

    def paper(self) -> str:
        """Return which paper is chosen."""
        return list(PAPERS)[self._paper.currentIndex()]

    def save(self, path: Path) -> None:
        """Write a PDF, and say where it lies."""
        try:
            write_pdf(self._sheet, path, self.paper(), self._words)
        except CoreError as error:
            self._notice.say(self._words.sentence(error))
            return
        self._notice.say(self._words("print.saved", path=str(path)))

    def _show_pages(self) -> None:
        while (item := self._pages.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                let_go(widget)
        pages = preview(self._sheet, self.paper(), PREVIEW_DPI, self._words)
        for number, page in enumerate(pages, start=1):
            shown = QLabel()
            shown.setPixmap(QPixmap.fromImage(page))
            shown.setAccessibleName(self._words("print.page", number=number, total=len(pages)))
            self._pages.addWidget(shown, 0, Qt.AlignmentFlag.AlignHCenter)
        self._pages.addStretch(1)

    def _save_asked(self) -> None:
        name = "".join(
            sign if sign.isalnum() or sign in " -_" else "_" for sign in self._sheet.title
        )
        path, _ = QFileDialog.getSaveFileName(
            self, self._words("print.save"), f"{name}.pdf", self._words("print.pdf_files")
        )
        if path:
            self.save(Path(path) if Path(path).suffix else Path(f"{path}.pdf"))

    def _print_asked(self) -> None:
        # Loaded when it is asked for: it looks for printers, which may take a while.
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter

        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageLayout(page_layout(self.paper()))
        printer.setDocName(self._sheet.title)
        if QPrintDialog(printer, self).exec() != QDialog.DialogCode.Accepted:
            return
        painter = QPainter()
        if not painter.begin(printer):
            self._notice.say(self._words("print.failed"))
            return
        paint(self._sheet, printer, painter, self._words, new_page=printer.newPage)
        painter.end()
        self._notice.say(self._words("print.sent", name=printer.printerName()))


def usual_paper() -> str:
    """Return the paper that is usual where the person's system says it is."""
    country = QLocale.territoryToCode(QLocale.system().territory())
    return "letter" if country in LETTER_COUNTRIES else "a4"


def recipe_dialog(desk: Desk, planned: Planned, parent: QWidget) -> PrintDialog:
    """Return the dialog that prints a plan.

    Raises:
        BadInput: there is no kit yet.
    """
    sheet = recipe_sheet(desk.store, planned, today=desk.today())
    return PrintDialog(desk.words, recipe_on_paper(sheet, desk.words, desk.today()), parent)


def history_dialog(desk: Desk, coffee_id: UUID, parent: QWidget) -> PrintDialog:
    """Return the dialog that prints a coffee's history."""
    history = coffee_history(desk.store, coffee_id)
    return PrintDialog(desk.words, history_on_paper(history, desk.words, desk.today()), parent)


def helper_dialog(desk: Desk, view: TrialView, key: str, parent: QWidget) -> PrintDialog:
    """Return the dialog that prints the helper's sheet of a trial."""
    return PrintDialog(desk.words, helper_on_paper(view, key, desk.words, desk.today()), parent)


def taster_dialog(desk: Desk, view: TrialView, parent: QWidget) -> PrintDialog:
    """Return the dialog that prints what the tasters of a trial answer on."""
    return PrintDialog(desk.words, taster_on_paper(view, desk.words, desk.today()), parent)


def result_dialog(desk: Desk, result: Result, parent: QWidget) -> PrintDialog:
    """Return the dialog that prints what a trial found."""
    return PrintDialog(desk.words, result_sheet(desk, result), parent)


def result_sheet(desk: Desk, result: Result) -> Sheet:
    """Return what a trial found as it is printed."""
    words, main, liking = desk.words, result.told.main, result.told.liking
    told = [*main.sentences, *(liking.sentences if liking else ()), *main.cautions]
    said = [words.sentence(one) for one in told] or [words("trial_result.nothing")]
    how = [*how_done(desk, result.view), " · ".join(map(words.sentence, result.facts))]
    return result_on_paper(
        result.view,
        said,
        how,
        opened_rows(result.view, words),
        words,
        desk.today(),
        pictures_on_paper(desk, result),
    )
