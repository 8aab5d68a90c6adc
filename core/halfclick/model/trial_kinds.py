"""What a blind trial is called, asks and answers: the words that its records are written in."""

from enum import StrEnum


class TrialKind(StrEnum):
    """How cups are set before a taster; the last four are analysed where found on paper."""

    NAMED_PAIR = "named_pair"
    GRADED_PAIRS = "graded_pairs"
    GROUPING = "grouping"
    TRIANGLE = "triangle"
    PREFERENCE = "preference"
    RANKING = "ranking"
    DUO_TRIO = "duo_trio"
    THREE_CHOICE = "three_choice"
    SINGLE_CUPS = "single_cups"
    SAME_DIFFERENT = "same_different"


class Question(StrEnum):
    """What a trial asks."""

    THESE_BREWS = "these_brews"
    THE_HABIT = "the_habit"
    BETTER = "better"


class Sureness(StrEnum):
    """How sure a taster is of an answer, said before anything is revealed."""

    GUESS = "guess"
    LEANING = "leaning"
    SURE = "sure"


class Liked(StrEnum):
    """Which cup of a pair was preferred, by what was in it."""

    WITH = "with"
    NEITHER = "neither"
    WITHOUT = "without"


class Blinding(StrEnum):
    """How well it was hidden which cup was which, from not at all to wholly."""

    OPEN = "open"  # both could see
    ALONE = "alone"  # nobody helped: marks under the cups, eyes shut
    SHUFFLED = "shuffled"  # the taster brewed, a helper only placed the cups
    SERVED = "served"  # a helper brewed and poured, the taster out of the room


class Looked(StrEnum):
    """When answers were looked at: only at the planned end, or whenever anyone liked."""

    AT_THE_END = "at_the_end"
    ANY_TIME = "any_time"


class Finding(StrEnum):
    """What a trial found; that there is no difference is never found."""

    SHOWN = "shown"
    SMALLER = "smaller"
    NOT_SETTLED = "not_settled"
