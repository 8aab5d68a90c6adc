"""A photo that belongs to a brew; the picture itself is a file in a folder beside the journal."""

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID


class PhotoOf(StrEnum):
    """What a photo shows."""

    BED = "bed"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """One photo; `file` is its name in the journal's folder of photos, never a path."""

    id: UUID
    brew_id: UUID
    file: str
    of_what: PhotoOf = PhotoOf.BED
    note: str = ""

    def __post_init__(self) -> None:
        if not self.file or set(self.file) & set("/\\:\0") or self.file.startswith("."):
            raise ValueError(f"not the name of a file: {self.file!r}")
