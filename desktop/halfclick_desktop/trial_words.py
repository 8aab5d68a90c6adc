"""How trials are called on pages: what they are of, their kinds, and how far they are."""

from halfclick.model.trial import Trial
from halfclick.service.trial_views import RoundView, TrialView
from halfclick.wording import Wording


def subject(words: Wording, trial: Trial) -> str:
    """Return what a trial compares, e.g. "with the swirl, or without"."""
    told = ", ".join(trial.names)
    if len(trial.names) == 2:
        told = words("trial.against", first=trial.names[0], second=trial.names[1])
    return told[:1].upper() + told[1:]


def kind_name(words: Wording, trial: Trial) -> str:
    """Return what a kind of trial is called."""
    return words(f"trial.kind_{trial.kind.value}")


def progress(words: Wording, view: TrialView) -> str:
    """Return how many answers are given, e.g. "5 of 12"."""
    if view.trial.seal is None:
        numbers = view.finding.numbers if view.finding else {}
        return words("trial.on_paper", count=round(numbers.get("asked", 0)))
    planned = max(view.trial.rounds_planned, len(view.rounds) - view.voided)
    return words("trial.of", answered=view.answered, planned=planned)


def about(words: Wording, view: TrialView) -> str:
    """Return the kind of a trial, how far it is and how blind."""
    return words(
        "trial_page.about",
        kind=kind_name(words, view.trial),
        progress=progress(words, view),
        blinding=words(f"trial.blinding_{view.trial.blinding.value}"),
    )


def state(words: Wording, view: TrialView) -> str:
    """Return how a trial stands in a word or two."""
    if view.finding is not None:
        return words(f"trial.found_{view.finding.finding.value}")
    return words("trial.under_way" if view.next is not None else "trial.all_answered")


def taster_name(view: TrialView, one: RoundView) -> str:
    """Return who tastes a round."""
    return view.trial.tasters[one.round.taster]


def codes_text(one: RoundView) -> str:
    """Return the codes of a round's cups from the left."""
    return "  ".join(one.round.codes)
