"""The door for outsiders: one request as plain values in, one reply as plain values out."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec

from halfclick.dialling.propose import Proposal, propose
from halfclick.dialling.request import LEVERS, MARKS, BadRequest, Request, Settings
from halfclick.wording import Message

Say = Callable[[Message], str]


def answer(request: Mapping[str, Any], say: Say = lambda message: message.code) -> dict[str, Any]:
    """Return the reply to a request.

    Args:
        request: plain values, as JSON gives them; unknown keys are ignored.
        say: what makes a sentence of a code and its values.

    Raises:
        BadRequest: what was asked cannot be answered; its text says what and where.
    """
    try:
        asked = msgspec.convert(_filled(request), Request)
    except msgspec.ValidationError as error:
        raise BadRequest(str(error)) from error
    return {"id": asked.id, **reply_of(propose(asked), say)}


def reply_of(proposal: Proposal, say: Say) -> dict[str, Any]:
    """Return a proposal as plain values, in the door's own names."""
    reply: dict[str, Any] = {
        "action": proposal.action.value,
        "next": _plain(proposal.settings),
        "best": _plain(proposal.best),
        "status": proposal.status.value,
        "confidence": round(proposal.confidence, 4),
        "why": [say(message) for message in proposal.why],
    }
    if proposal.from_cup is not None:
        reply["from"] = proposal.from_cup
    if proposal.expected:
        reply["expected"] = {
            **{name: _rounded(band) for name, band in proposal.expected.items()},
            "marks": {name: _rounded(band) for name, band in proposal.marks.items()},
        }
    return reply


def _filled(request: Mapping[str, Any]) -> dict[str, Any]:
    """Return a request whose cups' settings are whole: a lever not named stood at its start.

    What is null is not known, and left out; so is what nobody here knows the name of.
    """
    filled = {name: value for name, value in request.items() if value is not None}
    for name in ("seed", "changes_at_most"):
        if isinstance(filled.get(name), float) and filled[name].is_integer():
            filled[name] = int(filled[name])
    context = filled.get("context")
    if isinstance(context, Mapping):
        context = filled["context"] = _told(context)
        filled["history"] = _whole(filled.get("history"), context)
        earlier = context.get("earlier")
        if isinstance(earlier, list):
            context = {**context, "earlier": [_filled_earlier(one) for one in earlier]}
        filled["context"] = context
    return filled


def _filled_earlier(coffee: object) -> object:
    if isinstance(coffee, Mapping) and isinstance(coffee.get("context"), Mapping):
        # What an earlier coffee followed is not asked twice.
        context = {**_told(coffee["context"]), "earlier": None}
        return {**coffee, "context": context, "history": _whole(coffee.get("history"), context)}
    return coffee


def _whole(history: object, context: Mapping[str, Any]) -> object:
    start = context.get("start")
    if history is None:
        return []
    if not isinstance(history, list) or not isinstance(start, Mapping):
        return history
    return [_whole_cup(cup, start) if isinstance(cup, Mapping) else cup for cup in history]


def _whole_cup(cup: Mapping[str, Any], start: Mapping[str, Any]) -> Mapping[str, Any]:
    cup = {name: value for name, value in cup.items() if value is not None}
    if isinstance(cup.get("settings"), Mapping):
        cup["settings"] = {**start, **_said(cup["settings"])}
    if isinstance(cup.get("seen"), Mapping):
        seen = cup["seen"] = _said(cup["seen"])
        if isinstance(seen.get("marks"), Mapping):
            seen["marks"] = _said(seen["marks"], MARKS)
    return cup


def _told(context: Mapping[str, Any]) -> dict[str, Any]:
    """Return a context without what is null, and without levers that nobody here knows."""
    told = _said(context)
    for name in ("dial", "start"):
        if isinstance(told.get(name), Mapping):
            told[name] = _said(told[name])
    for name in ("levers", "shown"):
        if isinstance(told.get(name), Mapping):
            told[name] = _said(told[name], LEVERS)
    return told


def _said(values: Mapping[str, Any], known: Sequence[str] | None = None) -> dict[str, Any]:
    return {
        name: value
        for name, value in values.items()
        if value is not None and (known is None or name in known)
    }


def _plain(settings: Settings) -> dict[str, float]:
    return {name: getattr(settings, name) for name in LEVERS}


def _rounded(band: tuple[float, float, float]) -> list[float]:
    return [round(value, 4) for value in band]
