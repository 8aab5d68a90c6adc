"""A journal with a kit and two coffees, and what runs a command line on it."""

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from halfclick.commands.main import main
from halfclick.model.tasting import Marks, Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.store.journal import Store
from halfclick.store.opening import open_store


@dataclass(frozen=True)
class Ran:
    """What a command line came to."""

    code: int
    out: str
    err: str

    @property
    def facts(self) -> dict:
        """What it told a script."""
        return json.loads(self.out)


Run = Callable[..., Ran]


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


@pytest.fixture
def run(capsys, clock, monkeypatch, tmp_path: Path) -> Run:
    """Return what runs a command line, with this test's journal and clock."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))

    def ran(*argv: object) -> Ran:
        clock.advance(60)
        capsys.readouterr()
        code = main([str(part) for part in argv], clock=clock)
        said = capsys.readouterr()
        return Ran(code, said.out, said.err)

    return ran


@pytest.fixture
def opened(journal: Path, clock) -> Callable[[], Store]:
    """Return what opens the journal to look at it."""
    return lambda: open_store(journal, clock=clock)


@pytest.fixture(scope="session")
def filled(tmp_path_factory) -> Path:
    """Make a journal with a kit, a coffee with one tasted cup, and a newer one without a cup."""
    path = tmp_path_factory.mktemp("filled") / "journal.db"
    now = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)

    def at(minutes: int) -> Callable[[], datetime]:
        return lambda: now + timedelta(minutes=minutes)

    store = open_store(path, clock=at(0))
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=at(1))
    entry = CoffeeEntry(name="Tarn Hollow", weight_g=250.0)
    bag = add_coffee(store, entry, clock=at(2)).value
    planned = next_plan(store, bag.id, today=now.date())
    brewed = BrewEntry(planned=planned, drained_s=160.0)
    brew = record_brew(store, brewed, kit_in_use(store), clock=at(3)).value
    tasting = TastingEntry(marks=Marks(sour=7.0), verdict=Verdict.CHANGE)
    record_tasting(store, brew.id, tasting, clock=at(8))
    add_coffee(store, CoffeeEntry(name="Ash Gill"), clock=at(12))
    store.close()
    return path


@pytest.fixture
def shelf(filled: Path, journal: Path) -> None:
    """Lay that journal in its place."""
    shutil.copy(filled, journal)
