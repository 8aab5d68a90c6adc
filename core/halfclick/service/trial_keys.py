"""The helper's keys, each a small file beside the journal and never in it."""

from pathlib import Path
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.trial import Trial
from halfclick.service.trial_seal import checked_key
from halfclick.store.exchange.aside import file_aside
from halfclick.store.journal import Store

FOLDER = "helper-keys"


def key_file(store: Store, trial_id: UUID) -> Path:
    """Return where the key of a trial lies."""
    return store.path.parent / FOLDER / f"{trial_id}.txt"


def keep_key(store: Store, trial_id: UUID, key: str) -> None:
    """Write a key beside the journal.

    Raises:
        StoreUnwritable: the folder cannot be written.
    """
    path = key_file(store, trial_id)
    path.parent.mkdir(parents=True, exist_ok=True)
    with file_aside(path) as stream:
        stream.write(f"{key}\n".encode())


def find_key(store: Store, trial: Trial) -> str | None:
    """Return the key of a trial; None where its file is gone or holds another."""
    try:
        return checked_key(trial, key_file(store, trial.id).read_text("utf-8", "replace"))
    except (OSError, BadInput):
        return None


def drop_key(store: Store, trial_id: UUID) -> None:
    """Take a key away that is not needed any more: everything of its trial was opened."""
    key_file(store, trial_id).unlink(missing_ok=True)
