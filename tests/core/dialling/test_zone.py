"""The liked zone: how many beliefs like a cup at a strength and extraction."""

import numpy as np
import pytest
from dial_cups import asked, sour_cup

from halfclick.dialling.carry import learn
from halfclick.dialling.decide import Decider
from halfclick.dialling.first_win import WIN_WITHIN
from halfclick.dialling.forward import missed
from halfclick.dialling.grids import grids_of
from halfclick.dialling.zone import Zone, zone_of


@pytest.fixture(scope="module")
def decider():
    request = asked(sour_cup(20.0), sour_cup(18.0))
    rng = np.random.default_rng(7)
    return Decider(learn(request, rng), grids_of(request.context), rng)


def test_a_share_is_of_the_draws_that_like_a_cup_there(decider):
    zone = zone_of(decider)
    s, e = 30, 28
    here = missed(decider.draws, zone.extraction_pct[e : e + 1], zone.strength_pct[s : s + 1])
    assert zone.share[s, e] == pytest.approx(float((here <= WIN_WITHIN).mean()))
    assert 0.0 <= zone.share.min() <= zone.share.max() <= 1.0


def test_where_one_belief_likes_it_best_it_misses_nothing(decider):
    draws = {name: values[:1] for name, values in decider.draws.items()}
    liked = draws["liked_extraction"] + draws["wants_extraction"]
    strength = draws["liked_strength"] + draws["wants_strength"]
    assert float(missed(draws, liked, strength)[0, 0]) == pytest.approx(0.0)


def test_the_line_around_a_round_hill_is_its_circle():
    x = np.linspace(-2.0, 2.0, 81)
    across, up = np.meshgrid(x, x)
    zone = Zone(x, x, np.exp(-(across**2) - up**2))
    ends = np.array([end for piece in zone.lines(np.exp(-1.0)) for end in piece])
    assert np.hypot(ends[:, 0], ends[:, 1]) == pytest.approx(1.0, abs=0.01)


def test_each_piece_of_a_line_begins_where_another_ends():
    x = np.linspace(-2.0, 2.0, 41)
    across, up = np.meshgrid(x, x)
    two = np.exp(-4 * ((across - 1) ** 2 + up**2)) + np.exp(-4 * ((across + 1) ** 2 + up**2))
    ends: dict[tuple[float, float], int] = {}
    for piece in Zone(x, x, two).lines(0.5):
        for one in piece:
            key = (round(one[0], 9), round(one[1], 9))
            ends[key] = ends.get(key, 0) + 1
    assert set(ends.values()) == {2}
