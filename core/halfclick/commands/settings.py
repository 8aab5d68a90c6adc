"""`settings`: who writes, on what, and in which units it is told; shown or changed."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.finding import kit_there
from halfclick.errors import BadInput
from halfclick.model.kit import DrainedRule
from halfclick.service.settings import (
    choose_units,
    rename_device,
    rename_person,
    say_drained,
    units_of,
    who,
)
from halfclick.store.journal import Store
from halfclick.units import TemperatureUnit, Units, WeightUnit

_SAID = ("person", "device", "weight", "temperature", "drained")


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Change what was said, or show what holds."""
    if all(getattr(options, name) is None for name in _SAID):
        with bench.reading() as store:
            return _answer(bench, store)
    with bench.writing() as store:
        _require_names(options)
        if options.drained:
            kit_there(store)
        # The one name that may be refused by what the journal holds goes first.
        if options.device is not None:
            rename_device(store, options.device, clock=bench.clock)
        if options.person is not None:
            rename_person(store, options.person, clock=bench.clock)
        if options.weight or options.temperature:
            units = units_of(store)
            chosen = Units(
                weight=WeightUnit(options.weight or units.weight),
                temperature=TemperatureUnit(options.temperature or units.temperature),
            )
            choose_units(store, chosen, clock=bench.clock)
        if options.drained:
            say_drained(store, DrainedRule(options.drained), clock=bench.clock)
        return _answer(bench, store)


def _require_names(options: argparse.Namespace) -> None:
    if options.person is not None and not options.person.strip():
        raise BadInput("settings.needs_name")
    if options.device is not None and not options.device.strip():
        raise BadInput("settings.needs_device_name")


def _answer(bench: Bench, store: Store) -> Answer:
    person, device = who(store)
    units = units_of(store)
    facts: dict[str, object] = {
        "journal": str(store.path),
        "person": person.name,
        "device": device.name,
        "weight": units.weight,
        "temperature": units.temperature,
    }
    line = bench.words(
        "commands.settings_line",
        person=person.name,
        device=device.name,
        weight=units.weight.value,
        temperature=units.temperature.value,
    )
    return Answer(facts=facts, lines=(line,))
