import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.units import TemperatureUnit, Units, WeightUnit
from halfclick.wording import Message

OURS = Units(temperature=TemperatureUnit.FAHRENHEIT, weight=WeightUnit.OUNCE)
registry = pint.UnitRegistry()


@pytest.fixture
def imperial(words):
    words.units = OURS
    return words


@given(st.floats(-50, 150))
def test_degrees_fahrenheit_are_those_of_an_independent_library(temperature_c: float):
    theirs = registry.Quantity(temperature_c, "degC").to("degF").magnitude
    assert OURS.of("c").shown(temperature_c) == pytest.approx(theirs)
    assert OURS.of("c").base(theirs) == pytest.approx(temperature_c, abs=1e-9)


@given(st.floats(0, 10_000))
def test_ounces_are_those_of_an_independent_library(mass_g: float):
    theirs = registry.Quantity(mass_g, "gram").to("ounce").magnitude
    assert OURS.of("g").shown(mass_g) == pytest.approx(theirs)
    assert OURS.of("g").base(theirs) == pytest.approx(mass_g)


@pytest.mark.parametrize(
    ("name", "value", "metric", "other"),
    [
        ("water_c", 95.0, "95 °C", "203 °F"),
        ("water_c", 93.0, "93 °C", "199.4 °F"),
        ("size_c", 3.0, "3 °C", "5.4 °F"),  # a difference has no offset
        ("dose_g", 15.0, "15 g", "0.53 oz"),
        ("until_g", 240.0, "240 g", "8.47 oz"),
        ("rate_g_s", 5.0, "5 g/s", "0.18 oz/s"),
        ("bloom_s", 45.0, "45 s", "45 s"),
        ("altitude_m", 300.0, "300 m", "300 m"),
    ],
)
def test_a_value_is_printed_in_the_units_a_person_reads(words, name, value, metric, other):
    assert words.quantity(name, value).replace("\u00a0", " ") == metric
    words.units = OURS
    assert words.quantity(name, value).replace("\u00a0", " ") == other


def test_a_limit_named_in_a_sentence_is_in_the_units_a_person_reads(imperial):
    said = imperial("recipe.bad_dose", given_g=1000.0).replace("\u00a0", " ")
    assert said == "A dose of 35.27 oz cannot be brewed here. Give 0.04 oz to 17.64 oz."


def test_a_message_inside_a_message_is_in_the_units_a_person_reads(imperial):
    inside = Message("plan_page.heat", {"water_c": 95.0})
    assert "203" in imperial("reason.own", text=inside)


def test_no_sentence_of_the_catalogues_names_a_unit_that_a_person_may_have_changed(words):
    metric = {
        code: said
        for code, said in texts(words).items()
        if any(word in f" {said} " for word in ("°C", " g ", " g.", " grams", "Celsius"))
    }
    # Where units themselves are chosen they are named; the command line and files are in the base
    # units; and what a scale must tell apart is said in its own.
    rooms = ("settings.unit", "table_unit.", "commands.", "caution.minerals")
    assert {code: said for code, said in metric.items() if not code.startswith(rooms)} == {}


def texts(words) -> dict[str, str]:
    catalogue = words._catalogue._catalog
    return {str(code): said for code, said in catalogue.items()}
