"""A choice this person made about the program, kept in the journal by its key."""

from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Preference:
    """One choice: `kitchen`, `theme` and the like; the newest of a key holds."""

    id: UUID
    key: str
    value: str
