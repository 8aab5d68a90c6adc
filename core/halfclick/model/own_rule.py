"""A rule that a person added to the rule set, kept as the text they wrote."""

from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRule:
    """One rule of a person's own: its name in the rule set, and its TOML text as written."""

    id: UUID
    name: str
    text: str
