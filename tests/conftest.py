"""What every test may ask for: a fresh journal, a clock that is set by hand, and the words."""

import gc
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Generator, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import ClassVar

# Before any test imports Qt: no test needs a screen unless it is given one.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
import sqlalchemy as sa
from compiled_once import sharing

from halfclick.store.journal import Store
from halfclick.store.opening import open_store
from halfclick.units import Units
from halfclick.wording import Wording, open_wording


@dataclass
class HandClock:
    """A clock that stands still until it is told otherwise."""

    now: datetime = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def advance(self, seconds: float) -> datetime:
        """Move on by so many seconds, and return the time it is then."""
        self.now += timedelta(seconds=seconds)
        return self.now

    def set(self, now: datetime) -> None:
        """Say what time it is."""
        self.now = now


@dataclass(frozen=True)
class SmallDisk:
    """A disk that is full as soon as a test wants it to be."""

    SIZE: ClassVar[int] = 1024 * 1024
    place: Path

    def fill(self, *, but: int) -> None:
        """Leave so many bytes."""
        free = shutil.disk_usage(self.place).free
        (self.place / "filler").write_bytes(b"x" * (free - but))

    def empty(self) -> None:
        """Give back what was filled."""
        (self.place / "filler").unlink()


@pytest.fixture(scope="session")
def hand_clock() -> type[HandClock]:
    """Return what makes a clock, for what is made once for many tests."""
    return HandClock


@pytest.fixture
def clock() -> HandClock:
    return HandClock()


@pytest.fixture(scope="session", autouse=True)
def _statements_compiled_once() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sa, "create_engine", sharing())
        yield


@pytest.fixture(scope="session")
def new_journal(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a journal that nobody has opened yet, through its revisions, once a process.

    A test that only begins with an empty journal copies this one: the revisions take longer than
    most tests do. How a journal is made is tried in `store`.
    """
    # Not at the top: Alembic takes long to load, and who runs one test may do without.
    from halfclick.store.upgrade import create

    path = tmp_path_factory.mktemp("new") / "journal.db"
    create(path)
    return path


@pytest.fixture
def store(tmp_path: Path, clock: HandClock, new_journal: Path) -> Iterator[Store]:
    shutil.copy(new_journal, tmp_path / "journal.db")
    opened = open_store(
        tmp_path / "journal.db", clock=clock, person_name="Ada", device_name="kitchen laptop"
    )
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def english() -> Wording:
    return open_wording()


@pytest.fixture
def words(english: Wording) -> Wording:
    """Return the English wording, in grams and degrees Celsius whatever a test before chose."""
    english.units = Units()
    return english


@pytest.fixture(autouse=True)
def _no_journal_of_the_person(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep tests away from the journal of whoever runs them."""
    monkeypatch.setenv("HALFCLICK_JOURNAL", str(tmp_path / "journal.db"))


@contextmanager
def _nobody() -> Iterator[None]:
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def as_nobody() -> Callable[[], AbstractContextManager[None]]:
    """Be someone whom permissions bind, where the tests are run by root."""
    return _nobody


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[SmallDisk]:
    """Mount a disk of 1 MB, where the machine lets a test do so."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0 or shutil.which("mount") is None:
        pytest.skip("mounting a small disk needs root")
    place = tmp_path / "small"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={SmallDisk.SIZE}", "tmpfs", str(place)]
    if subprocess.run(mount, check=False).returncode:
        pytest.skip("this machine does not let a test mount a small disk")
    try:
        yield SmallDisk(place)
    finally:
        subprocess.run(["umount", "-l", str(place)], check=False)


def pytest_configure(config: pytest.Config) -> None:
    """Let pass what Qt says of having no screen; every other warning of Qt fails its test."""
    for said in ("propagateSizeHints", "raise"):
        config.addinivalue_line("qt_log_ignore", rf"This plugin does not support {said}\(\)")


class _SetAside:
    """What the cyclic collector passes by: all that stays as long as the process.

    It is run around each Qt test, and looking through every module and every test each time took
    longer than the tests. What a test makes is collected as ever.
    """

    modules = 0  # how many there were when things were last set aside

    def all_that_stays(self) -> None:
        """Set aside what is alive now, if modules were loaded since the last time."""
        if len(sys.modules) != self.modules:
            self.modules = len(sys.modules)
            gc.freeze()


_aside = _SetAside()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """Hold the cyclic collector still during a Qt test, and let it run between tests.

    Otherwise it may free a window while that window's events run, which ends the process.
    """
    if "qtbot" not in getattr(item, "fixturenames", ()):
        return (yield)
    gc.collect()
    _aside.all_that_stays()
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()
        gc.collect()
