"""Start the program: the one place where things are built and joined."""

import argparse
import os
import sys
from collections.abc import Callable
from datetime import datetime
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

from PySide6.QtCore import QObject, QTimer, QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QApplication

from halfclick.errors import CoreError
from halfclick.service.done import Touched
from halfclick.wording import Wording, open_wording
from halfclick_desktop import look
from halfclick_desktop.local import Local, state_folder
from halfclick_desktop.look import Theme
from halfclick_desktop.window import Window
from halfclick_desktop.work import Jobs

if TYPE_CHECKING:
    # Not at run time: the journal's libraries are loaded after the first paint.
    from halfclick.store.journal import Store
    from halfclick_desktop.desk import Desk

FIRST_PAINT = "first-paint"
FIRST_PAGE = "first-page"

# Pages by name: the module and the class; loaded after the first paint.
PAGES: dict[str, tuple[str, str]] = {
    "coffees": ("coffees_page", "CoffeesPage"),
    "coffee_form": ("coffee_form_page", "CoffeeFormPage"),
    "sheet": ("sheet_page", "SheetPage"),
    "plan": ("plan_page", "PlanPage"),
    "guide": ("guide_page", "GuidePage"),
    "taste": ("taste_page", "TastePage"),
    "log": ("log_page", "LogPage"),
    "history": ("history_page", "HistoryPage"),
    "kit": ("kit_page", "KitPage"),
    "settings": ("settings_page", "SettingsPage"),
    "first_run": ("first_run_page", "FirstRunPage"),
    "resume": ("resume_page", "ResumePage"),
}


def main(argv: list[str] | None = None) -> int:
    """Run the program; return its exit code."""
    options = _options(sys.argv[1:] if argv is None else argv)
    app = QApplication(sys.argv[:1])
    app.setApplicationName("Halfclick")
    app.setDesktopFileName("halfclick")
    program = Program(
        app,
        words=open_wording(),
        local=Local(state_folder()),
        journal=options.journal,
        theme=Theme(options.theme) if options.theme else None,
    )
    if options.until == FIRST_PAINT:
        program.window.painted.connect(partial(_leave, program, 0))
    else:
        program.window.painted.connect(program.install_hooks)
    if options.until == FIRST_PAGE:
        program.first_page_painted.connect(partial(_leave, program, 0))
    if options.smoke:
        program.first_page_painted.connect(partial(_smoke, program))
    program.start()
    code = app.exec()
    return _leave(program, code)


def _options(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="halfclick", description="A dial-in assistant for filter coffee brewed by hand."
    )
    parser.add_argument("--journal", metavar="PATH", help="the journal's file")
    parser.add_argument("--theme", choices=[theme.value for theme in Theme])
    parser.add_argument(
        "--until", choices=[FIRST_PAINT, FIRST_PAGE], help="end right after that moment"
    )
    parser.add_argument("--smoke", action="store_true", help="open every page once, then end")
    return parser.parse_args(argv)


def _leave(program: "Program", code: int) -> int:
    """End the process after an orderly close; taking Python and Qt apart takes longer."""
    program.close()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)


def _smoke(program: "Program") -> None:
    for name in PAGES:
        program.window.open_page(name)
        program.window.repaint()
    QTimer.singleShot(0, partial(_leave, program, 0))


