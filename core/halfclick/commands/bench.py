"""What every command works with: the words, the clock, and the journal, opened when needed."""

import argparse
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

import msgspec

from halfclick.errors import StoreDamaged, StoreUnwritable
from halfclick.service.settings import units_of
from halfclick.store.journal import Store
from halfclick.store.opening import open_store
from halfclick.store.place import journal_path
from halfclick.units import TemperatureUnit, Units, WeightUnit
from halfclick.wording import Wording

# A journal that cannot be opened to read only as it stands may still be opened to write.
_TO_WRITE = frozenset({"store.older_to_read", "store.read_only", "store.cannot_open"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The things a command works with; `clock` tells the time in UTC.

    A script reads base units: only for a person the words are set to the units they chose,
    or asked for this once.
    """

    path: Path
    words: Wording
    clock: Callable[[], datetime]
    in_weight: str | None = None
    in_temperature: str | None = None
    for_script: bool = False

    @classmethod
    def of(
        cls, options: argparse.Namespace, *, words: Wording, clock: Callable[[], datetime]
    ) -> "Bench":
        """Return the bench that the options name; the demo journal is made where it is asked for.

        Raises:
            StoreError: the demo journal cannot be made.
        """
        if options.demo:
            from halfclick.service.demo import demo_journal

            path = demo_journal(clock=clock)
        else:
            path = journal_path(options.journal)
        return cls(
            path=path,
            words=words,
            clock=clock,
            in_weight=options.in_weight,
            in_temperature=options.in_temperature,
            for_script=options.json,
        )

    @contextmanager
    def reading(self) -> Iterator[Store]:
        """Open the journal to read: beside the program that holds it, and without making one.

        Raises:
            StoreError: there is none, or it cannot be read.
        """
        try:
            store = open_store(self.path, clock=self.clock, read_only=True)
        except StoreUnwritable as error:
            if error.code not in _TO_WRITE:
                raise
            store = open_store(self.path, clock=self.clock)
        with _closed(store):
            self._read_units(store)
            yield store

    @contextmanager
    def writing(self, *, made: bool = False) -> Iterator[Store]:
        """Open the journal to write.

        Args:
            made: whether one is made where there is none.

        Raises:
            StoreError: there is none, or it cannot be written.
        """
        if not made and not self.path.exists():
            raise StoreUnwritable("store.none_to_read", path=str(self.path))
        with _closed(open_store(self.path, clock=self.clock)) as store:
            self._read_units(store)
            yield store

    def _read_units(self, store: Store) -> None:
        """Set the words to the units a person reads."""
        if self.for_script:
            return
        chosen = units_of(store)
        self.words.units = Units(
            weight=WeightUnit(self.in_weight or chosen.weight),
            temperature=TemperatureUnit(self.in_temperature or chosen.temperature),
        )

    def today(self) -> date:
        """Return the day it is where the person is."""
        return self.clock().astimezone().date()


@contextmanager
def _closed(store: Store) -> Iterator[Store]:
    try:
        yield store
    except msgspec.ValidationError as error:
        values = {"kind": "?", "id": "?", "path": str(store.path)}
        raise StoreDamaged("store.unreadable_record", **values) from error
    finally:
        store.close()
