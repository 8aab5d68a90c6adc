"""An advice: the one change, its reasons, its evidence, and what would change its mind."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from halfclick.model.recipe import Change, Recipe
from halfclick.wording import Message

# The name that advice by a person's own cups goes under, where a rule has its own.
LEARNER = "learner"


class Evidence(StrEnum):
    """What stands behind a number or an advice, best first."""

    MEASURED_HERE = "measured_here"
    PEER_REVIEWED = "peer_reviewed"
    STANDARD = "standard"
    CONSENSUS = "consensus"
    CONTESTED = "contested"
    FOLKLORE = "folklore"


class Outcome(StrEnum):
    """What to do with the next cup."""

    CHANGE = "change"
    REPEAT = "repeat"  # the cup was not the plan: brew the plan again
    HOLD = "hold"  # tastes good: keep it
    CONFIRM = "confirm"  # one good cup: brew it once more
    IMMERSION = "immersion"  # one long steep: is it the recipe at all?
    NOTHING = "nothing"  # too little was said to advise
    ACT = "act"  # the recipe again, with one thing done that no lever does
    STOP = "stop"  # it is not the recipe: stop dialling in


class Act(StrEnum):
    """One thing to do that moves no lever; it is the one change of its brew."""

    WAIT_COOL = "wait_cool"
    CHECK_AGE = "check_age"
    LET_REST = "let_rest"
    FRESH_BAG = "fresh_bag"
    RINSE_PAPER = "rinse_paper"
    WHITE_PAPER = "white_paper"
    OTHER_PAPER = "other_paper"
    FREE_PAPER = "free_paper"
    SWAP_WATER = "swap_water"
    UNSOFTENED_WATER = "unsoftened_water"
    CLEAN_GRINDER = "clean_grinder"
    CHECK_DOSE = "check_dose"
    LONGER_BLOOM = "longer_bloom"
    WIDER_CIRCLES = "wider_circles"
    GENTLE_SWIRL = "gentle_swirl"
    LEVEL_DRIPPER = "level_dripper"
    CENTRE_FINISH = "centre_finish"


class Noticed(StrEnum):
    """Whether the change is likely to be tasted."""

    LIKELY = "likely"
    UNLIKELY = "unlikely"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class RunnerUp:
    """The change that came second, and what it rests on."""

    rule: str
    changes: tuple[Change, ...]
    recipe: Recipe
    evidence: Evidence
    act: Act | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to do next after a cup, with everything a person needs to believe or refuse it.

    `title` is the rule in plain words; `own_rule` says that the person wrote it.
    """

    outcome: Outcome
    rule: str
    recipe: Recipe
    evidence: Evidence
    changes: tuple[Change, ...] = ()
    why: tuple[Message, ...] = ()
    spoke_for: tuple[Message, ...] = ()
    spoke_against: tuple[Message, ...] = ()
    contested: Message | None = None
    sources: tuple[str, ...] = ()
    expect: tuple[Message, ...] = ()
    noticed: Noticed = Noticed.UNKNOWN
    mind_changer: Message | None = None
    this_cup: tuple[Message, ...] = ()
    runner_up: RunnerUp | None = None
    act: Act | None = None
    title: Message | None = None
    own_rule: bool = False


class Answer(StrEnum):
    """What the person said to an advice."""

    ACCEPTED = "accepted"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """An advice as the person answered it: a fact, with the reason where they gave one."""

    id: UUID
    brew_id: UUID
    answered_at: datetime
    answer: Answer
    outcome: Outcome
    rule: str
    changes: tuple[Change, ...]
    recipe: Recipe
    evidence: Evidence
    why: tuple[Message, ...] = ()
    answer_reason: str = ""
