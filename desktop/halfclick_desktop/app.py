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

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication

from halfclick.errors import CoreError
from halfclick.wording import Wording, open_wording
from halfclick_desktop import look
from halfclick_desktop.local import Local, state_folder
from halfclick_desktop.look import Theme
from halfclick_desktop.window import Window

if TYPE_CHECKING:
    # Not at run time: what the first paint does not need is loaded after it.
    from uuid import UUID

    from halfclick.service.done import Touched
    from halfclick.service.plan import Planned
    from halfclick.store.journal import Store
    from halfclick_desktop.desk import Desk
    from halfclick_desktop.work import Jobs

FIRST_PAINT = "first-paint"
FIRST_PAGE = "first-page"
READY = "ready"

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
    parser.add_argument("--theme", choices=[theme.value for theme in Theme])
    parser.add_argument(
        "--until", choices=[FIRST_PAINT, FIRST_PAGE, READY], help="end right after that moment"
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
        self._told_first_page = False
        self._unmade: list[str] = []
        self._plan_stands = False  # whether the plan page holds a plan not yet brewed
        self.jobs: Jobs | None = None
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

        self._hook = CrashHook(CrashLog(self._local.folder), self._words)
        self._hook.install()

    def use_theme(self, name: str) -> None:
        """Change the colours now, and keep that for the next start."""
        self._theme = Theme(name)
        self._local.keep_theme(self._theme)
        look.apply(self._app, self._theme)
        self.window.show_theme(self._theme)
        if self.desk is not None:
            self._page("settings").show_theme(self._theme)

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
        from halfclick.store.place import journal_path

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
        job = self.jobs.run(partial(_opened, self._journal_path(), self._clock))
        job.done.connect(self._build)
        job.failed.connect(self._refused)

    def _refused(self, error: CoreError) -> None:
        self.window.opening.show_refusal(self._words.sentence(error))
        self.window.open_page("opening")

    def _build(self, store: "Store") -> None:
        """Open the first page with what the journal holds; the others once it is painted."""
        from halfclick_desktop.desk import Desk, utc_now

        if self.jobs is None:
            return
        self.store = store
        self.desk = Desk(
            store=store, clock=self._clock or utc_now, words=self._words, jobs=self.jobs
        )
        first = self._first_page()
        self._page(first)
        self.window.open_page(first)
        self.window.repaint()
        self._first_page_was_painted()
        QTimer.singleShot(0, self._build_others)

    def _build_others(self) -> None:
        """Load what the other pages need off the main thread, then make a page at a time."""
        if self.jobs is not None:
            self._unmade = [name for name in PAGES if not self.window.has_page(name)]
            self.jobs.run(_load_services).done.connect(self._build_next)

    def _build_next(self) -> None:
        if self.store is None:
            return
        if self._unmade:
            self._page(self._unmade.pop(0))
            QTimer.singleShot(0, self._build_next)
            return
        self._join()
        self.window.rail.show_usable(self.window.current() != "first_run")
        if self.store.notices:
            self.window.notice.say(self._words.sentences(self.store.notices))
        self.ready.emit()

    def _page(self, name: str) -> Any:
        """Return a page by name, made where it was not yet asked for."""
        if not self.window.has_page(name):
            module, kind = PAGES[name]
            page: Any = getattr(import_module(f"halfclick_desktop.{module}"), kind)(self.desk)
            self.window.add_page(name, page, page)
            page.changed.connect(self.window.reload)
            page.reload(_everything())
        return self.window.page(name)

    def _first_page(self) -> str:
        from halfclick.service.guide import under_way
        from halfclick.service.kitchens import kit_in_use

        if self.store is None or kit_in_use(self.store) is None:
            return "first_run"
        return "coffees" if under_way(self.store) is None else "resume"

    def _join(self) -> None:
        """Join what pages ask for to the pages that answer."""
        page, show = self._page, self.window.open_page
        page("first_run").finished.connect(self._kit_is_known)
        page("resume").go_on_asked.connect(self._go_on_with_brew)
        page("resume").kept.connect(self._taste)
        page("resume").given_up.connect(partial(show, "coffees"))
        page("coffees").sheet_asked.connect(self._open_sheet)
        page("coffees").new_asked.connect(self._new_coffee)
        page("coffees").edit_asked.connect(self._edit_coffee)
        page("coffees").again_asked.connect(self._buy_again)
        page("coffee_form").saved.connect(self._coffee_saved)
        page("coffee_form").left.connect(self.window.back)
        page("sheet").brew_asked.connect(self._begin_or_plan)
        page("sheet").plan_asked.connect(self._open_plan)
        page("sheet").log_asked.connect(self._open_log)
        page("sheet").taste_asked.connect(self._taste)
        page("sheet").history_asked.connect(self._open_history)
        page("plan").brew_asked.connect(self._begin)
        page("guide").finished.connect(self._taste)
        page("taste").tasted.connect(self._brew_tasted)
        page("log").logged.connect(self._taste)
        page("history").sheet_asked.connect(self._open_sheet)
        page("settings").theme_asked.connect(self.use_theme)
        page("settings").show_theme(self._theme)

    def _kit_is_known(self) -> None:
        self.window.rail.show_usable(True)
        self._new_coffee()

    def _new_coffee(self) -> None:
        self.window.open_page("coffee_form")
        self._page("coffee_form").start_new()

    def _edit_coffee(self, bag_id: "UUID") -> None:
        self.window.open_page("coffee_form")
        self._page("coffee_form").start_edit(bag_id)

    def _buy_again(self, coffee_id: "UUID") -> None:
        self.window.open_page("coffee_form")
        self._page("coffee_form").start_again(coffee_id)

    def _coffee_saved(self, bag_id: "UUID") -> None:
        from halfclick.service.coffees import coffee_of_bag

        if self.store is not None:
            self._open_sheet(coffee_of_bag(self.store, bag_id).id)

    def _open_sheet(self, coffee_id: "UUID") -> None:
        self._plan_stands = False
        self._coffee_id = coffee_id
        self._page("history").show_coffee(coffee_id)
        self._page("sheet").show_coffee(coffee_id)
        self.window.open_page("sheet")

    def _open_history(self, coffee_id: "UUID") -> None:
        self._coffee_id = coffee_id
        self._page("history").show_coffee(coffee_id)
        self.window.open_page("history")

    def _open_plan(self, planned: "Planned") -> None:
        self._plan_stands = True
        self._page("plan").show_planned(planned)
        self.window.open_page("plan")

    def _open_log(self, bag_id: "UUID") -> None:
        self.window.open_page("log")
        self._page("log").show_bag(bag_id)

    def _begin_or_plan(self, planned: "Planned") -> None:
        """Begin a brew; where the grind is not set yet, that is asked for first."""
        if planned.recipe.setting is None:
            self._open_plan(planned)
        else:
            self._begin(planned)

    def _begin(self, planned: "Planned") -> None:
        from halfclick.service.done import Touched
        from halfclick.service.guide import under_way

        if self.store is not None and under_way(self.store) is not None:
            # One kettle, one brew: the one that was not closed comes first.
            self._page("resume").reload(Touched.GUIDE)
            self.window.open_page("resume")
            return
        self._plan_stands = False
        self.window.open_page("guide")
        self._page("guide").start(planned)

    def _go_on_with_brew(self) -> None:
        from halfclick.service.guide import under_way

        begun = under_way(self.store) if self.store is not None else None
        if begun is None:
            self.window.open_page("coffees")
            return
        self.window.open_page("guide")
        self._page("guide").resume(begun)

    def _taste(self, brew_id: "UUID") -> None:
        self.window.open_page("taste")
        self._page("taste").show_brew(brew_id)

    def _brew_tasted(self, brew_id: "UUID") -> None:
        from halfclick.service.cups import coffee_of_brew

        if self.store is not None:
            self._open_sheet(coffee_of_brew(self.store, brew_id).id)

    def _rail_asked(self, name: str) -> None:
        if name == "brew":
            self._brew_asked()
        else:
            self.window.open_page(name)

    def _brew_asked(self) -> None:
        """Go on with the brew under way, else with the plan, else plan the coffee at hand."""
        from halfclick.service.done import Touched
        from halfclick.service.guide import under_way

        if self.store is None or self.desk is None:
            return
        begun = under_way(self.store)
        if begun is not None and begun.under_way.id == self._page("guide").under_way_id():
            self.window.open_page("guide")
        elif begun is not None:
            self._page("resume").reload(Touched.GUIDE)
            self.window.open_page("resume")
        elif self._plan_stands:
            self.window.open_page("plan")
        else:
            self._plan_coffee_at_hand()

    def _plan_coffee_at_hand(self) -> None:
        """Plan the coffee last looked at, else the one last brewed; without any, show the shelf."""
        from halfclick.service.coffees import shelf
        from halfclick.service.plan import next_plan

        if self.store is None or self.desk is None:
            return
        rows = shelf(self.store, self.desk.today())
        at_hand = [row for row in rows if row.coffee.id == self._coffee_id]
        brewed = sorted(
            (row for row in rows if row.last_brewed_at), key=lambda row: str(row.last_brewed_at)
        )
        chosen = at_hand or brewed[-1:] or list(rows)
        if not chosen:
            self.window.open_page("coffees")
            return
        try:
            planned = next_plan(self.store, chosen[0].bag.id, today=self.desk.today())
        except CoreError as error:
            self.window.notice.say(self._words.sentence(error))
            return
        self._open_plan(planned)


def _everything() -> "Touched":
    from halfclick.service.done import Touched

    return ~Touched.NOTHING


def _load_services() -> None:
    """Load what the pages after the first one need; runs off the main thread."""
    for module in ("sheet", "record", "advise", "history", "settings"):
        import_module(f"halfclick.service.{module}")


def _opened(path: Path, clock: Callable[[], datetime] | None) -> "Store":
    """Load what the first page needs and open the journal; runs off the main thread."""
    for module in ("coffees", "guide"):
        import_module(f"halfclick.service.{module}")
    from halfclick.store.opening import open_store
    from halfclick_desktop.desk import utc_now

    return open_store(path, clock=clock or utc_now)
