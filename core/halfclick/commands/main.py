"""Run one command: read what was typed, do it, and print the answer or the sentence."""

from __future__ import annotations

import os
import sys
from importlib import import_module

from halfclick.commands.option_words import OptionWords
from halfclick.commands.parser import parser_of
from halfclick.commands.streams import plain_streams, seen
from halfclick.errors import BadInput, CoreError, StoreError
from halfclick.threads import keep_to_one

# Help loads nothing that it does without: that would take longer than all it does. So what is
# needed for a command is imported where it is, and what is needed for types is not at run time;
# type checkers know the name, and loading `typing` for it would be a tenth of the help.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable
    from datetime import datetime

    from halfclick.commands.answer import Answer
    from halfclick.wording import Wording

FINE = 0
MENDABLE = 1
NOT_DONE = 3
OUR_MISTAKE = 4
INTERRUPTED = 130  # 128 + SIGINT, as shells count it
NOBODY_READS = 141  # 128 + SIGPIPE

# Bounds that no name or note of a person comes near; a file pasted by mistake does (our own).
LONGEST_TEXT = 10_000
PATHS = frozenset({"journal", "file", "mapping", "add", "change"})


def main(argv: list[str] | None = None, *, clock: Callable[[], datetime] | None = None) -> int:
    """Run a command line; return its exit code."""
    plain_streams()
    keep_to_one()
    argv = sys.argv[1:] if argv is None else argv
    try:
        code = _dial() if argv == ["dial"] else _run(argv, clock or _now)
        sys.stdout.flush()
    except BrokenPipeError:
        _read_by_nobody()
        return NOBODY_READS
    except KeyboardInterrupt:
        print(_wording()("commands.interrupted"), file=sys.stderr)
        return INTERRUPTED
    return code


def _dial() -> int:
    from halfclick.commands.dial import serve

    serve(sys.stdin.buffer, sys.stdout.buffer, _wording())
    return FINE


def _wording() -> Wording:
    from halfclick.wording import open_wording

    return open_wording()


def _run(argv: list[str], clock: Callable[[], datetime]) -> int:
    try:
        options = parser_of(OptionWords(), argv).parse_args(argv)
    except SystemExit as left:  # argparse has said what is wrong, or printed the help
        return int(left.code or FINE)
    words = _wording()
    try:
        _require_text(options)
        answer = _answered(options, words, clock)
    except CoreError as error:
        return _refused(error, options, words)
    except Exception as error:  # noqa: BLE001 - the last door: our own mistake, told and traced
        return _our_mistake(error, words)
    if options.json:
        _print_json({"form": 1, "command": options.command, **answer.facts})
    else:
        print("\n".join(seen(line) for line in answer.lines))
    return FINE


def _answered(options: argparse.Namespace, words: Wording, clock: Callable[[], datetime]) -> Answer:
    from halfclick.commands.bench import Bench

    name = "bring_in" if options.command == "import" else options.command
    bench = Bench.of(options, words=words, clock=clock)
    answer: Answer = import_module(f"halfclick.commands.{name}").run(bench, options)
    return answer


def _refused(error: CoreError, options: argparse.Namespace, words: Wording) -> int:
    code = NOT_DONE if isinstance(error, StoreError) else MENDABLE
    sentence = words.sentence(error)
    if options.json:
        told = {"code": error.code, "sentence": sentence, "exit_code": code}
        _print_json({"form": 1, "command": options.command, "error": told})
    print(seen(sentence), file=sys.stderr)
    return code


def _our_mistake(error: Exception, words: Wording) -> int:
    if isinstance(error, BrokenPipeError):
        raise error
    import traceback

    traceback.print_exception(error)
    print(words("commands.our_mistake"), file=sys.stderr)
    return OUR_MISTAKE


def _print_json(facts: dict[str, object]) -> None:
    import json

    print(json.dumps(facts, indent=2, allow_nan=False))


def _require_text(options: argparse.Namespace) -> None:
    """Refuse what is no text: bytes the terminal could not read, a NUL, a whole file."""
    for name, value in vars(options).items():
        for text in value if isinstance(value, list) else [value]:
            if isinstance(text, str) and not _is_text(text, is_path=name in PATHS):
                raise BadInput("commands.not_text", option=name)


def _is_text(text: str, *, is_path: bool) -> bool:
    if "\0" in text or len(text) > LONGEST_TEXT:
        return False
    # A path may hold bytes that are no text: the system takes them back as it gave them.
    return is_path or not any("\ud800" <= sign <= "\udfff" for sign in text)


def _read_by_nobody() -> None:
    """Point the output nowhere, so that Python's last flush does not fail too."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())


def _now() -> datetime:
    from datetime import UTC, datetime

    return datetime.now(UTC)