class Program(QObject):
    """Builds the window, opens the journal off the main thread, then joins the pages.

    Args:
        app: Qt's application.
        words: the wording.
        local: what this machine remembers.
        journal: the journal's file; None for the usual place.
        theme: for this run only; None for the one this machine remembers.
        clock: tells the time; None for the real one.
    """

    ready = Signal()  # the pages are there
    first_page_painted = Signal()

    def __init__(
        self,
        app: QApplication,
        *,
        words: Wording,
        local: Local,
        journal: str | Path | None = None,
        theme: Theme | None = None,
        clock: Callable[[], datetime] | None = None,
    ) -> None:
        super().__init__()
        self._app = app
        self._words = words
        self._local = local
        self._journal = journal
        self._clock = clock
        self._theme = theme or local.theme()
        self._coffee_id: UUID | None = None
        self.jobs = Jobs(self)
        self.store: Store | None = None
        self.desk: Desk | None = None
        look.apply(app, self._theme)
        self.window = Window(words, self._theme)
        self.window.theme_asked.connect(self.use_theme)
        self.window.folder_asked.connect(self.open_folder)
        self.window.rail_asked.connect(self._rail_asked)
        self.window.closing.connect(self.close)
        self.window.opening.try_again_asked.connect(self._open)
        app.styleHints().colorSchemeChanged.connect(self._system_changed)
        local.restore_place(self.window)

    def start(self) -> None:
        """Show the window; the journal is opened once it has been painted."""
        self.window.painted.connect(self._open)
        self.window.show()

    def close(self) -> None:
        """Keep the window's place, let jobs end, and let go of the journal."""
        self._local.keep_place(self.window)
        self.jobs.stop()
        if self.store is not None:
            self.store.close()
            self.store = None

    def install_hooks(self) -> None:
        """Take over what nobody catches: into a log on this machine, then a dialog."""
        from halfclick_desktop.crash import CrashHook, CrashLog

        self._hook = CrashHook(CrashLog(self._local.folder), self._words)
        self._hook.install()

    def use_theme(self, name: str) -> None:
        """Change the colours now, and keep that for the next start."""
        self._theme = Theme(name)
        self._local.keep_theme(self._theme)
        look.apply(self._app, self._theme)
        self.window.show_theme(self._theme)
        if self.desk is not None:
            self.window.reload(Touched.SETTINGS)

    def open_folder(self) -> None:
        """Show the journal's folder in the system's file manager."""
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._journal_path().parent)))

    def theme(self) -> Theme:
        """Return the theme in use."""
        return self._theme

    def _system_changed(self) -> None:
        if self._theme is Theme.SYSTEM:
            look.apply(self._app, self._theme)

    def _journal_path(self) -> Path:
        from halfclick.store.place import journal_path

        return journal_path(str(self._journal) if self._journal else None)

    def _open(self) -> None:
        job = self.jobs.run(partial(_opened, self._journal_path(), self._clock))
        job.done.connect(self._build)
        job.failed.connect(self._refused)

    def _refused(self, error: CoreError) -> None:
        self.window.opening.show_refusal(self._words.sentence(error))
        self.window.open_page("opening")

    def _build(self, store: "Store") -> None:
        from halfclick_desktop.desk import Desk, utc_now

        self.store = store
        self.desk = Desk(
            store=store, clock=self._clock or utc_now, words=self._words, jobs=self.jobs
        )
        for name, (module, kind) in PAGES.items():
            page: Any = getattr(import_module(f"halfclick_desktop.{module}"), kind)(self.desk)
            self.window.add_page(name, page, page)
            page.changed.connect(self.window.reload)
        self._join()
        self.window.rail.show_usable(True)
        if store.notices:
            self.window.notice.say(self._words.sentences(store.notices))
        self.window.reload(~Touched.NOTHING)
        self._open_first_page()
        self.ready.emit()
        self.window.repaint()
        self.first_page_painted.emit()

    def _page(self, name: str) -> Any:
        return self.window.page(name)

    def _join(self) -> None:
        """Join what pages ask for to the pages that answer."""

    def _open_first_page(self) -> None:
        from halfclick.service.guide import under_way
        from halfclick.service.kitchens import kit_in_use

        if self.store is None:
            return
        if kit_in_use(self.store) is None:
            self.window.rail.show_usable(False)
            self.window.open_page("first_run")
        elif under_way(self.store) is not None:
            self.window.open_page("resume")
        else:
            self.window.open_page("coffees")

    def _rail_asked(self, name: str) -> None:
        self.window.open_page(name)


def _opened(path: Path, clock: Callable[[], datetime] | None) -> "Store":
    """Load what the pages need and open the journal; runs off the main thread."""
    for module in ("sheet", "guide", "record", "advise", "history", "settings"):
        import_module(f"halfclick.service.{module}")
    from halfclick.store.opening import open_store
    from halfclick_desktop.desk import utc_now

    return open_store(path, clock=clock or utc_now)
