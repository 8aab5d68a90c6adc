"""A read journal into an open one: facts gather, of what changed the later holds."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from halfclick.errors import BadInput
from halfclick.model.under_way import GuideEvent
from halfclick.store.exchange.journal_json import Lines
from halfclick.store.exchange.lines import KINDS, Line, Stamps, burial_of, row_of, stamps_by_id
from halfclick.store.exchange.names import names_in, own_kind
from halfclick.store.exchange.progress import Progress
from halfclick.store.rows import FACTS, TABLES
from halfclick.wording import Message

# Records written between two looks at whether to stop.
PORTION = 200

_NAMES = {kind: name for name, kind in KINDS.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What reading a journal in does to the records of one kind."""

    kind: str
    new: int = 0
    changed: int = 0  # the file's is later than the journal's
    kept: int = 0  # the journal has it already, as late or later
    buried: int = 0  # of the new and changed ones: deleted


@dataclass(slots=True)
class _Step:
    """The lines of one kind, by what is to be done with them."""

    kind: type[Any]
    new: list[Line[Any]] = field(default_factory=list)
    changed: list[Line[Any]] = field(default_factory=list)
    kept: int = 0

    def tally(self) -> Tally:
        """Count them."""
        return Tally(
            kind=_NAMES[self.kind],
            new=len(self.new),
            changed=len(self.changed),
            kept=self.kept,
            buried=sum(line.stamps.buried_at is not None for line in [*self.new, *self.changed]),
        )


def compared(connection: sa.Connection, lines: Lines, *, progress: Progress) -> tuple[Tally, ...]:
    """Return what reading lines in would do, and check that they can be; nothing is written.

    Raises:
        BadInput: an identity stands twice, or a record names one that is nowhere.
        Stopped: the person asked to stop.
    """
    return tuple(step.tally() for step in _steps(connection, lines, progress))


def merge(connection: sa.Connection, lines: Lines, *, progress: Progress) -> tuple[Tally, ...]:
    """Write what is new or later; twice is once.

    Raises:
        BadInput: an identity stands twice, or a record names one that is nowhere.
        Stopped: the person asked to stop.
    """
    steps = _steps(connection, lines, progress)
    total = sum(len(step.new) + len(step.changed) for step in steps) or 1
    done = 0
    for step in steps:
        for some in _portions(step.new):
            write_new(connection, step.kind, some)
            done += len(some)
            progress.step(done / total)
        for line in step.changed:
            _write_changed(connection, step.kind, line)
            done += 1
            progress.step(done / total)
    return tuple(step.tally() for step in steps)


def _steps(connection: sa.Connection, lines: Lines, progress: Progress) -> list[_Step]:
    here = {}
    for kind in KINDS.values():
        progress.step(progress.share)  # no further, but it may be stopped here too
        here[kind] = stamps_by_id(connection, kind)
    _require_once(lines, progress)
    _require_named(lines, {kind: frozenset(known) for kind, known in here.items()}, progress)
    numbers = _event_numbers(connection)
    steps: list[_Step] = []
    for name, kind in KINDS.items():
        step = _Step(kind)
        for line in _in_order(lines.get(name, []), name):
            progress.step(progress.share)
            _sort_in(step, line, here[kind].get(line.record.id), numbers)
        steps.append(step)
    return steps


def _sort_in(
    step: _Step,
    line: Line[Any],
    known: Stamps | None,
    numbers: Mapping[tuple[UUID, int], UUID],
) -> None:
    record = line.record
    if known is not None and line.stamps.last_touched_at > known.last_touched_at:
        step.changed.append(line)
    elif known is not None:
        step.kept += 1
    elif isinstance(record, GuideEvent) and (record.under_way_id, record.number) in numbers:
        # The same brew went on in two journals: this one's own events stand.
        step.kept += 1
    else:
        step.new.append(line)


def _event_numbers(connection: sa.Connection) -> dict[tuple[UUID, int], UUID]:
    c = TABLES[GuideEvent].c
    query = sa.select(c.under_way_id, c.number, c.id)
    return {(row.under_way_id, row.number): row.id for row in connection.execute(query)}


def _require_once(lines: Lines, progress: Progress) -> None:
    for name, found in lines.items():
        seen: set[object] = set()
        for place, line in enumerate(found, start=1):
            progress.step(progress.share)
            marks: list[object] = [line.record.id]
            if isinstance(line.record, GuideEvent):
                marks.append((line.record.under_way_id, line.record.number))
            for mark in marks:
                if mark in seen:
                    raise BadInput("journal_file.twice", kind=_said(name), place=str(place))
                seen.add(mark)


def _require_named(
    lines: Lines, here: Mapping[type[Any], frozenset[UUID]], progress: Progress
) -> None:
    coming = {
        kind: frozenset(line.record.id for line in lines.get(name, []))
        for name, kind in KINDS.items()
    }
    for name, found in lines.items():
        for place, line in enumerate(found, start=1):
            progress.step(progress.share)
            for kind, wanted in names_in(line.record):
                if wanted not in coming[kind] and wanted not in here[kind]:
                    raise BadInput(
                        "journal_file.missing",
                        kind=_said(name),
                        place=str(place),
                        wanted=_said(_NAMES[kind]),
                    )


def _in_order(lines: list[Line[Any]], name: str) -> list[Line[Any]]:
    """Return lines so that what is named stands before what names it.

    Raises:
        BadInput: they name one another in a ring.
    """
    waiting = {line.record.id: line for line in lines}
    ordered: list[Line[Any]] = []
    for start in lines:
        trail: list[Line[Any]] = [start] if start.record.id in waiting else []
        while trail:
            line = trail[-1]
            before = [waiting[one] for one in own_kind(line.record) if one in waiting]
            if line.record.id not in waiting:
                trail.pop()
            elif not before:
                ordered.append(waiting.pop(line.record.id))
                trail.pop()
            elif len(trail) > len(lines):
                raise BadInput("journal_file.ring", kind=_said(name))
            else:
                trail.append(before[0])
    return ordered


def write_new(connection: sa.Connection, kind: type[Any], lines: Sequence[Line[Any]]) -> None:
    """Write lines that the journal does not have yet, in their order, as one statement."""
    if not lines:
        return
    table = TABLES[kind]
    last = connection.execute(sa.select(sa.func.coalesce(sa.func.max(table.c.seq), 0))).scalar_one()
    rows = [{**row_of(line), "seq": last + number} for number, line in enumerate(lines, start=1)]
    connection.execute(table.insert(), rows)


def _write_changed(connection: sa.Connection, kind: type[Any], line: Line[Any]) -> None:
    table = TABLES[kind]
    values = burial_of(line) if kind in FACTS else row_of(line)
    connection.execute(table.update().where(table.c.id == line.record.id).values(**values))


def _portions(lines: Sequence[Line[Any]]) -> Iterator[Sequence[Line[Any]]]:
    for start in range(0, len(lines), PORTION):
        yield lines[start : start + PORTION]


def _said(name: str) -> Message:
    return Message(f"exchange.kind_{name}")
