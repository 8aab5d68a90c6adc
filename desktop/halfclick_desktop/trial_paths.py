"""The evidence of a trial as a picture draws it, with its words."""

from typing import TYPE_CHECKING

from halfclick.service.trial_views import TrialView
from halfclick.wording import Wording, number
from halfclick_desktop.widgets.evidence_picture import Paths

if TYPE_CHECKING:
    from halfclick.trials.named_pair import Running  # scipy comes with it


def paths_of(words: Wording, view: TrialView, run: "Running") -> Paths:
    """Return what is drawn of a trial's evidence."""
    told = tuple(
        words("trial_page.after", count=place, evidence=number(one, 2), smaller=number(less, 2))
        for place, (one, less) in enumerate(zip(run.evidence, run.smaller, strict=True), start=1)
    )
    return Paths(
        evidence=run.evidence,
        smaller=run.smaller,
        bar=run.bar,
        planned=view.trial.rounds_planned,
        across=words("trial_page.pairs"),
        up=words("trial_page.up", first=view.trial.names[0]),
        bar_name=words("trial_page.bar", bar=number(run.bar, 0)),
        evidence_name=words("trial_page.evidence_name"),
        smaller_name=words("trial_page.smaller_name", given=view.trial.smaller_than_d),
        told=told,
    )


def stands_text(words: Wording, view: TrialView, run: "Running") -> str:
    """Return how far the evidence is now, in words."""
    evidence = run.evidence[-1] if run.evidence else 1.0
    smaller = run.smaller[-1] if run.smaller else 1.0
    said = words("trial_page.stands", evidence=number(evidence, 1), bar=number(run.bar, 0))
    less = words(
        "trial_page.stands_smaller",
        evidence=number(smaller, 1),
        bar=number(run.smaller_bar, 0),
        given=view.trial.smaller_than_d,
    )
    return f"{said} {less}"
