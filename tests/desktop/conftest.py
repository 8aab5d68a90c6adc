"""What desktop tests may ask for: the colours set, and a desk with a fresh journal."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication

from halfclick.store.journal import Store
from halfclick.wording import Wording
from halfclick_desktop import look
from halfclick_desktop.desk import Desk
from halfclick_desktop.work import Jobs


@pytest.fixture(autouse=True)
def _colours(qapp: QApplication) -> None:
    look.apply(qapp, look.Theme.LIGHT)


@pytest.fixture
def jobs(qapp: QApplication) -> Iterator[Jobs]:
    runner = Jobs()
    yield runner
    runner.stop()


@pytest.fixture
def desk(store: Store, clock, words: Wording, jobs: Jobs) -> Desk:
    return Desk(store=store, clock=clock, words=words, jobs=jobs)
