"""`import` of a table: looked at first; its cups are written only where that is said."""

import argparse
from pathlib import Path

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts
from halfclick.commands.mapping import matching_meant
from halfclick.commands.typed import shortened
from halfclick.errors import BadInput
from halfclick.service.import_table import Gathered, bring_in_table, gather, source_of
from halfclick.service.table_fields import UNITS, Column, Matching
from halfclick.store.exchange.progress import Progress
from halfclick.store.exchange.table_in import Table, look_at_table
from halfclick.wording import Wording

_SUFFIXES = frozenset({".csv", ".tsv", ".txt"})
# A person reads so many reasons; a script gets every one that is kept.
_LISTED = 20


def is_table(file: Path) -> bool:
    """Return whether a file is taken for a table, by how its name ends."""
    return file.suffix.casefold() in _SUFFIXES


def run(bench: Bench, options: argparse.Namespace, file: Path) -> Answer:
    """Say what a table comes to, and write its cups where that is asked for."""
    if options.look and options.write:
        raise BadInput("commands.look_and_write")
    table = look_at_table(file)
    matching = matching_meant(table, options)
    if options.write:
        with bench.writing() as store:
            found = gather(store, table, matching, clock=bench.clock, progress=Progress())
            if found.new:
                source = source_of(file)
                bring_in_table(store, found, source=source, clock=bench.clock, progress=Progress())
        return _answer(bench, table, matching, found, None, written=found.new > 0)
    with bench.reading() as store:
        try:
            looked = gather(store, table, matching, clock=bench.clock, progress=Progress())
        except BadInput as error:
            # What was matched is what a person needs to see to mend it.
            return _answer(bench, table, matching, None, error, written=False)
    return _answer(bench, table, matching, looked, None, written=False)


def _answer(
    bench: Bench,
    table: Table,
    matching: Matching,
    found: Gathered | None,
    problem: BadInput | None,
    *,
    written: bool,
) -> Answer:
    words = bench.words
    bad = found.bad if found else ()
    facts: Facts = {
        "journal": str(bench.path),
        "file": str(table.path),
        "header": list(table.header),
        "matched": [_matched(table, matching, one) for one in matching.columns],
        "decimal_comma": matching.decimal_comma,
        "new": found.new if found else None,
        "known": found.known if found else None,
        "bad_count": found.bad_count if found else None,
        "bad_rows": [{"row": one.line, "why": words.sentence(one.why)} for one in bad],
        "new_coffees": list(found.new_coffees) if found else None,
        "unread_settings": found.unread_settings if found else None,
        "problem": words.sentence(problem) if problem else None,
        "written": written,
    }
    lines = _matched_lines(words, table, matching)
    if problem is not None:
        lines.append(words.sentence(problem))
    if found is not None:
        lines += _found_lines(words, found)
    return Answer(facts=facts, lines=(*lines, words(f"commands.{_end(found, written=written)}")))


def _end(found: Gathered | None, *, written: bool) -> str:
    if found is None:
        return "only_looked"
    if not found.new:
        return "nothing_new"
    return "table_written" if written else "table_write"


def _matched(table: Table, matching: Matching, column: Column) -> Facts:
    place = matching.columns[column]
    unit = matching.unit(column) if column in UNITS else None
    return {"field": column, "column": place + 1, "header": table.header[place], "unit": unit}


def _matched_lines(words: Wording, table: Table, matching: Matching) -> list[str]:
    lines = []
    for column, place in matching.columns.items():
        header = shortened(table.header[place])
        if column in UNITS:
            unit = matching.unit(column).value
            lines.append(words("commands.matched_in", field=column.value, header=header, unit=unit))
        else:
            lines.append(words("commands.matched", field=column.value, header=header))
    taken = set(matching.columns.values())
    left = [shortened(one) for n, one in enumerate(table.header) if n not in taken]
    return [*lines, words("commands.unmatched", names=left)] if left else lines


def _found_lines(words: Wording, found: Gathered) -> list[str]:
    lines = [words("commands.bad_row", line=one.line, why=one.why) for one in found.bad[:_LISTED]]
    if found.bad_count > len(lines):
        lines.append(words("commands.more_bad", number=found.bad_count - len(lines)))
    counts = {
        "new": found.new,
        "known": found.known,
        "bad": found.bad_count,
        "coffees": len(found.new_coffees),
        "unread": found.unread_settings,
    }
    return [*lines, words("commands.table_counts", **counts)]
