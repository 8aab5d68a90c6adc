"""Who writes in the journal and on what, and what they chose to read and to be advised."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from uuid import uuid4

from halfclick.errors import BadInput
from halfclick.model.kit import DrainedRule
from halfclick.model.person import Device, Person
from halfclick.model.preference import Preference
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import change_thing, kit_in_use
from halfclick.store.journal import Reader, Store
from halfclick.store.opening import MACHINE
from halfclick.units import TemperatureUnit, Units, WeightUnit

TEMPERATURE = "units.temperature"
WEIGHT = "units.weight"


def who(store: Store) -> tuple[Person, Device]:
    """Return who writes in this journal, and on which device, by their names now."""
    with store.reading() as r:
        return r.get(Person, store.person.id), r.get(Device, store.device.id)


def rename_person(store: Store, name: str, *, clock: Callable[[], datetime]) -> Done[Person]:
    """Give the person another name; what they wrote stays theirs.

    Raises:
        BadInput: the name is empty.
    """
    if not name.strip():
        raise BadInput("settings.needs_name")
    person = Person(id=store.person.id, name=name.strip())
    with store.writing(clock()) as w:
        w.change(person)
    return Done(person, Touched.SETTINGS)


def rename_device(store: Store, name: str, *, clock: Callable[[], datetime]) -> Done[Device]:
    """Give this device another name; what was written on it stays with it.

    A device is known again by its machine's own name, so that is kept too.

    Raises:
        BadInput: the name is empty, or another device has it.
    """
    device = Device(id=store.device.id, name=name.strip())
    if not device.name:
        raise BadInput("settings.needs_device_name")
    with store.writing(clock()) as w:
        others = [one for one in w.all(Device) if one.id != device.id]
        if any(one.name == device.name for one in others):
            raise BadInput("settings.device_name_taken", name=device.name)
        known = [p for p in w.all(Preference, value=str(device.id)) if p.key.startswith(MACHINE)]
        if not known:
            before = w.get(Device, device.id)
            w.add(Preference(id=uuid4(), key=f"{MACHINE}{before.name}", value=str(device.id)))
        w.change(device)
    return Done(device, Touched.SETTINGS)


def say_drained(
    store: Store, rule: DrainedRule, *, clock: Callable[[], datetime]
) -> Done[DrainedRule]:
    """Say what this person means by drained; brews from now on are timed so."""
    kit = kit_in_use(store)
    if kit is None:
        raise ValueError("no kitchen yet")
    change_thing(store, replace(kit.kitchen, drained_rule=rule), clock=clock)
    return Done(rule, Touched.KIT | Touched.SETTINGS)


def units_of(store: Store) -> Units:
    """Return the units this person reads and types; grams and degrees Celsius where unsaid."""
    with store.reading() as r:
        temperature, weight = _newest(r, TEMPERATURE), _newest(r, WEIGHT)
    # What a later release may have kept there is none of the units known here.
    return Units(
        temperature=TemperatureUnit(temperature)
        if temperature in set(TemperatureUnit)
        else TemperatureUnit.CELSIUS,
        weight=WeightUnit(weight) if weight in set(WeightUnit) else WeightUnit.GRAM,
    )


def choose_units(store: Store, units: Units, *, clock: Callable[[], datetime]) -> Done[Units]:
    """Keep the units this person reads and types; what is stored keeps its own."""
    with store.writing(clock()) as w:
        for key, value in ((TEMPERATURE, units.temperature), (WEIGHT, units.weight)):
            if _newest(w, key) != value:
                w.add(Preference(id=uuid4(), key=key, value=value.value))
    return Done(units, Touched.SETTINGS)


def _newest(r: Reader, key: str) -> str | None:
    chosen = r.all(Preference, key=key)
    return chosen[-1].value if chosen else None
