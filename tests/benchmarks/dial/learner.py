"""The learner as a peer: by its function in this process, or through the door as a program."""

import importlib
import json
import subprocess
import sys
from collections.abc import Callable, Mapping
from typing import Any

from dial.peers import Answer, Request

DOOR = "halfclick.dialling.door"


class LearnerMissing(RuntimeError):
    """There is no learner to ask yet."""


class Learner:
    """The learner by its function: takes the request, returns the reply."""

    name = "learner"
    one_change = True

    def __init__(self) -> None:
        self._door: Callable[[Request], Mapping[str, Any]] = _found()

    def answer(self, request: Request) -> Answer:
        """Ask the function."""
        return as_answer(self._door(request))


class Door:
    """The learner as `python -m halfclick dial`: one line of JSON there, one back."""

    name = "door"
    one_change = True

    def __init__(self) -> None:
        self._program = subprocess.Popen(
            [sys.executable, "-m", "halfclick", "dial"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
        )

    def answer(self, request: Request) -> Answer:
        """Ask the program."""
        assert self._program.stdin is not None
        assert self._program.stdout is not None
        self._program.stdin.write(json.dumps(request) + "\n")
        self._program.stdin.flush()
        line = self._program.stdout.readline()
        if not line:
            raise LearnerMissing("`python -m halfclick dial` ended without an answer")
        return as_answer(json.loads(line))

    def __del__(self) -> None:
        if hasattr(self, "_program") and self._program.stdin is not None:
            self._program.stdin.close()
            self._program.wait(timeout=10)


def as_answer(reply: Mapping[str, Any]) -> Answer:
    """Return the door's reply as an answer.

    Raises:
        RuntimeError: the reply is an error.
    """
    if "error" in reply:
        raise RuntimeError(f"the door refused {reply.get('id')}: {reply['error']}")
    return Answer(
        next=dict(reply["next"]),
        best=dict(reply["best"]),
        status=reply.get("status", "searching"),
        confidence=reply.get("confidence"),
        bands=reply.get("expected"),
        start_of=reply.get("from"),
    )


def _found() -> Callable[[Request], Mapping[str, Any]]:
    try:
        module = importlib.import_module(DOOR)
    except ModuleNotFoundError as missing:
        if missing.name is None or not DOOR.startswith(missing.name):
            raise
        raise LearnerMissing(
            f"no learner yet: {DOOR} is not there; run without the peer 'learner'"
        ) from missing
    door: Callable[[Request], Mapping[str, Any]] = module.answer
    return door
