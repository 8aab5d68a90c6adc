"""A blind trial: what is asked of which brews, who tastes, how blind they are, and its seal."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import isfinite
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.brew import KitUsed
from halfclick.model.trial_kinds import Blinding, Question, TrialKind

MOST_ROUNDS = 200
MOST_TASTERS = 12
FEWEST_RANKED, MOST_RANKED = 3, 5
LONGEST_NAME = 60


# Those that this program serves; the others are only read from paper.
SERVED = (
    TrialKind.NAMED_PAIR,
    TrialKind.GRADED_PAIRS,
    TrialKind.GROUPING,
    TrialKind.TRIANGLE,
    TrialKind.PREFERENCE,
    TrialKind.RANKING,
)
# Cups of one round; a ranking serves one of each brew.
CUPS = {
    TrialKind.NAMED_PAIR: 2,
    TrialKind.GRADED_PAIRS: 2,
    TrialKind.GROUPING: 4,
    TrialKind.TRIANGLE: 3,
    TrialKind.PREFERENCE: 2,
    TrialKind.DUO_TRIO: 3,
    TrialKind.THREE_CHOICE: 3,
    TrialKind.SINGLE_CUPS: 1,
    TrialKind.SAME_DIFFERENT: 2,
}
# Kinds in which two cups of a round hold one brew: those cups are alike whatever a habit does.
SHARED_CUPS = frozenset({TrialKind.GROUPING, TrialKind.TRIANGLE, TrialKind.DUO_TRIO})
# One pair in so many holds the same brew twice, where liking is asked (our own default).
IDENTICAL_ONE_IN = 4


class Habit(StrEnum):
    """What a person does at the kettle and may do on faith."""

    SWIRL = "swirl"
    RINSE = "rinse"
    LONG_BLOOM = "long_bloom"
    STIR_BLOOM = "stir_bloom"
    SLOW_POUR = "slow_pour"
    MORE_POURS = "more_pours"
    HOTTER = "hotter"
    FINER = "finer"
    OTHER_WATER = "other_water"
    OTHER = "other"  # in the person's own words


@dataclass(frozen=True, slots=True, kw_only=True)
class Seal:
    """What a helper's key is checked by: a salted fingerprint from which nothing can be read.

    Which cup is which follows from the key and is nowhere else until it is opened.
    """

    salt: str
    fingerprint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A trial as it was begun, as a fact.

    `names` are what the brews are called; with a habit the first is with it, the second without.
    `rounds_planned` counts answers, all tasters together. `smaller_than_d` is the bound chosen
    before the start, in d', below which a difference is told to be small. `split` says that one
    brew of each was shared out over several rounds. `seal` is None where the answers came from
    paper. `predicted` says that the names stand in the order that was foretold, the best first.
    """

    id: UUID
    begun_at: datetime
    kind: TrialKind
    question: Question
    names: tuple[str, ...]
    tasters: tuple[str, ...]
    rounds_planned: int
    smaller_than_d: float
    blinding: Blinding
    habit: Habit | None = None
    brew_ids: tuple[UUID, ...] = ()
    bag_id: UUID | None = None
    kit: KitUsed | None = None
    split: bool = False
    asks_liking: bool = False
    predicted: bool = False
    seal: Seal | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if not 1 <= self.rounds_planned <= MOST_ROUNDS:
            raise BadInput("trial.bad_rounds", given=self.rounds_planned, most=MOST_ROUNDS)
        if not (isfinite(self.smaller_than_d) and 0.1 <= self.smaller_than_d <= 5.0):
            raise BadInput("trial.bad_bound", given=self.smaller_than_d)
        self._require_names()
        self._require_tasters()

    @property
    def cups(self) -> int:
        """Cups of one round."""
        return CUPS.get(self.kind, len(self.names))

    @property
    def brews_each_round(self) -> bool:
        """Whether each round has brews of its own."""
        return brews_each_round(self.kind, self.habit, len(self.tasters), split=self.split)

    @property
    def shows_as_it_goes(self) -> bool:
        """Whether each pair is opened when it is answered; the other kinds wait for the end."""
        return self.kind is TrialKind.NAMED_PAIR

    def _require_names(self) -> None:
        least, most = (2, 2)
        if self.kind is TrialKind.RANKING:
            least, most = FEWEST_RANKED, MOST_RANKED
        if not least <= len(self.names) <= most:
            raise BadInput("trial.bad_brews", given=len(self.names), least=least, most=most)
        if not all(name.strip() and len(name) <= LONGEST_NAME for name in self.names):
            raise BadInput("trial.bad_name", most=LONGEST_NAME)
        if len({name.casefold() for name in self.names}) != len(self.names):
            raise BadInput("trial.same_name")
        if self.brew_ids and len(self.brew_ids) != len(self.names):
            raise BadInput("trial.bad_brews", given=len(self.brew_ids), least=least, most=most)

    def _require_tasters(self) -> None:
        if not 1 <= len(self.tasters) <= MOST_TASTERS:
            raise BadInput("trial.bad_tasters", given=len(self.tasters), most=MOST_TASTERS)
        if not all(name.strip() and len(name) <= LONGEST_NAME for name in self.tasters):
            raise BadInput("trial.bad_taster", most=LONGEST_NAME)
        if len({name.casefold() for name in self.tasters}) != len(self.tasters):
            raise BadInput("trial.same_taster")


def brews_each_round(kind: TrialKind, habit: Habit | None, tasters: int, *, split: bool) -> bool:
    """Return whether each round has brews of its own, and not each sitting of all tasters.

    A habit is judged by brews: where tasters share them, a brew that turned out odd speaks twice.
    Where cups of a round share one anyway, or no habit is asked about, a sitting shares them.
    """
    return not split and (tasters == 1 or (habit is not None and kind not in SHARED_CUPS))
