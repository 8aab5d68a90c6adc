"""What a trial may claim at most, by how it was done, and what must be said beside the claim."""

from dataclasses import dataclass

from halfclick.model.trial_kinds import Blinding, Question
from halfclick.trials.betting import BAR, bar_for
from halfclick.trials.strength_check import StrengthCheck
from halfclick.wording import Message, number

# An exact test's largest chance of a false alarm, for one habit.
ALPHA = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """How a trial was done, as far as that bounds what its result may say.

    `fresh_brews`: every answer was about brews of its own, none was one brew split into cups.
    `logs_match`: dose, water, clock and temperature of the two sides agree within set limits.
    `habits_tried`: how many habits this person has put to trial, this one included.
    `of_a_habit`: the two brews differ by a habit; without one a result is of these brews alone.
    `shared_cups`: cups of one round hold the same brew, and are alike whatever the habit does.
    `names`: what the brews are called; none where only counts are known.
    """

    question: Question
    blinding: Blinding
    fresh_brews: bool
    logs_match: bool
    habits_tried: int = 1
    tasters: int = 1
    strength: StrengthCheck | None = None
    of_a_habit: bool = True
    shared_cups: bool = False
    names: tuple[str, ...] = ()

    @property
    def about_habit(self) -> bool:
        """Whether a finding may be of the habit: fresh brews, blind, and only the habit differs.

        Where the taster brewed, hands may favour a side, so that the logs must match. Where cups
        of a round share a brew, any two brews are told apart as far as no two turn out alike.
        """
        hidden = self.blinding is Blinding.SERVED or (
            self.blinding is Blinding.SHUFFLED and self.logs_match
        )
        asked = self.question is not Question.THESE_BREWS and self.of_a_habit
        return asked and self.fresh_brews and not self.shared_cups and hidden

    @property
    def bar(self) -> float:
        """Evidence that is called shown, raised for each habit tried."""
        return bar_for(self.habits_tried)

    @property
    def alpha(self) -> float:
        """The largest p that is called shown, lowered for each habit tried."""
        return ALPHA * BAR / self.bar


def cautions(conditions: Conditions) -> tuple[Message, ...]:
    """Return what must be said beside a finding."""
    found: list[Message] = []
    if conditions.question is not Question.THESE_BREWS:
        if conditions.shared_cups and conditions.of_a_habit:
            found.append(Message("verdict.shared_cups"))
        elif not conditions.fresh_brews:
            found.append(Message("verdict.split_brews"))
    found += _of_blinding(conditions)
    check = conditions.strength
    if check is not None and check.noticeable and check.gap_strength is not None:
        code = "verdict.strength_read" if check.read else "verdict.strength_reckoned"
        found.append(Message(code, {"gap_strength": abs(check.gap_strength)}))
    if conditions.habits_tried > 1:
        values = {
            "count": conditions.habits_tried,
            "bar": number(conditions.bar, 0),
            "alpha": number(conditions.alpha, 4),
        }
        found.append(Message("verdict.many_habits", values))
    only = "verdict.one_taster" if conditions.tasters == 1 else "verdict.these_tasters"
    found.append(Message(only))
    return tuple(found)


def _of_blinding(conditions: Conditions) -> list[Message]:
    if conditions.blinding is Blinding.OPEN:
        return [Message("verdict.open")]
    if conditions.blinding is Blinding.ALONE:
        return [Message("verdict.weak_blinding")]
    if conditions.blinding is Blinding.SHUFFLED and not conditions.logs_match:
        return [Message("verdict.logs_apart")]
    return []
