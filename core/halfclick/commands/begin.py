"""`begin`: make a new journal, with who writes in it and on what."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.errors import BadInput
from halfclick.service.settings import rename_device, rename_person, who
from halfclick.store.looking import is_there


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Make the journal; one that is there already is left as it is."""
    person, device = options.person, options.device
    if person is not None and not person.strip():
        raise BadInput("settings.needs_name")
    if device is not None and not device.strip():
        raise BadInput("settings.needs_device_name")
    if bench.path.exists() and is_there(bench.path):
        raise BadInput("commands.begun_already", path=str(bench.path))
    with bench.writing(made=True) as store:
        if person is not None:
            rename_person(store, person, clock=bench.clock)
        if device is not None:
            rename_device(store, device, clock=bench.clock)
        who_writes, on = who(store)
    facts: dict[str, object] = {
        "journal": str(bench.path),
        "person": who_writes.name,
        "device": on.name,
    }
    line = bench.words(
        "commands.begun", path=str(bench.path), person=who_writes.name, device=on.name
    )
    return Answer(facts=facts, lines=(line, bench.words("commands.begun_next")))
