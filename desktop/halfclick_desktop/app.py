"""Start the program: the one place where things are built and joined."""

import argparse
import gc
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, date, datetime
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication

from halfclick.errors import CoreError
from halfclick.threads import keep_to_one
from halfclick.wording import ENGLISH, Wording, open_wording
from halfclick_desktop import look
from halfclick_desktop.local import Local, state_folder
from halfclick_desktop.look import Theme
from halfclick_desktop.pages import PAGES, Pages
from halfclick_desktop.window import Window

if TYPE_CHECKING:
    # Not at run time: what the first paint does not need is loaded after it.
    from halfclick.store.journal import Store
    from halfclick.units import Units
    from halfclick_desktop.desk import Desk
    from halfclick_desktop.ways import Ways
    from halfclick_desktop.work import Jobs

FIRST_PAINT = "first-paint"
FIRST_PAGE = "first-page"
READY = "ready"
# English made longer and strange, to see what is cut and what no catalogue holds.
PSEUDO = "pseudo"


def main(argv: list[str] | None = None) -> int:
    """Run the program; return its exit code."""
    options = _options(sys.argv[1:] if argv is None else argv)
    keep_to_one()
    app = QApplication(sys.argv[:1])
    app.setApplicationName("Halfclick")
    app.setDesktopFileName("halfclick")
    local = Local(state_folder())
    program = Program(
        app,
        words=worded(options.language or local.language()),
        local=local,
        journal=options.journal,
        theme=Theme(options.theme) if options.theme else None,
        demo=options.demo,
    )
    if options.until == FIRST_PAINT:
        program.window.painted.connect(partial(_leave, program, 0))
    else:
        program.window.painted.connect(program.install_hooks)
    if options.until == FIRST_PAGE:
        program.first_page_painted.connect(partial(_leave, program, 0))
    if options.until == READY:
        program.ready.connect(partial(_leave, program, 0))
    if options.smoke:
        program.ready.connect(partial(_smoke, program))
    program.start()
    code = app.exec()
    return _leave(program, code)


def _options(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="halfclick", description="A dial-in assistant for filter coffee brewed by hand."
    )
    parser.add_argument("--journal", metavar="PATH", help="the journal's file")
    parser.add_argument(
        "--demo", action="store_true", help="an invented journal instead; yours is not touched"
    )
    parser.add_argument("--theme", choices=[theme.value for theme in Theme])
    parser.add_argument("--language", metavar="CODE", help="for this run only, e.g. en")
    parser.add_argument(
        "--until", choices=[FIRST_PAINT, FIRST_PAGE, READY], help="end right after that moment"
    )
    parser.add_argument("--smoke", action="store_true", help="open every page once, then end")
    return parser.parse_args(argv)


def worded(language: str) -> Wording:
    """Return the wording of a language; of English where there is no catalogue of it."""
    if language == PSEUDO:
        from halfclick.pseudo import pseudo_wording

        return pseudo_wording()
    try:
        return open_wording(language or ENGLISH)
    except FileNotFoundError:
        return open_wording()


def _leave(program: "Program", code: int) -> int:
    """End the process after an orderly close; taking Python and Qt apart takes longer."""
    program.close()
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)


