"""The kit in use: set up from few answers, added to, changed, and put to use."""

from dataclasses import replace
from uuid import uuid4

import pytest

from halfclick.errors import BadInput, NotFound
from halfclick.model.grinder import Grinder, ZeroFound, ZeroReason
from halfclick.model.kit import (
    DrainedRule,
    Dripper,
    DripperShape,
    Kettle,
    Kitchen,
    Paper,
    PaperKind,
    ScaleCarries,
    Server,
    Water,
)
from halfclick.model.numbering import Numbering, Scheme
from halfclick.service.done import Touched
from halfclick.service.grinders import take_zero, zeros_of
from halfclick.service.kitchens import (
    KitchenEntry,
    add_thing,
    change_thing,
    kit_in_use,
    kit_of,
    list_kit,
    put_to_use,
    set_up_kitchen,
    used,
)

CLICKS = Numbering(scheme=Scheme.CLICKS)


def test_before_the_first_run_there_is_no_kit(store, clock):
    assert kit_in_use(store) is None
    with pytest.raises(ValueError, match="no kitchen"):
        put_to_use(store, Water(id=uuid4(), name="bottled"), clock=clock)


def test_every_question_of_the_first_run_can_be_skipped(store, clock):
    done = set_up_kitchen(store, KitchenEntry(), clock=clock)
    kit = kit_in_use(store)
    assert done.touched is Touched.KIT
    assert kit.kitchen == done.value
    assert None not in (kit.paper, kit.kettle, kit.water, kit.server)
    assert (kit.zero.reading, kit.zero.reason) == (0, ZeroReason.FIRST)


def test_what_was_answered_is_what_is_in_use(store, clock):
    entry = KitchenEntry(
        grinder_name="Hand grinder",
        numbering=Numbering(scheme=Scheme.ROTATIONS, bases=(12,)),
        step_um=12.5,
        purge_g=1.5,
        shape=DripperShape.WEDGE,
        top_m=0.11,
        bottom_m=0.05,
        height_m=0.07,
        kettle_has_thermometer=True,
        server_capacity_g=600.0,
        altitude_m=1200.0,
        scale_carries=ScaleCarries.SERVER_ALONE,
        drained_rule=DrainedRule.BED_VISIBLE,
    )
    set_up_kitchen(store, entry, clock=clock)
    kit = kit_in_use(store)
    assert (kit.grinder.name, kit.grinder.step_um, kit.grinder.purge_g) == (
        "Hand grinder",
        12.5,
        1.5,
    )
    assert kit.grinder.numbering == entry.numbering
    assert (kit.dripper.shape, kit.dripper.height_m) == (DripperShape.WEDGE, 0.07)
    assert kit.kettle.has_thermometer
    assert kit.server.capacity_g == 600.0
    assert (kit.kitchen.altitude_m, kit.kitchen.scale_carries, kit.kitchen.drained_rule) == (
        1200.0,
        ScaleCarries.SERVER_ALONE,
        DrainedRule.BED_VISIBLE,
    )


@pytest.mark.parametrize("shape", list(DripperShape))
def test_a_thick_paper_cone_comes_with_thick_paper(store, clock, shape):
    set_up_kitchen(store, KitchenEntry(shape=shape), clock=clock)
    thick = shape is DripperShape.THICK_PAPER_CONE
    assert kit_in_use(store).paper.kind is (PaperKind.THICK if thick else PaperKind.WHITE)


@pytest.mark.parametrize(
    "wrong",
    [
        {"grinder_name": ""},
        {"step_um": -3.0},
        {"purge_g": 99.0},
        {"dripper_name": " "},
        {"top_m": 5.0},
        {"height_m": 0.0},
        {"server_capacity_g": 1.0},
        {"altitude_m": 9000.0},
    ],
)
def test_an_answer_that_cannot_be_is_refused_with_a_sentence_and_nothing_is_kept(
    store, clock, words, wrong
):
    with pytest.raises(BadInput) as refused:
        set_up_kitchen(store, KitchenEntry(**wrong), clock=clock)
    assert words.sentence(refused.value)
    assert kit_in_use(store) is None
    assert not list_kit(store, Grinder)


