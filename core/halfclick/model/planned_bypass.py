"""The water that a brew was planned to be given afterwards: a reason among its reasons."""

from collections.abc import Iterable

from halfclick.wording import Message

CODE = "scale.why_bypass"


def planned_bypass_g(why: Iterable[Message]) -> float:
    """Return the water that reasons plan to add to the drink, g; 0 where they plan none."""
    found = next((one for one in why if one.code == CODE), None)
    return 0.0 if found is None else float(str(found.values["bypass_g"]))
