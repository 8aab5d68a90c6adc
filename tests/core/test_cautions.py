"""Cautions: due once where they matter, each with its source, and read again when asked."""

from dataclasses import replace

import pytest

from halfclick.model.kit import DripperMaterial
from halfclick.service.cautions import Caution, Place, all_cautions, caution_due, caution_seen
from halfclick.service.kitchens import change_thing


def due(store, place):
    told = caution_due(store, place)
    return told.caution if told else None


@pytest.mark.parametrize(
    ("place", "caution"),
    [
        (Place.BREW, Caution.SCALD),
        (Place.ZERO, Caution.GRINDER),
        (Place.WATER, Caution.MINERALS),
        (Place.CAFFEINE, Caution.CAFFEINE),
        (Place.MEASURED, Caution.SAMPLE),
    ],
)
def test_a_caution_is_due_where_it_matters_until_it_was_seen(store, clock, kit, place, caution):
    assert due(store, place) is caution
    caution_seen(store, caution, clock=clock)
    assert due(store, place) is None


def test_glass_is_spoken_of_where_there_is_glass(store, clock, kit):
    caution_seen(store, Caution.SCALD, clock=clock)
    assert due(store, Place.BREW) is None
    change_thing(store, replace(kit().dripper, material=DripperMaterial.GLASS), clock=clock)
    assert due(store, Place.BREW) is Caution.GLASS


def test_a_server_of_glass_says_so_by_its_name(store, clock, kit):
    caution_seen(store, Caution.SCALD, clock=clock)
    change_thing(store, replace(kit().server, name="Small glass jug"), clock=clock)
    assert due(store, Place.BREW) is Caution.GLASS


def test_what_a_kettle_and_a_scale_do_is_told_where_a_brew_is_logged(store, clock, kit):
    for caution in (Caution.KETTLE, Caution.SCALE):
        assert due(store, Place.LOG) is caution
        caution_seen(store, caution, clock=clock)
    assert due(store, Place.LOG) is None


def test_every_caution_has_a_source_and_promises_nothing(words):
    for told in all_cautions():
        said = words.sentence(told.message) + words.sentence(told.source)
        assert words.sentence(told.source)
        for word in ("safe", "healthy", "guarantee"):
            assert word not in said.replace("safety of caffeine", "")


def test_the_scald_caution_names_its_sources(words):
    told = all_cautions()[0]
    # IARC Monographs volume 116 (2016); Brown & Diller (2008), Burns 34:648-654.
    assert "IARC" in words.sentence(told.source)
    assert "Brown and Diller (2008)" in words.sentence(told.source)
    said = words.sentence(told.message).replace("\N{NO-BREAK SPACE}", " ")
    assert "45 °C to 55 °C" in said
    assert "below 65 °C" in said
