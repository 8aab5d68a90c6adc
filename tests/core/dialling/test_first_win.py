"""The chance of a first win: where a cup was none, a cup close to it is hardly one either."""

from dataclasses import replace

import numpy as np
import pytest
from dial_cups import CONTEXT, asked, at, sour_cup

from halfclick.dialling.carry import learn
from halfclick.dialling.decide import PLAIN_D, SHOWN, Choice, Decider
from halfclick.dialling.grids import SWIRL, WATER, grids_of, row_of


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
    first = decider.first_win.weight @ decider.first_win.wins(rows)[0]
    whatever = decider.wins(rows)[0].mean(axis=0)
    assert first[0] < 0.3 * whatever[0]
    assert first[0] < first[1]


def test_weights_are_of_the_draws_by_which_no_cup_was_a_win(decider):
    weight = decider.first_win.weight
    assert weight.sum() == pytest.approx(1.0)
    assert set(np.round(weight / weight.max(), 6)) == {1.0, 1e-4}


def test_a_candidate_that_is_no_win_takes_its_neighbours_with_it(decider):
    candidate = hotter(12, 96.0)
    rows = np.stack((hotter(12, 96.5), hotter(12, 86.0)))
    lost, after = decider.first_win.follow(candidate, rows)
    before = decider.first_win.wins(rows)[0]
    fallen = (lost @ after) / (lost @ before)
    assert fallen[0] < 0.6
    assert fallen[0] < fallen[1]
    assert 0.0 < lost.sum() < 1.0


def test_of_cups_about_as_likely_the_one_by_a_shown_lever_is_brewed():
    """The same draws choose; only what a blind trial showed of one lever differs."""
    request = asked(sour_cup(20), sour_cup(17))

    def chosen(shown: dict[str, tuple[float, float]] | None) -> Choice:
        context = replace(request.context, shown=shown)
        rng = np.random.default_rng(1)
        decider = Decider(learn(replace(request, context=context), rng), grids_of(context), rng)
        return decider.decide().choice

    plain = chosen(None)
    assert plain.row[WATER] != 93.0
    swirled = chosen({"swirl": (0.0, 9.0)})
    assert swirled.row[SWIRL] == 1.0
    # It decides between equals and no more.
    assert plain.win - swirled.win <= SHOWN * PLAIN_D
    away = chosen({"swirl": (9.0, 0.0), "bloom_s": (9.0, 9.0)})
    assert np.array_equal(away.row, plain.row)
