"""What desktop tests may ask for: the colours set, and a desk with a fresh journal."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from at_the_kettle import AtTheKettle
from brews_under_way import recipe
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from halfclick.model.brew import Mode
from halfclick.model.kit import ScaleCarries
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.service.plan import Planned
from halfclick.store.journal import Store
from halfclick.wording import Wording
from halfclick_desktop import look
from halfclick_desktop.app import Program
from halfclick_desktop.desk import Desk
from halfclick_desktop.local import Local
from halfclick_desktop.look import Theme
from halfclick_desktop.work import Jobs


@pytest.fixture(autouse=True)
def _colours(qapp: QApplication) -> Iterator[None]:
    """Begin in light colours, and leave no window behind: each would be styled again and again."""
    if qapp.styleSheet() != look.sheet_of(look.LIGHT):
        look.apply(qapp, look.Theme.LIGHT)
    yield
    for widget in qapp.topLevelWidgets():
        widget.deleteLater()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


@pytest.fixture(autouse=True)
def _no_forecasts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no forecast be begun: each takes a second, and only tests of them wait for one."""
    monkeypatch.setattr("halfclick_desktop.forecasts.REST_MS", 10_000_000)


@pytest.fixture(autouse=True)
def _no_voices(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ask no person's cups: that takes a second, and only tests of it wait for an answer."""
    monkeypatch.setattr("halfclick_desktop.cups_voice.REST_MS", 10_000_000)


@pytest.fixture
def jobs(qapp: QApplication) -> Iterator[Jobs]:
    runner = Jobs()
    yield runner
    runner.stop()


@pytest.fixture
def desk(store: Store, clock, words: Wording, jobs: Jobs) -> Desk:
    return Desk(store=store, clock=clock, words=words, jobs=jobs)


Start = Callable[..., Program]


@pytest.fixture
def journal(tmp_path: Path, new_journal: Path) -> Path:
    """Lay a journal that nobody has opened yet; how the program makes one is tried in test_app."""
    return Path(shutil.copy(new_journal, tmp_path / "journal.db"))


@pytest.fixture
def start(
    qtbot, qapp: QApplication, words, clock, tmp_path: Path, journal: Path
) -> Iterator[Start]:
    """Start the program on a journal, as main() does, and wait until its pages are there."""
    begun: list[Program] = []

    def started(
        *, ready: bool = True, theme: Theme | None = Theme.LIGHT, at: Path | None = None
    ) -> Program:
        program = Program(
            qapp,
            words=words,
            local=Local(tmp_path),
            journal=at or journal,
            theme=theme,
            clock=clock,
        )
        qtbot.addWidget(program.window)
        begun.append(program)
        if ready:
            with qtbot.waitSignal(program.ready, timeout=20_000):
                program.start()
        else:
            program.start()
        return program

    yield started
    for program in begun:
        program.window.close()


@pytest.fixture
def begun(qtbot, desk, store, clock):
    """Return a function that begins a brew of 15 g and 240 g and shows it at the kettle."""

    def made(carries=ScaleCarries.DRIPPER_AND_SERVER, **given) -> AtTheKettle:
        set_up_kitchen(store, KitchenEntry(scale_carries=carries), clock=clock)
        bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
        person = AtTheKettle(qtbot, desk, clock)
        known = {"bag_id": bag.id, "recipe": recipe(), "mode": Mode.EXPERIMENT, **given}
        person.page.start(Planned(**known))
        return person

    return made
