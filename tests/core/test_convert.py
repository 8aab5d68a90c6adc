"""A recipe on another grinder, on another dripper, at another size."""

from uuid import uuid4

import pytest

from halfclick.errors import BadInput
from halfclick.model.grinder import Grinder
from halfclick.model.kit import Dripper, DripperShape
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.convert import Converted, convert
from halfclick.service.kitchens import PLAIN_CLICKS, add_thing
from halfclick.service.sievings import SieveWeighed, SievingEntry, add_sieving


@pytest.fixture
def brewed(coffee, cup, store, kit):
    """Brew three cups, and return the coffee's id and the kit."""
    bag = coffee("Tarn Hollow")
    for setting, drained_s in (("18", 150.0), ("20", 135.0), ("18", 152.0)):
        cup(bag, setting, drained_s=drained_s)
    return coffee_of_bag(store, bag.id).id, kit()


def steps_between(found: Converted) -> int:
    finer, middle, coarser = map(int, found.settings)
    assert finer <= middle <= coarser
    return coarser - finer


def test_the_same_grinder_dripper_and_size_give_the_same_setting(store, brewed):
    coffee_id, kit = brewed
    found = convert(store, coffee_id, grinder_id=kit.grinder.id, dripper_id=kit.dripper.id)
    assert found.settings == ("18", "18", "18")
    assert found.by_clock
    assert found.time_s[0] < 152.0 < found.time_s[2]
    assert not found.is_wide


def test_a_new_grinder_gives_a_wide_range_that_sieving_narrows(store, clock, brewed):
    coffee_id, kit = brewed
    grinder = Grinder(id=uuid4(), name="Other", numbering=PLAIN_CLICKS, step_um=12.5)
    add_thing(store, grinder, clock=clock)

    first = convert(store, coffee_id, grinder_id=grinder.id, dripper_id=kit.dripper.id)
    assert first.is_wide
    stack = tuple(
        SieveWeighed(opening_um=one, on_it_g=g)
        for one, g in ((1000.0, 3.0), (710.0, 7.0), (500.0, 7.0))
    )
    for setting in ("30", "50"):
        entry = SievingEntry(setting_text=setting, sieves=stack, pan_g=6.0)
        add_sieving(store, grinder.id, entry, clock=clock)
    sieved = convert(store, coffee_id, grinder_id=grinder.id, dripper_id=kit.dripper.id)
    assert not sieved.is_wide
    assert steps_between(sieved) < steps_between(first)


def test_a_larger_batch_is_ground_coarser_and_held_by_what_is_extracted(store, brewed):
    coffee_id, kit = brewed
    same = {"grinder_id": kit.grinder.id, "dripper_id": kit.dripper.id}
    found = convert(store, coffee_id, dose_g=30.0, **same)
    assert found.recipe.dose_g == 30.0
    assert not found.by_clock
    assert int(found.settings[1]) >= 18


def test_a_dripper_that_holds_the_water_back_is_refused(store, clock, brewed):
    coffee_id, kit = brewed
    valve = Dripper(id=uuid4(), name="Valve", shape=DripperShape.IMMERSION)
    add_thing(store, valve, clock=clock)
    with pytest.raises(BadInput) as caught:
        convert(store, coffee_id, grinder_id=kit.grinder.id, dripper_id=valve.id)
    assert caught.value.code == "convert.immersion"


def test_a_coffee_without_a_cup_has_nothing_to_convert(store, kit, coffee):
    bag = coffee("Unbrewed")
    used = kit()
    with pytest.raises(BadInput):
        convert(
            store,
            coffee_of_bag(store, bag.id).id,
            grinder_id=used.grinder.id,
            dripper_id=used.dripper.id,
        )
