"""`check`: the journal checked whole, and every record of it read."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.service.care import check_whole


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Check the journal; nothing is written."""
    del options
    found = check_whole(bench.path)
    facts: dict[str, object] = {
        "journal": str(found.path),
        "sound": True,
        "revision": found.revision,
        "records": found.records,
    }
    count = sum(found.records.values())
    code = "commands.sound" if found.records else "commands.sound_older"
    return Answer(facts=facts, lines=(bench.words(code, path=str(found.path), count=count),))
