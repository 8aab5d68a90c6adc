"""Which acts a brew was made with: an accepted advice leaves its sentence among the reasons."""

from collections.abc import Iterable

from halfclick.model.advice import Act
from halfclick.wording import Message

DONE = "act.do_"


def acts_in(why: Iterable[Message]) -> frozenset[Act]:
    """Return the acts that reasons name; those of a newer release are passed over."""
    named = {one.code.removeprefix(DONE) for one in why if one.code.startswith(DONE)}
    return frozenset(act for act in Act if act.value in named)
