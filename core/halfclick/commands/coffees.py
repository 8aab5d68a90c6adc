"""`coffees`: what stands on the shelf."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import coffee_facts
from halfclick.service.coffees import ShelfRow, shelf
from halfclick.wording import Wording


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Return every coffee's newest bag, the one brewed or bought last first."""
    del options
    with bench.reading() as store:
        rows = shelf(store, bench.today())
    facts: dict[str, object] = {"coffees": [_facts(row) for row in rows]}
    lines = [_line(bench.words, row) for row in rows] or [bench.words("commands.shelf_empty")]
    return Answer(facts=facts, lines=tuple(lines))


def _facts(row: ShelfRow) -> dict[str, object]:
    last = row.last_brewed_at
    return {
        **coffee_facts(row.coffee, row.lot, row.bag),
        "age_days": row.age_days,
        "left_g": row.left_g,
        "brews_left": row.brews_left,
        "cups": row.brews,
        "last_brewed_at": last.isoformat() if last else None,
        "status": row.status,
    }


def _line(words: Wording, row: ShelfRow) -> str:
    parts = [row.coffee.name]
    if row.coffee.process:
        parts.append(words(f"process.{row.coffee.process.value}"))
    if row.coffee.roast:
        parts.append(words(f"roast.{row.coffee.roast.value}"))
    if row.age_days is not None:
        parts.append(words("commands.day", count=row.age_days))
    if row.bag.is_frozen:
        parts.append(words("bag.frozen"))
    parts.append(words("commands.cups", count=row.brews))
    parts.append(words(f"status.{row.status.value}"))
    if row.brews_left is not None:
        parts.append(words("sheet.brews_left", count=row.brews_left))
    return ", ".join(parts)
