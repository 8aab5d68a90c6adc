"""A person's own choices in the journal: the newest of a key holds, each person's their own."""

from collections.abc import Callable
from datetime import datetime
from uuid import uuid4

from halfclick.model.preference import Preference
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Store


def choice(store: Store, key: str) -> str | None:
    """Return what this person chose last; None where they never did."""
    with store.reading() as r:
        mine = [
            one
            for one in r.all(Preference, key=key)
            if r.stamp(Preference, one.id).person_id == store.person.id
        ]
    return mine[-1].value if mine else None


def choose(
    store: Store, key: str, value: str, *, clock: Callable[[], datetime]
) -> Done[Preference]:
    """Keep a choice of this person.

    Raises:
        StoreError: the journal cannot be written.
    """
    made = Preference(id=uuid4(), key=key, value=value)
    with store.writing(clock()) as w:
        w.add(made)
    return Done(made, Touched.SETTINGS)
