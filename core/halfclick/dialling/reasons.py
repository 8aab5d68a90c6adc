"""Why a next brew is proposed: what moved the belief, what is expected, what would change it."""

from halfclick.dialling.decide import Decision
from halfclick.dialling.request import Request
from halfclick.dialling.stopping import Status
from halfclick.wording import Message


def reasons_of(
    request: Request, decision: Decision, status: Status, row: object, base: int | None
) -> tuple[Message, ...]:
    """Return codes and values of the sentences that say why."""
    return (Message(f"dial.{status.name.lower()}", {"share": decision.confidence}),)
