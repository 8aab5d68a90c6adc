"""What a kit's brews taught of its constants, and which measurement would untangle them."""

from dataclasses import replace

import numpy as np
import pytest

from halfclick.physics.brew.calibrate import Belief, no_belief
from halfclick.physics.brew.priors import NAMES, PRIORS
from halfclick.service.kit_constants import GROUPS, confounded, significant, taught_of
from halfclick.service.learned import learn, priors_of
from halfclick.service.untangle import measurements, narrowing

SIZE, PERMEABILITY = NAMES.index("size_um"), NAMES.index("permeability_m2")


def told_together(correlation: float) -> Belief:
    covariance = np.eye(len(NAMES))
    covariance[SIZE, PERMEABILITY] = covariance[PERMEABILITY, SIZE] = correlation
    return Belief(np.zeros(len(NAMES)), covariance, brews=3)


def test_every_constant_is_told_once():
    assert sorted(name for names in GROUPS.values() for name in names) == sorted(NAMES)


def test_before_any_brew_the_two_bands_are_one_and_nothing_was_told(store, clock, kit):
    found = taught_of(learn(store, kit()))
    assert found.brews == 0
    assert found.together is None
    assert all(one.now == pytest.approx(one.before) for one in found.constants)
    assert {one.state for one in found.constants} == {"untold"}
    # By hand: nine of ten of a log-normal lie within exp(1.645 x 0.3) of its median.
    size = found.of("size_um")
    assert size.before == pytest.approx((700 * 0.6105, 700.0, 700 * 1.638), rel=1e-3)
    assert size.source == "taught.source_size_um"
    assert found.of("per_step_um").source == "taught.source_burr_travel"


def test_constants_that_only_appear_multiplied_are_named_together():
    found = confounded(told_together(-0.8))
    assert {found.one, found.other} == {"size_um", "permeability_m2"}
    assert found.opposed
    assert confounded(told_together(-0.1)) is None
    assert confounded(no_belief()) is None


def test_measuring_one_of_two_entangled_narrows_what_rests_on_it():
    belief = told_together(-0.8)
    along = np.zeros(len(NAMES))
    along[SIZE] = PRIORS["size_um"].spread
    # By hand: a target that is the size itself keeps 0.1 / hypot(0.1, 0.3) of its width.
    left = 0.1 / np.hypot(0.1, 0.3)
    assert narrowing(belief, along[None], along, 0.1) == pytest.approx(1 - left, rel=1e-6)
    other = np.zeros((1, len(NAMES)))
    other[0, NAMES.index("mixing_s")] = 1.0
    assert narrowing(belief, other, along, 0.1) == 0.0


def test_brews_teach_and_the_best_measurement_is_named(store, clock, kit, coffee, cup):
    bag = coffee("Tarn Hollow")
    for setting, drained_s in (("18", 150.0), ("16", 185.0), ("18", 152.0)):
        cup(bag, setting, drained_s=drained_s)
    learned = learn(store, kit())
    found = taught_of(learned)
    assert found.brews == 3
    narrowed = [one for one in found.constants if one.state != "untold"]
    assert narrowed
    best = measurements(store, kit(), learned)
    assert best
    assert best[0].narrows_share == max(one.narrows_share for one in best)
    assert {one.name for one in best} <= {
        "sieve",
        "sieve_another",
        "paper",
        "spent_bed",
        "strength",
        "kettle",
    }


@pytest.mark.parametrize(
    ("value", "told"), [(0.0, "0"), (0.123, "0.12"), (8.31, "8.3"), (12.3, "12"), (655.3, "655")]
)
def test_a_band_is_told_to_two_digits(value, told):
    assert significant(value) == told


def test_a_smooth_wall_is_believed_to_let_less_past_the_bed(kit):
    ribbed, smooth, unsaid = (
        priors_of(replace(kit(), dripper=replace(kit().dripper, ribbed=said)))["bypass_share"]
        for said in (True, False, None)
    )
    assert ribbed == unsaid == PRIORS["bypass_share"]
    assert smooth.median < ribbed.median
    assert smooth.spread == ribbed.spread
