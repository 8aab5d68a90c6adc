"""How good the model is: what is said of published curves, of the constants and of own brews."""

import re
from dataclasses import replace
from uuid import uuid4

import numpy as np
import pytest

from halfclick.model.forecast import Forecast
from halfclick.model.tasting import Verdict
from halfclick.physics.brew.priors import OWN, PRIORS
from halfclick.physics.brew.published import predicted, read_curves
from halfclick.service.corrections import correct_cup, correction_of, delete_cup
from halfclick.service.held_bands import held_bands
from halfclick.service.model_check import Axis, Unit, check_model
from halfclick.wording import Message


@pytest.fixture(scope="module")
def check():
    return check_model()


def test_every_published_curve_is_there_as_it_was_published(check):
    for curve, checked in zip(read_curves(), check.curves, strict=True):
        assert (checked.name, checked.fitted) == (curve.name, curve.fitted)
        assert (checked.at, checked.seen) == (curve.at, curve.seen)
        stirred = curve.kind == "stirred"
        assert checked.unit is (Unit.KG_M3 if stirred else Unit.G_KG)
        assert checked.axis is (Axis.TIME_S if stirred else Axis.DRINK_G)


def test_what_is_drawn_goes_through_what_is_predicted_at_the_points(check):
    curve, checked = read_curves()[2], check.curves[2]
    assert checked.ours == pytest.approx(predicted(curve).tolist())
    assert checked.off == pytest.approx(np.sqrt(np.mean(np.square(checked.misses))))
    assert (min(checked.line_at), max(checked.line_at)) == (min(curve.at), max(curve.at))
    assert set(curve.at) <= set(checked.line_at)


def test_a_curve_says_whether_it_was_fitted_and_by_how_much_it_is_off(check, words):
    said = {one.name: words.sentence(one.verdict) for one in check.curves}
    assert said["stirred_fine"].startswith("Fitted to these points")
    assert said["stirred_coarse_b"].startswith("Predicted, off by 2.7")
    assert "kg/m³" in said["stirred_coarse_b"]
    assert "g/kg" in said["pumped_fine"]


def test_each_curve_stands_with_the_source_it_was_taken_from(check, words):
    for curve, checked in zip(read_curves(), check.curves, strict=True):
        assert words.sentence(checked.source) == curve.source


def test_each_constant_has_its_name_its_spread_and_its_source_in_words(check, words):
    assert len(check.constants) == len(PRIORS)
    for prior, one in zip(PRIORS.values(), check.constants, strict=True):
        source = words.sentence(one.source)
        assert words.sentence(one.name)
        # The authors and years that the code names are those that a person reads.
        cited = re.findall(r"[A-Z][a-z]+(?= et al| \(| 20|-)|\b20\d\d\b", prior.source)
        assert [name for name in cited if name not in source] == []
        assert (prior.source == OWN) == (source == "Our own default, no source")


def test_a_constant_is_printed_in_a_unit_that_is_read_easily(check, words):
    told = {
        words.sentence(one.name): (words.sentence(one.middle), words.sentence(one.between))
        for one in check.constants
    }
    plain = {name: tuple(t.replace("\u00a0", " ") for t in said) for name, said in told.items()}
    # By hand: 2e-11 m2 is 20 um2, and e to the power of 1.645 x 0.7 is 3.16.
    assert plain["How easily water runs through the bed"] == ("20 µm²", "6.3 to 63 µm²")
    assert plain["What can be dissolved of a dose"][1] == "21 to 28 %"
    assert plain["Resistance of the paper"][0] == "2 billion per m"


def test_what_is_not_known_is_told_in_sentences(check, words):
    said = [words.sentence(one) for one in check.unknowns]
    assert all(re.match(r"[A-Z].*\.$", one) for one in said)
    for topic in ("paper", "14 %", "burrs", "half-life", "minerals", "clog", "height of a pour"):
        assert any(topic in one for one in said), topic


def forecast_of(store, clock, brew, **bands):
    made = Forecast(
        id=uuid4(),
        brew_id=brew.id,
        made_at=clock(),
        engine="brew-1",
        brews_behind=0,
        bands=bands or {"time_s": (120.0, 150.0, 170.0)},
    )
    with store.writing(clock()) as w:
        w.add(made)


def test_a_band_holds_where_what_was_read_lies_in_it(store, clock, cup, coffee):
    bag = coffee("Tarn Hollow")
    assert held_bands(store) == ()
    forecast_of(store, clock, cup(bag, "18", Verdict.CHANGE, drained_s=170.0))
    forecast_of(store, clock, cup(bag, "17", Verdict.CHANGE, drained_s=171.0))
    forecast_of(store, clock, cup(bag, "16", Verdict.CHANGE, drained_s=None))
    (time,) = held_bands(store)
    assert (time.quantity, time.cups, time.held) == ("time_s", 2, 1)
    assert time.said == Message("model_check.held_time_s", {"count": 2, "held": 1})


def test_a_brew_counts_as_it_stands_and_not_once_it_was_deleted(store, clock, cup, coffee):
    brew = cup(coffee("Tarn Hollow"), "18", drained_s=171.0)
    forecast_of(store, clock, brew)
    truly = replace(correction_of(brew), drained_s=160.0)
    mended = correct_cup(store, brew.id, truly, clock=clock).value
    assert [(one.cups, one.held) for one in held_bands(store)] == [(1, 1)]
    delete_cup(store, mended.id, clock=clock)
    assert held_bands(store) == ()
