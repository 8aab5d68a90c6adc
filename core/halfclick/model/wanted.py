"""Which brews a person looks for, over all coffees."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.tasting import Mark, Verdict

# More words than anyone types to find a cup; each costs the journal a reading of its texts.
MOST_WORDS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a brew must have; what is left out asks for nothing.

    `words` must all stand in the coffee's name or note, the roaster, the brew's note or the words
    of its taste. `mark` must be clearly there. `from_at` and `before_at` bound when it began.
    """

    words: str = ""
    verdict: Verdict | None = None
    liking_from: float | None = None
    mark: Mark | None = None
    setting: str = ""
    dripper_id: UUID | None = None
    from_at: datetime | None = None
    before_at: datetime | None = None
    slipped: bool = False
    corrected: bool = False

    def __post_init__(self) -> None:
        if self.liking_from is not None and not 1.0 <= self.liking_from <= 9.0:
            raise BadInput("search.bad_liking", given=self.liking_from)
        if self.from_at and self.before_at and self.before_at <= self.from_at:
            raise BadInput("search.dates_crossed")
        if len(self.each_word) > MOST_WORDS:
            raise BadInput("search.too_many_words", most=MOST_WORDS)

    @property
    def each_word(self) -> tuple[str, ...]:
        """The words one by one."""
        return tuple(self.words.split())
