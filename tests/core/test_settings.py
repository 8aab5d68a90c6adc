import pytest

from halfclick.errors import BadInput
from halfclick.model.person import Device
from halfclick.service.settings import choose_units, rename_device, units_of, who
from halfclick.store.opening import open_store
from halfclick.units import TemperatureUnit, Units, WeightUnit

OURS = Units(temperature=TemperatureUnit.FAHRENHEIT, weight=WeightUnit.OUNCE)


def test_grams_and_degrees_celsius_are_read_until_others_are_chosen(store, clock):
    assert units_of(store) == Units()
    choose_units(store, OURS, clock=clock)
    assert units_of(store) == OURS


def test_units_chosen_are_still_chosen_when_the_journal_is_opened_again(store, clock):
    choose_units(store, OURS, clock=clock)
    store.close()
    again = open_store(store.path, clock=clock, device_name="kitchen laptop")
    assert units_of(again) == OURS
    again.close()


def test_a_device_given_another_name_is_the_same_device_at_the_next_start(store, clock):
    rename_device(store, "the big one", clock=clock)
    rename_device(store, "the bigger one", clock=clock)
    store.close()
    again = open_store(store.path, clock=clock, device_name="kitchen laptop")
    assert again.device.id == store.device.id
    assert who(again)[1].name == "the bigger one"
    again.close()


def test_a_machine_whose_name_another_device_was_given_is_a_device_of_its_own(store, clock):
    rename_device(store, "office desktop", clock=clock)
    store.close()
    other = open_store(store.path, clock=clock, device_name="office desktop")
    assert other.device.id != store.device.id
    other.close()


@pytest.mark.parametrize(
    ("name", "said"), [(" ", "Type a name for this device"), ("garden", "is called garden")]
)
def test_a_name_that_tells_no_device_apart_is_refused(store, clock, words, name: str, said: str):
    with store.writing(clock()) as w:
        w.add(Device(id=store.person.id, name="garden"))
    with pytest.raises(BadInput) as refused:
        rename_device(store, name, clock=clock)
    assert said in words.sentence(refused.value)
    assert who(store)[1].name == "kitchen laptop"
