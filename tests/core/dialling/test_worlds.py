"""The virtual coffees that diallers are judged on: seeded, in bounds, and of one best."""

import sys
from pathlib import Path

import numpy as np
import pytest

BENCHMARKS = str(Path(__file__).parents[2] / "benchmarks")
sys.path.insert(0, BENCHMARKS)

from dial.finding import random_rows  # noqa: E402
from dial.levers import LEVERS, as_settings, changed, one_change_away, snapped  # noqa: E402
from dial.peers import NeverChange  # noqa: E402
from dial.play import play  # noqa: E402
from dial.population import KINDS, pose, request_context  # noqa: E402
from dial.tasting import marks_of  # noqa: E402
from dial.thumb import Thumb  # noqa: E402
from dial.world import is_on_grid  # noqa: E402

sys.path.remove(BENCHMARKS)


@pytest.fixture(scope="module", autouse=True)
def _own_shelf(tmp_path_factory):
    """Draw the worlds anew, whatever another run has kept."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAL_SHELF", str(tmp_path_factory.mktemp("worlds")))
        yield


@pytest.fixture(scope="module")
def posed(_own_shelf):
    return pose("dev", KINDS.index("coarse dial"))


def some_rows(posed, count=300):
    return random_rows(np.random.default_rng(3), posed.world.grids, count)


def test_a_world_is_the_same_each_time(posed):
    again = pose("dev", KINDS.index("coarse dial"))
    rows = some_rows(posed, 20)
    assert again.world.context == posed.world.context
    np.testing.assert_array_equal(again.world.expected(rows), posed.world.expected(rows))
    start = posed.world.context["start"]
    assert again.world.brew(start, 3, 5.0) == posed.world.brew(start, 3, 5.0)


def test_development_and_reported_worlds_differ(posed):
    reported = pose("reported", KINDS.index("coarse dial"))
    assert reported.world.seed != posed.world.seed
    assert reported.world.context != posed.world.context


def test_no_setting_is_liked_better_than_the_best(posed):
    rows = np.concatenate([some_rows(posed), one_change_away(posed.best, posed.world.grids)])
    assert posed.world.expected(rows).max() <= posed.best_liking + 1e-9
    assert is_on_grid(as_settings(posed.best), posed.world.grids)


def test_cups_are_within_what_kitchens_make(posed):
    cup = posed.world.system.brew(some_rows(posed))
    assert (cup.time_s > 30).all()
    assert (cup.time_s <= 540).all()
    # No more dissolves than can: 28 to 32 % of the dose (Moroney 2015), 35 with what is drawn.
    assert (cup.extraction_pct < 35).all()
    assert (cup.extraction_pct > 0).all()
    solids_g = cup.strength_pct * cup.beverage_g
    np.testing.assert_allclose(solids_g, cup.extraction_pct * posed.world.system.dose_g)
    pools = cup.quick_pct + cup.middle_pct + cup.last_pct
    np.testing.assert_allclose(pools, cup.strength_pct)
    marks = marks_of(cup, posed.world.palate)
    assert ((marks >= 0) & (marks <= 10)).all()
    liking = posed.world.expected(some_rows(posed))
    assert ((liking >= 1) & (liking <= 9)).all()


def test_a_word_is_its_mark_from_five_on(posed):
    seen = posed.world.brew(posed.world.context["start"], 0, None)
    assert seen["words"] == [name for name, mark in seen["marks"].items() if mark >= 5]


def test_luck_is_of_the_brew_and_not_of_the_setting(posed):
    start = posed.world.context["start"]
    cup = posed.world.system.brew(np.array([list(start.values())]))
    off = [posed.world.brew(start, n, None)["time_s"] / cup.time_s[0] for n in range(40)]
    assert 0.02 < np.std(np.log(off)) < 0.12


def test_what_is_told_holds_nothing_hidden(posed):
    told = request_context(posed.world)
    assert set(told) == {
        "dial",
        "dose_g",
        "dripper",
        "roast",
        "days_off_roast",
        "strength_measured",
        "tasted_by",
        "boiling_c",
        "levers",
        "start",
    }


def test_the_rule_of_thumb_keeps_to_the_grid_and_to_one_change(posed):
    played, history, _ = play(Thumb(), posed)
    assert played.off_grid == 0
    assert played.many_changes == 0
    assert len(history) == 12
    assert history[0]["settings"] == posed.world.context["start"]
    assert "true_liking" not in history[0]["seen"]


def test_who_never_changes_brews_the_start(posed):
    played, history, best = play(NeverChange(), posed, most=3)
    assert all(brew["settings"] == history[0]["settings"] for brew in history)
    assert not changed(best, history[0]["settings"])
    assert played.regrets == pytest.approx([posed.regret(best)] * 3)


def test_rows_snap_to_the_nearest_value_that_can_be_set(posed):
    row = posed.best + 0.01
    snap = snapped(row, posed.world.grids)
    assert is_on_grid(as_settings(snap), posed.world.grids)
    assert len(snap) == len(LEVERS)
