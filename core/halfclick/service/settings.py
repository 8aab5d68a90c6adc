"""Who writes in the journal and on what, and the copies of it that lie beside it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from halfclick.errors import BadInput
from halfclick.model.kit import DrainedRule
from halfclick.model.person import Device, Person
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import change_thing, kit_in_use
from halfclick.store.journal import Store


def who(store: Store) -> tuple[Person, Device]:
    """Return who writes in this journal, and on which device, by their names now."""
    with store.reading() as r:
        return r.get(Person, store.person.id), r.get(Device, store.device.id)


def rename_person(store: Store, name: str, *, clock: Callable[[], datetime]) -> Done[Person]:
    """Give the person another name; what they wrote stays theirs.

    Raises:
        BadInput: the name is empty.
    """
    person = Person(id=store.person.id, name=_named(name))
    with store.writing(clock()) as w:
        w.change(person)
    return Done(person, Touched.SETTINGS)


def say_drained(
    store: Store, rule: DrainedRule, *, clock: Callable[[], datetime]
) -> Done[DrainedRule]:
    """Say what this person means by drained; brews from now on are timed so."""
    kit = kit_in_use(store)
    if kit is None:
        raise ValueError("no kitchen yet")
    change_thing(store, replace(kit.kitchen, drained_rule=rule), clock=clock)
    return Done(rule, Touched.KIT | Touched.SETTINGS)


def copies(store: Store) -> tuple[Path, ...]:
    """Return the copies of the journal that lie in `backups` beside it, newest first."""
    folder = store.path.parent / "backups"
    return tuple(sorted(folder.glob("*.db"), reverse=True)) if folder.is_dir() else ()


def copy_now(store: Store, *, clock: Callable[[], datetime]) -> Path:
    """Copy the journal as it is now, and check the copy.

    Raises:
        StoreError: the copy could not be written, or does not read back.
    """
    # Brings in the migration library, which takes long and is needed only here.
    from halfclick.store.faults import translated
    from halfclick.store.upgrade import backed_up

    with translated(store.path):
        return backed_up(store.path, before="asked", now=clock())


def _named(name: str) -> str:
    if not name.strip():
        raise BadInput("settings.needs_name")
    return name.strip()
