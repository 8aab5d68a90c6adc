"""`trials`: the blind trials, how far they are, and what was found."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.service.trial_views import TrialView, all_trials
from halfclick.wording import Wording


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Return every trial, the newest first; nothing that is sealed."""
    del options
    with bench.reading() as store:
        views = all_trials(store)
    facts: dict[str, object] = {"trials": [_facts(view) for view in views]}
    lines = [_line(bench.words, view) for view in views] or [bench.words("commands.no_trials")]
    return Answer(facts=facts, lines=tuple(lines))


def _facts(view: TrialView) -> dict[str, object]:
    trial, finding = view.trial, view.finding
    return {
        "id": str(trial.id),
        "begun_at": trial.begun_at.isoformat(),
        "kind": trial.kind,
        "question": trial.question,
        "habit": trial.habit,
        "names": list(trial.names),
        "tasters": list(trial.tasters),
        "blinding": trial.blinding,
        "planned": trial.rounds_planned,
        "answered": view.answered,
        "opened": len(view.opened),
        "finding": finding.finding if finding else None,
        "about_habit": finding.about_habit if finding else None,
        "numbers": dict(finding.numbers) if finding else None,
    }


def _line(words: Wording, view: TrialView) -> str:
    trial, finding = view.trial, view.finding
    state = words(f"trial.found_{finding.finding.value}" if finding else "trial.under_way")
    parts = [
        words.day(trial.begun_at.astimezone().date()),
        ", ".join(trial.names),
        words(f"trial.kind_{trial.kind.value}"),
        words("trial.of", answered=view.answered, planned=trial.rounds_planned),
        state,
    ]
    return "; ".join(parts)
