"""Samplers of a general library on liking alone: optuna's TPE and its Gaussian process.

Not a dependency of the project. They run in an environment of their own, since the Gaussian
process needs torch:

    python3.11 -m venv /tmp/optuna-venv
    /tmp/optuna-venv/bin/pip install torch==2.13.0 optuna==5.0.0 scipy==1.17.1 numpy
    echo "$PWD/.venv/lib/python3.11/site-packages" > \
        /tmp/optuna-venv/lib/python3.11/site-packages/halfclick.pth

and then the benchmark by /tmp/optuna-venv/bin/python. Both move every lever at once, so neither
keeps to one change a brew. A cup without a liking is told by its marks.
"""

from collections.abc import Sequence

import optuna

from dial.levers import LEVERS, Floats, Settings, grids_of
from dial.peers import Answer, Request, best_liked, settings_of, worth

# Cups before the sampler's own model speaks; its default of ten would be the whole bag.
BEFORE_MODEL = 3


class Sampler:
    """One of optuna's samplers; the study is made anew from the history at each request."""

    one_change = False

    def __init__(self, kind: str) -> None:
        optuna.logging.set_verbosity(optuna.logging.ERROR)
        self.name = kind
        self._kind = kind

    def answer(self, request: Request) -> Answer:
        """Answer with what the sampler asks for next; its best is the cup liked best."""
        history = request["history"]
        if not history:
            start = dict(request["context"]["start"])
            return Answer(next=start, best=start)
        grids = grids_of(request["context"])
        spaces = {
            name: optuna.distributions.IntDistribution(0, len(grid) - 1)
            for name, grid in zip(LEVERS, grids, strict=True)
            if len(grid) > 1
        }
        study = optuna.create_study(direction="maximize", sampler=self._sampler(request["seed"]))
        for brew in history:
            indices = _indices(settings_of(brew), grids)
            params = {name: indices[name] for name in spaces}
            liking = brew["seen"].get("liking")
            value = liking if liking is not None else worth(brew["seen"])
            study.add_trial(
                optuna.trial.create_trial(params=params, distributions=spaces, value=value)
            )
        asked = study.ask(spaces).params
        after = settings_of(history[0])
        for name, index in asked.items():
            after[name] = float(grids[LEVERS.index(name)][index])
        return Answer(next=after, best=settings_of(history[best_liked(history)]))

    def _sampler(self, seed: int) -> optuna.samplers.BaseSampler:
        if self._kind == "gp":
            return optuna.samplers.GPSampler(
                seed=seed, n_startup_trials=BEFORE_MODEL, deterministic_objective=False
            )
        return optuna.samplers.TPESampler(seed=seed, n_startup_trials=BEFORE_MODEL)


def _indices(settings: Settings, grids: Sequence[Floats]) -> dict[str, int]:
    return {
        name: int(abs(grid - settings[name]).argmin())
        for name, grid in zip(LEVERS, grids, strict=True)
    }
