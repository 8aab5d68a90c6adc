"""Forecasts of plans, made off the main thread: the last one asked for, and no other, is made."""

from collections import OrderedDict
from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QObject, QTimer, Signal

from halfclick.errors import CoreError
from halfclick.model.recipe import Recipe
from halfclick.service.done import Touched
from halfclick.store.journal import Store
from halfclick_desktop.work import Jobs

if TYPE_CHECKING:
    from halfclick.service.forecast import Expected
    from halfclick.service.foresee import Foreseen
    from halfclick.service.learned import Learned
    from halfclick.service.moved import Middle

# So long a plan must rest before its forecast is begun: what was typed is painted first, and a
# person who goes on typing is not kept company by work on what they typed before.
REST_MS = 60
KEPT = 24
# What a forecast rests on.
RESTS_ON = Touched.BREWS | Touched.KIT

Key = tuple[Recipe, UUID]


class Forecasts(QObject):
    """Makes forecasts and keeps the last few, until the brews or the kit are touched.

    Args:
        store: the journal.
        jobs: the background runner.
    """

    ready = Signal()  # the forecast last asked for is there
    failed = Signal(object)  # the CoreError for which it is not

    def __init__(self, store: Store, jobs: Jobs) -> None:
        super().__init__()
        self._store = store
        self._jobs = jobs
        self._kept: OrderedDict[Key, Expected] = OrderedDict()
        self._learned: Learned | None = None
        self._middle: tuple[UUID, Middle] | None = None  # of the forecast last made, and its bag
        self._wanted: Key | None = None
        self._begun: Key | None = None  # the one that is being made
        self._is_outdated = False  # whether what it rests on was touched since
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._begin)

    def find(self, recipe: Recipe, bag_id: UUID) -> "Expected | None":
        """Return the forecast of a plan; None where it was not made."""
        return self._kept.get((recipe, bag_id))

    def ask(self, recipe: Recipe, bag_id: UUID) -> "Expected | None":
        """Return the forecast of a plan; where it was not made, `ready` tells when it is."""
        found = self.find(recipe, bag_id)
        self._wanted = None if found is not None else (recipe, bag_id)
        if self._wanted is not None:
            self._rest.start()
        return found

    def near(self, recipe: Recipe, bag_id: UUID) -> "Expected | None":
        """Return a forecast moved from the last one of the same bag, in a few milliseconds.

        None where there is none to move.
        """
        if self._middle is None or self._middle[0] != bag_id:
            return None
        from halfclick.service.moved import moved_to  # loaded by the job that made the first

        return moved_to(recipe, self._middle[1])

    def learned(self) -> "Learned | None":
        """Return what the brews have taught, where it is known already."""
        return self._learned

    def reload(self, touched: Touched) -> None:
        """Forget what rests on what was touched."""
        if touched & RESTS_ON:
            self._is_outdated = True
            self._kept.clear()
            self._learned = self._middle = None
            if self._wanted is not None:
                self._rest.start()

    def _begin(self) -> None:
        if self._wanted is None or self._begun is not None:
            return  # one at a time; the newest is begun when that one ends
        self._begun, self._is_outdated = self._wanted, False
        job = self._jobs.reckon(partial(_foreseen, self._store, *self._begun, self._learned))
        job.done.connect(self._made)
        job.failed.connect(self._could_not)

    def _made(self, made: "tuple[Foreseen, Middle]") -> None:
        foreseen, middle = made
        key, self._begun = self._begun, None
        if key is not None and not self._is_outdated:
            self._middle = key[1], middle
            self._learned = foreseen.learned
            self._kept[key] = foreseen.expected
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        if self._wanted is not None and self._wanted in self._kept:
            self._wanted = None
            self.ready.emit()
        else:
            self._begin()

    def _could_not(self, error: CoreError) -> None:
        self._begun = self._wanted = None
        self.failed.emit(error)


def _foreseen(
    store: Store, recipe: Recipe, bag_id: UUID, learned: "Learned | None"
) -> "tuple[Foreseen, Middle]":
    from halfclick.service.moved import foresee_movable  # numpy with it; in the job, not before

    return foresee_movable(store, recipe, bag_id, learned=learned)
