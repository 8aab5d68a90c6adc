"""`restore`: a copy put in the journal's place, the one that was there kept."""

import argparse
from pathlib import Path

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.service.care import put_back


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Check a copy, keep the present journal as another, and put the copy in its place."""
    words = bench.words
    done = put_back(bench.path, Path(options.file).expanduser(), clock=bench.clock).value
    facts: dict[str, object] = {
        "journal": str(done.path),
        "restored_from": str(done.source),
        "kept": str(done.kept) if done.kept else None,
        "records": done.records,
    }
    lines = [words("commands.restored", path=str(done.path), source=str(done.source))]
    if done.kept:
        lines.append(words("commands.kept", path=str(done.kept)))
    return Answer(facts=facts, lines=tuple(lines))
