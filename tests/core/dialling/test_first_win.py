"""The chance of a first win: where a cup was none, a cup close to it is hardly one either."""

from dataclasses import replace

import numpy as np
import pytest
from dial_cups import CONTEXT, asked, at, sour_cup

from halfclick.dialling import decide
from halfclick.dialling.carry import learn
from halfclick.dialling.decide import DRAWS, Choice, Decider
from halfclick.dialling.first_win import SOFT, WIN_WITHIN
from halfclick.dialling.grids import GRIND, SWIRL, WATER, grids_of, row_of


@pytest.fixture(scope="module")
def decider():
    request = asked(sour_cup(20), sour_cup(17), sour_cup(14, liking=6))
    rng = np.random.default_rng(1)
    return Decider(learn(request, rng), grids_of(request.context), rng)


def hotter(setting: float, water_c: float) -> np.ndarray:
    row = row_of(at(setting), CONTEXT.dial)
    row[2] = water_c
    return row


def test_a_hair_from_a_cup_that_was_no_win_is_hardly_one(decider):
    near, far = hotter(14, 93.5), hotter(14, 98.0)
    rows = np.stack((near, far))
    first = decider.first_win.wins(rows)[0].mean(axis=0)
    whatever = decider.wins(rows)[0].mean(axis=0)
    assert first[0] < 0.3 * whatever[0]
    assert first[0] < first[1]


def test_what_is_reckoned_with_are_beliefs_by_which_no_cup_was_a_win(decider):
    """Nearly all; and as many as were asked for, however few of the samples hold it."""
    beliefs = decider.first_win.beliefs
    tried = decider.first_win.likings_of_tried()
    assert len(beliefs.best_liking) == DRAWS
    assert (tried.max(axis=1) < beliefs.best_liking - WIN_WITHIN + 4 * SOFT).all()


def test_a_candidate_that_is_no_win_takes_its_neighbours_with_it(decider):
    candidate = hotter(12, 96.0)
    rows = np.stack((hotter(12, 96.5), hotter(12, 86.0)))
    lost, after = decider.first_win.follow(candidate, rows)
    before = decider.first_win.wins(rows)[0]
    fallen = (lost @ after) / (lost @ before)
    assert fallen[0] < 0.6
    assert fallen[0] < fallen[1]
    assert 0.0 < lost.mean() < 1.0


@pytest.mark.parametrize(
    ("shown", "place", "sign"),
    [
        ({"swirl": (0.0, 2.0)}, SWIRL, 1),
        ({"water_c": (2.0, 0.0)}, WATER, -1),
        ({"setting": (0.0, 2.0)}, GRIND, 1),
    ],
)
def test_a_lever_that_was_shown_to_matter_is_brewed_by_sooner_but_only_among_equals(
    monkeypatch, shown, place, sign
):
    request = asked(sour_cup(20), sour_cup(17))

    def chosen(shown: dict[str, tuple[float, float]] | None) -> Choice:
        context = replace(request.context, shown=shown)
        rng = np.random.default_rng(1)
        decider = Decider(learn(replace(request, context=context), rng), grids_of(context), rng)
        return decider.decide().choice

    plain, told = chosen(None), chosen(shown)
    assert plain.win - told.win < 0.06  # what a chance scatters by between two samples
    monkeypatch.setattr(decide, "SHOWN", 1.0)  # so that it outweighs everything
    eager = chosen(shown)
    before = row_of(request.history[eager.base].settings, request.context.dial)
    assert (eager.row - before)[place] * sign > 0
