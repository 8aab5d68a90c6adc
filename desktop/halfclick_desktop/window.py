"""The window: the rail, the pages and the menus, and nothing else."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMainWindow,
    QMenu,
    QPushButton,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.wording import Wording
from halfclick_desktop.look import Theme
from halfclick_desktop.opening_page import OpeningPage
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.rail import Rail

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from halfclick.service.done import Touched

NARROW_PX = 1000  # of a window: below, the rail takes less of it
RAIL_PAGES = ("coffees", "brew", "history", "trials", "water", "kit", "settings")
# Where a page belongs on the rail, if its own name does not stand there.
RAIL_OF = {
    "coffee_form": "coffees",
    "sheet": "coffees",
    "believed": "coffees",
    "plan": "brew",
    "guests": "brew",
    "guide": "brew",
    "taste": "brew",
    "log": "brew",
    "resume": "brew",
    "rules": "settings",
    "cup": "history",
    "compare": "history",
    "plane": "history",
    "model_check": "kit",
    "search": "history",
    "taught": "kit",
    "convert": "kit",
    "take_out": "settings",
    "bring_in": "settings",
    "trial_start": "trials",
    "trial_paper": "trials",
    "trial": "trials",
    "trial_result": "trials",
}
# Pages that Escape does not come back to: they stand for something that was done and is over.
PASSING = frozenset(
    {"opening", "first_run", "coffee_form", "guests", "guide", "taste", "log", "resume", "cup"}
    | {"trial_start", "trial_paper"}
)


class Page(Protocol):
    """What the window asks of a page."""

    def reload(self, touched: "Touched") -> None:
        """Read again what may have changed."""


class Window(QMainWindow):
    """Holds the pages; one is open, and those before it can be gone back to."""

    painted = Signal()  # once, right after the first paint
    rail_asked = Signal(str)
    theme_asked = Signal(str)
    folder_asked = Signal()
    closing = Signal()

    def __init__(
        self, words: Wording, theme: Theme = Theme.SYSTEM, *, title_code: str = ""
    ) -> None:
        super().__init__()
        self._words = words
        self._title_code = title_code
        self._pages: dict[str, QWidget] = {}
        self._readers: dict[str, Callable[[Touched], None]] = {}
        self._owed: dict[str, Touched] = {}  # what pages out of sight were not yet told
        self._behind: list[str] = []
        self._was_painted = False
        self._show_title(words("shell.name"))
        self.resize(1180, 760)
        self.rail = Rail(words, RAIL_PAGES)
        self.rail.page_asked.connect(self.rail_asked)
        self.rail.show_usable(False)
        self.notice = Notice(words)
        whole = QWidget()
        self._stack = _Stack(whole)
        self.opening = OpeningPage(words)
        self.opening.folder_asked.connect(self.folder_asked)
        self.add_page("opening", self.opening)
        self._lay_out(whole)
        self._theme = theme
        self._menus = {
            name: self.menuBar().addMenu(words(f"menu.{name}")) for name in ("file", "view", "help")
        }

    def furnish(self) -> None:
        """Fill the menus and take the keys; done after the first paint, which it would delay."""
        self.rail.take_keys()
        self._fill_menus()

    def _lay_out(self, pages: QWidget) -> None:
        right = QVBoxLayout()
        right.setSpacing(0)
        top = QVBoxLayout()
        top.setContentsMargins(16, 8, 16, 0)
        top.addWidget(self.notice)
        right.addLayout(top)
        right.addWidget(pages, 1)
        whole = QWidget()
        row = QHBoxLayout(whole)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.rail)
        row.addLayout(right, 1)
        self.setCentralWidget(whole)

    def _fill_menus(self) -> None:
        from PySide6.QtGui import QAction, QActionGroup  # see `furnish`

        file, view, helping = self._menus.values()
        self._add(file, "menu.open_folder", "", self.folder_asked.emit)
        for name, key in (("take_out", "Ctrl+E"), ("bring_in", "Ctrl+I")):
            self._add(file, f"menu.{name}", key, partial(self.rail_asked.emit, name))
        leave = self._add(file, "menu.quit", "Ctrl+Q", self.close)
        leave.setMenuRole(QAction.MenuRole.QuitRole)
        group = QActionGroup(self)
        for choice in Theme:
            action = self._add(
                view,
                f"theme.{choice.value}",
                "",
                partial(self.theme_asked.emit, choice.value),
            )
            action.setCheckable(True)
            action.setChecked(choice is self._theme)
            group.addAction(action)
        self._add(helping, "menu.keys", "F1", self.show_keys)
        check = partial(self.rail_asked.emit, "model_check")
        self._add(helping, "menu.model_check", "Ctrl+M", check)
        about = self._add(helping, "menu.about", "", self._show_about)
        about.setMenuRole(QAction.MenuRole.AboutRole)

    def _add(self, menu: QMenu, code: str, key: str, does: Callable[[], object]) -> "QAction":
        from PySide6.QtGui import QAction, QKeySequence  # see `furnish`

        action = QAction(self._words(code), self)
        if key:
            action.setShortcut(QKeySequence(key))
        action.triggered.connect(does)
        menu.addAction(action)
        return action

    def add_page(self, name: str, page: QWidget, reads: Page | None = None) -> None:
        """Add a page; where it reads the journal, it is told what changed."""
        self._pages[name] = page
        self._stack.addWidget(page)
        if reads is not None:
            self.add_reader(name, reads)

    def add_reader(self, name: str, reads: Page) -> None:
        """Tell something that reads the journal what changed, after those added before it."""
        self._readers[name] = reads.reload

    def has_page(self, name: str) -> bool:
        """Return whether a page is there."""
        return name in self._pages

    def page(self, name: str) -> QWidget:
        """Return a page by name."""
        return self._pages[name]

    def current(self) -> str:
        """Return the name of the open page."""
        shown = self._stack.currentWidget()
        return next(name for name, page in self._pages.items() if page is shown)

    def open_page(self, name: str, *, fresh: bool = False) -> None:
        """Open a page, so that Escape comes back to the one that is open now.

        Args:
            name: which page.
            fresh: whether it has just read all that it shows.
        """
        if fresh:
            self._owed.pop(name, None)
        before = self.current()
        if before != name and before not in PASSING:
            self._behind = [*(page for page in self._behind if page != before), before]
        self._show(name)

    def back(self) -> None:
        """Go back to the page before."""
        while self._behind:
            name = self._behind.pop()
            if name != self.current():
                self._show(name)
                return
        usable = self.rail.button("coffees").isEnabled()
        if usable and self.current() not in {"opening", "first_run"}:
            self._show("coffees")
        elif self.has_page("first_run") and self.current() != "opening":
            self._show("first_run")  # no kit is known yet

    def reload(self, touched: "Touched") -> None:
        """Tell the open page what changed, and each other one when it is opened."""
        for name in self._readers:
            self.owe(name, touched)
        self._tell(self.current())

    def owe(self, name: str, touched: "Touched") -> None:
        """Tell a page what changed when it is opened."""
        self._owed[name] = self._owed[name] | touched if name in self._owed else touched

    def _tell(self, name: str) -> None:
        """Tell a page what changed since it last read; what it cannot read is said at the top."""
        touched = self._owed.pop(name, None)
        if touched is None:
            return
        try:
            self._readers[name](touched)
        except CoreError as error:
            self.notice.say(self._words.sentence(error))

    def show_keys(self) -> None:
        """List every key."""
        from halfclick_desktop.keys_dialog import KeysDialog

        KeysDialog(self._words, self).exec()

    def show_theme(self, theme: Theme) -> None:
        """Tick a theme in the menu."""
        self._theme = theme
        self._menus["view"].actions()[list(Theme).index(theme)].setChecked(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        from PySide6.QtCore import Qt  # see `is_return`

        focused = self.focusWidget()
        if event.key() == Qt.Key.Key_Escape:
            self.back()
        elif is_return(event) and isinstance(focused, QPushButton):
            focused.click()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.rail.show_narrow(self.width() < NARROW_PX)
        super().resizeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._was_painted:
            self._was_painted = True
            QTimer.singleShot(0, self.painted.emit)

    def closeEvent(self, event: QCloseEvent) -> None:
        self.closing.emit()
        super().closeEvent(event)

    def _show(self, name: str) -> None:
        self._tell(name)  # before it is seen
        page = self._pages[name]
        has_place = page.focusWidget() is not None
        self._stack.setCurrentWidget(page)
        self.rail.show_current(RAIL_OF.get(name, name))
        title = self._words("shell.name")
        on_rail = RAIL_OF.get(name, name)
        if on_rail in RAIL_PAGES:
            title = self._words("shell.title", page=self._words(f"rail.{on_rail}"))
        self._show_title(title)
        self._focus_first(has_place=has_place)

    def _show_title(self, title: str) -> None:
        """Show a title, within another where this is no ordinary journal."""
        code = self._title_code
        self.setWindowTitle(self._words(code, title=title) if code else title)

    def _focus_first(self, *, has_place: bool) -> None:
        """Put the keys into the page that was opened, if they are still outside of it.

        Where a page has no place of its own yet, Qt has put them anywhere in it.
        """
        page = self._stack.currentWidget()
        if not has_place or not _has_keys(page, self.focusWidget()):
            page.setFocus()
            QTimer.singleShot(0, self._focus_inside)

    def _focus_inside(self) -> None:
        from PySide6.QtCore import Qt  # see `is_return`

        page = self._stack.currentWidget()
        if _has_keys(page, self.focusWidget()):
            return
        for child in page.findChildren(QWidget):
            policy = child.focusPolicy()
            if policy & Qt.FocusPolicy.TabFocus and child.isVisibleTo(page) and child.isEnabled():
                child.setFocus()
                return

    def _show_about(self) -> None:
        from PySide6.QtWidgets import QMessageBox  # not needed for the first paint

        about = QMessageBox(self)
        about.setWindowTitle(self._words("menu.about"))
        about.setText(self._words("about.text"))
        about.setInformativeText(self._words("about.licence"))
        about.exec()


class _Stack(QStackedLayout):
    """Gives the open page all the height there is, and asks none how high it would be.

    Qt would ask every page, out of sight or not, whenever one line of the open one grows.
    """

    def hasHeightForWidth(self) -> bool:
        return False


def _has_keys(page: QWidget, focused: QWidget | None) -> bool:
    if focused is None:
        return False
    return focused is page or page.isAncestorOf(focused)
