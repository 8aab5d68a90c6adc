"""`history`: a coffee's cups, what was changed and why, and the breaks between them."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, coffee_facts, cup_facts, sentences
from halfclick.commands.finding import coffee_meant
from halfclick.commands.lines import cup_line
from halfclick.service.history import HistoryPoint, coffee_history
from halfclick.wording import Wording


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Return the history of a coffee, oldest cup first."""
    words = bench.words
    with bench.reading() as store:
        row = coffee_meant(store, options.coffee, bench.today())
        history = coffee_history(store, row.coffee.id)
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "status": history.status,
        "summary": sentences(words, history.summary),
        "cups": [_facts(words, point) for point in history.points],
    }
    lines = [words.sentences(history.summary)]
    for point in history.points:
        lines += _lines(words, point)
    return Answer(facts=facts, lines=tuple(lines))


def _facts(words: Wording, point: HistoryPoint) -> Facts:
    return {
        **cup_facts(words, point.cup),
        "age_days": point.age_days,
        "came_from_cup": point.parent_number,
        "grinder": point.grinder_name,
        "break_before": point.break_before,
        "grinder_changed": point.grinder_changed,
    }


def _lines(words: Wording, point: HistoryPoint) -> list[str]:
    lines: list[str] = []
    if point.break_before is not None:
        lines.append(words(f"commands.break_{point.break_before.value}"))
    lines.append(cup_line(words, point.cup))
    lines += [f"  {sentence}" for sentence in sentences(words, point.why)]
    return lines