@pytest.mark.parametrize(
    "thing",
    [
        Dripper(id=uuid4(), name="Travel dripper", shape=DripperShape.IMMERSION),
        Paper(id=uuid4(), name="cloth", kind=PaperKind.CLOTH),
        Kettle(id=uuid4(), name="gooseneck", has_thermometer=True),
        Water(id=uuid4(), name="bottled"),
        Server(id=uuid4(), name="mug", capacity_g=300.0),
        Grinder(id=uuid4(), name="Travel grinder", numbering=CLICKS),
    ],
    ids=lambda thing: type(thing).__name__,
)
def test_a_thing_put_to_use_takes_the_place_of_its_like_alone(store, clock, kit, thing):
    before = kit()
    clock.advance(1)
    add_thing(store, thing, clock=clock)
    assert kit() == before
    put_to_use(store, thing, clock=clock)
    place = type(thing).__name__.lower()
    assert getattr(kit(), place) == thing
    expected = {place: thing, "kitchen": replace(before.kitchen, **{f"{place}_id": thing.id})}
    if isinstance(thing, Grinder):
        expected["zero"] = zeros_of(store, thing.id)[0]
    assert kit() == replace(before, **expected)


def test_the_things_of_a_kind_are_listed_oldest_first(store, clock, kit):
    clock.advance(1)
    mug = Server(id=uuid4(), name="mug", capacity_g=300.0)
    add_thing(store, mug, clock=clock)
    assert list_kit(store, Server) == (kit().server, mug)


def test_a_changed_thing_is_changed_where_it_is_in_use(store, clock, kit):
    change_thing(store, replace(kit().dripper, name="Blue dripper"), clock=clock)
    assert kit().dripper.name == "Blue dripper"
    assert len(list_kit(store, Dripper)) == 1


def test_a_thing_that_is_not_there_cannot_be_changed(store, clock, kit):
    with pytest.raises(NotFound):
        change_thing(store, Water(id=uuid4(), name="bottled"), clock=clock)


def test_what_a_brew_used_leads_back_to_the_same_things(store, clock, kit):
    then = kit()
    clock.advance(1)
    mug = Server(id=uuid4(), name="mug", capacity_g=300.0)
    add_thing(store, mug, clock=clock)
    put_to_use(store, mug, clock=clock)
    assert kit().server == mug
    assert kit_of(store, used(then)) == then


def test_what_a_brew_used_names_the_zero_in_force(store, clock, kit):
    before = used(kit())
    clock.advance(1)
    take_zero(
        store,
        kit().grinder.id,
        reading_text="1",
        found=ZeroFound.FIRST_RUB,
        reason=ZeroReason.CLEANED,
        clock=clock,
    )
    assert used(kit()) == replace(before, zero_id=kit().zero.id)
    assert kit().zero.id != before.zero_id


def test_a_kitchen_cannot_be_put_into_a_kitchen(store, clock, kit):
    other = replace(kit().kitchen, id=uuid4(), name="office")
    with pytest.raises(ValueError, match="no kitchen"):
        put_to_use(store, other, clock=clock)
    assert list_kit(store, Kitchen) == (kit().kitchen,)


def test_a_pressure_reduced_to_the_sea_is_refused_with_that_of_the_place(store, clock):
    """At 1,800 m the standard day has 815 hPa (ISO 2533), whatever the weather report prints."""
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    kitchen = replace(kit_in_use(store).kitchen, altitude_m=1800.0)
    with pytest.raises(BadInput) as refused:
        change_thing(store, replace(kitchen, barometer_pa=101_500.0), clock=clock)
    assert refused.value.code == "kitchen.reduced_barometer"
    assert refused.value.values["here_hpa"] == pytest.approx(816, abs=1)
    change_thing(store, replace(kitchen, barometer_pa=82_500.0), clock=clock)
    change_thing(store, replace(kitchen, altitude_m=0.0, barometer_pa=82_500.0), clock=clock)
    assert kit_in_use(store).kitchen.barometer_pa == 82_500.0
