"""`import`: a journal brought in from a document, all of it or nothing; or cups from a table."""

import argparse
from pathlib import Path

from halfclick.commands import bring_in_table
from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.bring_in_table import is_table
from halfclick.errors import BadInput
from halfclick.service.import_json import bring_in_journal, look_at_journal
from halfclick.store.exchange.journal_json import read_journal
from halfclick.store.exchange.progress import Progress


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Bring a document in, or only say what it would bring; twice is once."""
    words, file = bench.words, Path(options.file).expanduser().absolute()
    if is_table(file):
        return bring_in_table.run(bench, options, file)
    for name in ("match", "unit", "mapping", "write"):
        if getattr(options, name):
            raise BadInput("commands.table_option", option=f"--{name}")
    if not bench.path.exists() and not options.look:
        # No journal is made for a file that cannot be brought in.
        read_journal(file, progress=Progress())
    with bench.writing(made=not options.look) as store:
        incoming = look_at_journal(store, file, progress=Progress())
        tallies = incoming.tallies
        written = incoming.adds and not options.look
        if written:
            done = bring_in_journal(store, incoming, clock=bench.clock, progress=Progress())
            tallies = done.value
    kinds = {
        one.kind: {"new": one.new, "changed": one.changed, "kept": one.kept, "buried": one.buried}
        for one in tallies
    }
    facts: dict[str, object] = {
        "journal": str(bench.path),
        "file": str(file),
        "written": written,
        "kinds": kinds,
    }
    lines = [
        words("commands.tally", kind=one.kind, new=one.new, changed=one.changed, kept=one.kept)
        for one in tallies
        if one.new or one.changed
    ]
    end = "brought_in" if written else "only_looked" if incoming.adds else "nothing_new"
    return Answer(facts=facts, lines=(*lines, words(f"commands.{end}")))
