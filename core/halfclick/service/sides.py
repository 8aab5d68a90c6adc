"""Two voices on a cup: which of them has it, and why.

What the cups propose was chosen among many as the likeliest by one sample of what is believed, so
by that sample it looks likelier than it is. Both recipes are therefore weighed by a second sample,
drawn anew: what was chosen for its luck has none there.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from halfclick.dialling.carry import learn
from halfclick.dialling.decide import Decider
from halfclick.dialling.grids import grids_of, row_of
from halfclick.dialling.request import Request, Settings
from halfclick.dialling.search import steps_apart
from halfclick.model.advice import Advice, Outcome
from halfclick.taste.diagnosis import LAWS
from halfclick.wording import Message

# The rule set's recipe stands unless the cups make another likelier by at least so much, and by
# such a share of its own chance; by more where the rule's is the nearer one. Between two samples a
# chance scatters by about 0.06. Wider margins were tried on 14 virtual coffees and cost nearly a
# brew each (0.03 and a quarter; 0.05 and two fifths), none at all cost a third of a brew less than
# these; too few to choose finer by (our own defaults).
CLEARLY_LIKELIER = (0.015, 0.1)
FARTHER_LIKELIER = (0.03, 0.25)
# From so much on the rule's is the likelier one by the second sample.
CLEARLY_LESS = 0.06
# So much farther than the rule's, in search steps, a change of the cups is the far one.
FARTHER_STEPS = 1.0
# From this chance on of the next cup the search goes on where three changes brought no gain.
GOES_ON_FROM = 0.2
SECOND_SAMPLE = 1_000_003
# Laws of the rule set alone, which a person's own cups may overrule, saying why.
OVERRULED = frozenset({"fruitless", "no_room", "say_more"})


class Side(StrEnum):
    """Whose advice stands."""

    RULES = "rules"
    CUPS = "cups"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """How likely each voice's recipe is liked, by a second sample, and how far each is to go."""

    cups: float
    rules: float
    cups_steps: float
    rules_steps: float

    @property
    def told(self) -> dict[str, object]:
        """The chances as a sentence needs them."""
        return {"cups_share": self.cups, "rules_share": self.rules}

    @property
    def is_clear(self) -> bool:
        """Whether the cups' recipe is likelier by more than a sample's luck."""
        farther = self.cups_steps > self.rules_steps + FARTHER_STEPS
        return self.is_likelier_by(FARTHER_LIKELIER if farther else CLEARLY_LIKELIER)

    def is_likelier_by(self, margin: tuple[float, float]) -> bool:
        """Return whether the cups' recipe is likelier by so much and by such a share."""
        least, share = margin
        return self.cups - self.rules >= max(least, share * self.cups)


def weigh(request: Request, cups: Settings, rules: Settings, base: Settings) -> Weighed:
    """Weigh two recipes by a sample of what is believed that neither was chosen by.

    Args:
        request: what the learner was asked.
        cups: what it proposes.
        rules: what the rule set proposes.
        base: the last cup, from which distances are counted.
    """
    again = replace(request, seed=request.seed + SECOND_SAMPLE)
    rng = np.random.default_rng(again.luck())
    decider = Decider(learn(again, rng), grids_of(again.context), rng)
    rows = np.stack([row_of(one, request.context.dial) for one in (cups, rules, base)])
    wins = decider.wins(rows[:2])[0].mean(axis=0)
    steps = steps_apart(rows[:2], rows[2])
    return Weighed(
        cups=float(wins[0]),
        rules=float(wins[1]),
        cups_steps=float(steps[0]),
        rules_steps=float(steps[1]),
    )


def agree(rules: Advice, cups: Advice) -> bool:
    """Return whether both voices say the same."""
    return (cups.recipe, cups.outcome) == (rules.recipe, rules.outcome)


def is_bound(rules: Advice) -> bool:
    """Return whether a law leaves the cups no say."""
    return rules.rule in LAWS and rules.rule not in OVERRULED


def settled(rules: Advice) -> tuple[Side, Message] | None:
    """Return whose advice stands whatever is likelier, and why; None where that must be weighed."""
    if is_bound(rules):
        return Side.RULES, Message("learner.law_first")
    if rules.outcome is Outcome.NOTHING:
        return Side.CUPS, Message("learner.rules_silent")
    if rules.act is not None or rules.outcome is Outcome.STOP:  # of no lever
        return Side.RULES, Message("learner.beyond")
    return None


def sided(rules: Advice, cups: Advice, found: Weighed) -> tuple[Side, Message]:
    """Return whose advice stands, and why: laws first, then what is clearly likelier."""
    law = settled(rules)
    if law is not None:
        return law
    if agree(rules, cups):
        return Side.RULES, Message("learner.agree", found.told)
    if Outcome.IMMERSION in {cups.outcome, rules.outcome}:
        return _steeped(cups, found)
    if cups.outcome is not Outcome.CHANGE:
        return Side.CUPS, Message("learner.stays", found.told)
    return _likelier(found)


def _steeped(cups: Advice, found: Weighed) -> tuple[Side, Message]:
    """Return whether one long steep comes next, which one voice wants and the other does not."""
    if cups.outcome is Outcome.IMMERSION:
        return Side.CUPS, Message("learner.steeps")
    if found.cups >= GOES_ON_FROM:
        return Side.CUPS, Message("learner.goes_on", found.told)
    return Side.RULES, Message("learner.steep_first", found.told)


def _likelier(found: Weighed) -> tuple[Side, Message]:
    if found.is_clear:
        return Side.CUPS, Message("learner.sides_with_cups", found.told)
    code = "learner.sides_with_rules"
    if found.is_likelier_by(CLEARLY_LIKELIER):
        code = "learner.too_far"
    elif found.rules - found.cups >= CLEARLY_LESS:
        code = "learner.second_look"
    return Side.RULES, Message(code, found.told)
