"""One trial as a JSON document: as begun, what was opened, and what was found; no secrets."""

from datetime import datetime
from math import isfinite
from pathlib import Path
from typing import Any

import msgspec

from halfclick.service.trial_verdict import Told
from halfclick.service.trial_views import RoundView, TrialView
from halfclick.store.exchange.aside import file_aside
from halfclick.trials.verdict import Verdict

FORMAT = "halfclick-trial"
VERSION = 1


def write_trial(view: TrialView, told: Told, path: Path, *, now: datetime) -> None:
    """Write a trial to a file, aside and then in place.

    Raises:
        StoreUnwritable: the file cannot be written; what was there stays.
    """
    with file_aside(path) as stream:
        stream.write(msgspec.json.format(document(view, told, now=now), indent=1) + b"\n")


def document(view: TrialView, told: Told, *, now: datetime) -> bytes:
    """Return a trial as JSON; of rounds not yet opened it tells no more than the journal does."""
    whole = {
        "format": FORMAT,
        "version": VERSION,
        "exported_at": now,
        "trial": view.trial,
        "rounds": [_round(one) for one in view.rounds],
        "verdict": _verdict(told.main),
        "liking": _verdict(told.liking) if told.liking else None,
        "finding": view.finding,
    }
    return msgspec.json.encode(whole, enc_hook=dict)


def _round(one: RoundView) -> dict[str, Any]:
    return {
        "round": one.round,
        "serving": one.serving,
        "answer": one.answer,
        "void": one.void,
        "opening": one.opening,
    }


def _verdict(told: Verdict) -> dict[str, Any]:
    fields = msgspec.to_builtins(told, enc_hook=dict)
    found: dict[str, Any] = _finite(fields)
    return found


def _finite(value: Any) -> Any:
    """Return a value in which what is infinite is None: JSON knows no such number."""
    if isinstance(value, dict):
        return {name: _finite(nested) for name, nested in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(nested) for nested in value]
    return None if isinstance(value, float) and not isfinite(value) else value
