"""What a command answers with: facts for a script, lines for a person."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One JSON object with units in its names, and the same in plain lines."""

    facts: dict[str, object]
    lines: tuple[str, ...]