def _smoke(program: "Program") -> None:
    """Open every page once, then end."""
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
        demo: whether the demo journal is opened, whatever `journal` says.
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
        demo: bool = False,
    ) -> None:
        super().__init__()
        self._app = app
        self._words = words
        self._local = local
        self._journal = journal
        self._clock = clock
        self._demo = demo
        self._theme = theme or local.theme()
        self._told_first_page = False
        self._unmade: list[str] = []
        self._pages: Pages | None = None
        self.jobs: Jobs | None = None
        self.store: Store | None = None
        self.desk: Desk | None = None
        self.ways: Ways | None = None
        look.apply(app, self._theme)
        self.window = Window(words, self._theme, title_code="demo.title" if demo else "")
        self.window.theme_asked.connect(self.use_theme)
        self.window.folder_asked.connect(self.open_folder)
        self.window.closing.connect(self.close)
        self.window.opening.try_again_asked.connect(self._open)
        app.styleHints().colorSchemeChanged.connect(self._system_changed)
        local.restore_place(self.window)

    def start(self) -> None:
        """Show the window; the journal is opened once it has been painted."""
        self.window.painted.connect(self._painted)
        self.window.show()

    def close(self) -> None:
        """Keep the window's place, let jobs end, and let go of the journal."""
        self._local.keep_place(self.window)
        if self.jobs is not None:
            self.jobs.stop()
        if self.store is not None:
            self.store.close()
            self.store = None

    def install_hooks(self) -> None:
        """Take over what nobody catches: into a log on this machine, then a dialog."""
        from halfclick_desktop.crash import CrashHook, CrashLog

        self._hook = CrashHook(
            CrashLog(self._local.folder), self._words, tell=self.window.notice.say
        )
        self._hook.install()

    def use_theme(self, name: str) -> None:
        """Change the colours now, and keep that for the next start."""
        self._theme = Theme(name)
        self._local.keep_theme(self._theme)
        look.apply(self._app, self._theme)
        self.window.show_theme(self._theme)
        if self._pages is not None:
            self._pages("settings").show_theme(self._theme)

    def use_units(self, units: "Units") -> None:
        """Print and read in other units from now on, on every page."""
        from halfclick.service.done import Touched
        from halfclick_desktop.widgets.field import NumberField

        self._words.units = units
        for field in self.window.findChildren(NumberField):
            field.show_units()
        self.window.reload(~Touched.NOTHING)

    def open_folder(self) -> None:
        """Show the journal's folder in the system's file manager."""
        from PySide6.QtCore import QUrl
        from PySide6.QtGui import QDesktopServices

        QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._journal_path().parent)))

    def theme(self) -> Theme:
        """Return the theme in use."""
        return self._theme

    def _system_changed(self) -> None:
        if self._theme is Theme.SYSTEM:
            look.apply(self._app, self._theme)

    def _journal_path(self) -> Path:
        from halfclick.store.place import demo_path, journal_path

        if self._demo:
            return demo_path((self._clock or _utc_now)())
        return journal_path(str(self._journal) if self._journal else None)

    def _painted(self) -> None:
        self._glance()
        self.window.furnish()
        self._open()

    def _glance(self) -> None:
        """Show the shelf as it stands in the file, before anything heavy is loaded."""
        from halfclick.store.glance import glance

        seen = glance(self._journal_path())
        if seen:
            self.window.opening.show_shelf([(g.name, g.process, g.roast, g.cups) for g in seen])
            self.window.repaint()
            self._first_page_was_painted()

    def _first_page_was_painted(self) -> None:
        if not self._told_first_page:
            self._told_first_page = True
            self.first_page_painted.emit()

    def _open(self) -> None:
        from halfclick_desktop.work import Jobs

        if self.jobs is None:
            self.jobs = Jobs(self)
        job = self.jobs.run(partial(_opened, self._journal_path(), self._clock, self._demo))
        job.done.connect(self._build)
        job.failed.connect(self._refused)

    def _refused(self, error: CoreError) -> None:
        self.window.opening.show_refusal(self._words.sentence(error))
        self.window.open_page("opening")

    def _build(self, store: "Store") -> None:
        """Open the first page with what the journal holds; the others once it is painted."""
        from halfclick.service.done import Touched
        from halfclick.service.settings import units_of
        from halfclick_desktop.desk import Desk, utc_now

        if self.jobs is None:
            return
        self.store = store
        self._words.units = units_of(store)
        self.desk = Desk(
            store=store, clock=self._clock or utc_now, words=self._words, jobs=self.jobs
        )
        # Before the pages: they ask it anew.
        self.window.add_reader("forecasts", self.desk.forecasts)
        self._pages = Pages(self.window, self.desk)
        first = self._first_page()
        page = self._pages(first)
        page.reload(~Touched.NOTHING)
        if first == "coffees" and page.waits():
            # What was seen at the first glance stays until the whole shelf was read.
            page.read.connect(self._open_shelf)
        else:
            self._open_first(first)

    def _open_shelf(self) -> None:
        if self._pages is not None:
            self._pages("coffees").read.disconnect(self._open_shelf)
            self._open_first("coffees")

    def _open_first(self, first: str) -> None:
        self.window.open_page(first, fresh=True)
        self.window.repaint()
        self._first_page_was_painted()
        QTimer.singleShot(0, self._build_others)

    def _build_others(self) -> None:
        """Load what the other pages need off the main thread, then make a page at a time."""
        if self.jobs is not None and self._pages is not None and self.desk is not None:
            self._unmade = self._pages.unmade()
            self.jobs.run(_load_services).done.connect(self._build_next)
            self.jobs.run(partial(_read_ahead, self.desk.store, self.desk.today()))

    def _build_next(self) -> None:
        if self.store is None or self.desk is None or self._pages is None:
            return
        if self._unmade:
            self._pages(self._unmade.pop(0))
            QTimer.singleShot(0, self._build_next)
            return
        self._join(self._pages, self.desk)
        # What was made until now stays to the end: looking through it for unused cycles would
        # stop the window again and again.
        gc.freeze()
        self.window.rail.show_usable(self.window.current() != "first_run")
        if self._demo:
            self.window.notice.say(self._words("demo.notice"))
        if self.store.notices:
            self.window.notice.say(self._words.sentences(self.store.notices))
        self.ready.emit()

    def _join(self, pages: Pages, desk: "Desk") -> None:
        from halfclick_desktop.ways import Ways

        self.ways = Ways(self.window, pages, desk)
        self.ways.join()
        settings = pages("settings")
        settings.theme_asked.connect(self.use_theme)
        settings.show_theme(self._theme)
        settings.units_chosen.connect(self.use_units)
        settings.language_asked.connect(self._local.keep_language)
        settings.show_language(self._local.language())
        self._tidy()

    def _tidy(self) -> None:
        """Let go of copies of the journal beyond those kept, off the main thread."""
        from halfclick.service.copies import tidy_copies
        from halfclick.service.photos import sweep_photos

        if self.jobs is not None and self.store is not None:
            job = self.jobs.run(partial(tidy_copies, self.store))
            job.failed.connect(self._untidied)
            swept = self.jobs.run(partial(sweep_photos, self.store, clock=self._clock or _utc_now))
            swept.failed.connect(self._untidied)

    def _untidied(self, error: CoreError) -> None:
        self.window.notice.say(self._words.sentence(error))

    def _first_page(self) -> str:
        from halfclick.service.guide import under_way
        from halfclick.service.kitchens import kit_in_use

        if self.store is None or kit_in_use(self.store) is None:
            return "first_run"
        return "coffees" if under_way(self.store) is None else "resume"


def _load_services() -> None:
    """Load what the pages after the first one need; runs off the main thread."""
    for module in ("sheet", "record", "advise", "history", "copies"):
        import_module(f"halfclick.service.{module}")
    from halfclick.service.rule_book import built_in
    from halfclick.service.words import lexicon

    built_in()  # kept for the process, and so are the words
    lexicon()


def _read_ahead(store: "Store", today: date) -> None:
    """Read once what pages read first; runs off the main thread, and nothing waits for it."""
    from halfclick.service.ahead import read_ahead

    with suppress(CoreError):  # a page that asks says what is wrong
        read_ahead(store, today=today)


def _utc_now() -> datetime:
    return datetime.now(UTC)


def _opened(path: Path, clock: Callable[[], datetime] | None, demo: bool) -> "Store":
    """Load what the first page needs and open the journal; runs off the main thread."""
    for module in ("coffees", "guide", "settings"):
        import_module(f"halfclick.service.{module}")
    from halfclick.store.opening import open_store
    from halfclick_desktop.desk import utc_now

    if demo:
        from halfclick.service.demo import demo_journal

        path = demo_journal(clock=clock or utc_now, folder=path.parent)
    return open_store(path, clock=clock or utc_now)
