"""Who wrote a row, and on which device."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone who brews, tastes or changes the journal."""

    id: UUID
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A machine that writes to the journal."""

    id: UUID
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """Who wrote a row, where and when (UTC)."""

    person_id: UUID
    device_id: UUID
    written_at: datetime
