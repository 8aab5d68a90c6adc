"""The simulation against curves of other laboratories; residuals are told, not hidden.

Source: Moroney et al. (2015), Chemical Engineering Science 137, 216, read off its figures by
others. The constants were fitted to two of its stirred curves; the rest is predicted.
"""

import numpy as np
import pytest

from halfclick.physics.brew.published import FITTED, predicted, read_curves

CURVES = {curve.name: curve for curve in read_curves()}
# Root mean squares of what is left, as tests/benchmarks/published.py prints them, rounded up.
# The pumped bed starts stronger and ends weaker than is predicted of it: the published stirred and
# pumped curves of one grind do not come to one yield (28 % and 26 % of the dose, without what the
# grains hold), and no constant of ours is bent to hide that.
LEFT_OVER = {
    "stirred_fine": 1.0,
    "stirred_coarse": 1.1,
    "stirred_coarse_b": 3.0,
    "pumped_fine": 20.0,
    "pumped_coarse": 2.0,
}


@pytest.mark.parametrize("name", CURVES)
def test_residuals_are_no_larger_than_is_said(name):
    off = predicted(CURVES[name]) - CURVES[name].seen
    assert float(np.sqrt(np.mean(off**2))) < LEFT_OVER[name]


@pytest.mark.parametrize(
    ("name", "place", "row_tolerance"),
    [
        ("stirred_fine", 0, 1.5),
        ("stirred_fine", 2, 1.5),
        ("stirred_coarse", 1, 1.5),
        ("stirred_coarse", 6, 1.5),
    ],
)
def test_fitted_points_lie_within_what_reading_a_figure_allows(name, place, row_tolerance):
    curve = CURVES[name]
    assert predicted(curve)[place] == pytest.approx(curve.seen[place], abs=row_tolerance)


@pytest.mark.parametrize("name", FITTED)
def test_the_shipped_constants_are_the_best_fit(name):
    """Any constant moved by a tenth either way fits worse, so none was set by hand."""
    curves = [curve for curve in CURVES.values() if curve.fitted]

    def misfit(constants):
        return sum(float(np.sum((predicted(one, constants) - one.seen) ** 2)) for one in curves)

    best = misfit(FITTED)
    for factor in (0.9, 1.1):
        assert misfit({**FITTED, name: FITTED[name] * factor}) > best


def test_a_pumped_bed_is_predicted_within_five_points_of_extraction():
    for name in ("pumped_fine", "pumped_coarse"):
        curve = CURVES[name]
        dry_g = curve.dose_g * (1 - curve.moisture)
        points = (predicted(curve) - curve.seen) * np.array(curve.at) / 1000 / dry_g
        assert np.abs(points).max() < 0.05


def test_each_fraction_of_a_pumped_bed_is_weaker_than_the_last():
    """Batali, Frost, Lebrilla, Ristenpart and Guinard (2020): strength falls with each fraction."""
    told = predicted(CURVES["pumped_fine"]) * np.array(CURVES["pumped_fine"].at)
    fractions = np.diff(told) / np.diff(CURVES["pumped_fine"].at)
    assert np.all(np.diff(fractions) < 0)
