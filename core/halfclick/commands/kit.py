"""`kit`: the things a person brews with, told once; without options, shown."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts
from halfclick.commands.finding import kit_there
from halfclick.commands.kit_change import changed_things
from halfclick.commands.typed import number_of, shortened, whole_of
from halfclick.errors import BadInput
from halfclick.model.grinder import Finer
from halfclick.model.kit import DrainedRule, DripperShape, ScaleCarries
from halfclick.model.numbering import Numbering, Scheme, print_reading
from halfclick.service.kitchens import (
    KitchenEntry,
    KitView,
    change_things,
    kit_in_use,
    set_up_kitchen,
)

_NAMES = {
    "grinder": "grinder_name",
    "dripper": "dripper_name",
    "paper": "paper_name",
    "kettle": "kettle_name",
    "water": "water_name",
    "server": "server_name",
}
_NUMBERS = {"step_um": "step_um", "purge_g": "purge_g", "capacity_g": "server_capacity_g"}
_LENGTHS = ("top", "bottom", "height")
_KINDS = {
    "finer": ("finer", Finer),
    "shape": ("shape", DripperShape),
    "scale_carries": ("scale_carries", ScaleCarries),
    "drained": ("drained_rule", DrainedRule),
}
_DIAL = ("scheme", "dial_step", "bases", "letters", "parts", "highest")


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Set the first kit up, change what is in use, or show it."""
    given = _given(options)
    if options.change:
        return _changed(bench, given)
    if not given:
        with bench.reading() as store:
            return _answer(bench, kit_there(store))
    with bench.writing() as store:
        if kit_in_use(store) is not None:
            raise BadInput("commands.kit_already")
        entry = KitchenEntry(**given)  # type: ignore[arg-type]
        set_up_kitchen(store, entry, clock=bench.clock)
        return _answer(bench, kit_there(store), did="made")


def _changed(bench: Bench, given: dict[str, object]) -> Answer:
    if not given:
        raise BadInput("commands.nothing_to_change")
    with bench.writing() as store:
        changed = changed_things(kit_there(store), given)
        if changed:
            change_things(store, changed, clock=bench.clock)
        return _answer(bench, kit_there(store), did="changed" if changed else "")


def _given(options: argparse.Namespace) -> dict[str, object]:
    """Return what was said of the kit, by the field of a first kit."""
    given: dict[str, object] = {}
    for option, name in _NAMES.items():
        if getattr(options, option) is not None:
            given[name] = getattr(options, option)
    for option, name in _NUMBERS.items():
        _put(given, name, number_of(_typed(option), getattr(options, option)))
    _put(given, "altitude_m", number_of("--altitude-m", options.altitude_m))
    for side in _LENGTHS:
        length_mm = number_of(f"--{side}-mm", getattr(options, f"{side}_mm"))
        _put(given, f"{side}_m", None if length_mm is None else length_mm / 1000)
    for option, (name, kind) in _KINDS.items():
        if getattr(options, option) is not None:
            given[name] = kind(getattr(options, option))
    if options.thermometer:
        given["kettle_has_thermometer"] = True
    _put(given, "numbering", _numbering(options))
    return given


def _put(given: dict[str, object], name: str, value: object) -> None:
    if value is not None:
        given[name] = value


def _typed(option: str) -> str:
    return f"--{option.replace('_', '-')}"


def _numbering(options: argparse.Namespace) -> Numbering | None:
    if all(getattr(options, one) is None for one in _DIAL):
        return None
    return Numbering(
        scheme=Scheme(options.scheme or Scheme.CLICKS),
        step=options.dial_step or "1",
        bases=_bases(options.bases),
        letters=whole_of("--letters", options.letters) or 0,
        parts=4 if options.parts is None else whole_of("--parts", options.parts) or 0,
        highest=options.highest or "",
    )


def _bases(text: str | None) -> tuple[int, ...]:
    if text is None:
        return ()
    parts = [part.strip() for part in text.split(",")]
    if len(parts) > 2 or not all(part.isascii() and part.isdigit() for part in parts):
        raise BadInput("commands.not_bases", text=shortened(text))
    if any(len(part) > 4 for part in parts):
        raise BadInput("numbering.bad_base")
    return tuple(int(part) for part in parts)


def _answer(bench: Bench, kit: KitView, *, did: str = "") -> Answer:
    kitchen, grinder = kit.kitchen, kit.grinder
    reading = print_reading(grinder.numbering, kit.zero.reading)
    things = {
        name: thing.name if thing else None
        for name, thing in (
            ("grinder", grinder),
            ("dripper", kit.dripper),
            ("paper", kit.paper),
            ("kettle", kit.kettle),
            ("water", kit.water),
            ("server", kit.server),
        )
    }
    facts: Facts = {
        **things,
        "made": did == "made",
        "changed": did == "changed",
        "scheme": grinder.numbering.scheme,
        "finer": grinder.finer,
        "step_um": grinder.step_um,
        "zero": reading,
        "zero_found": kit.zero.found,
        "shape": kit.dripper.shape,
        "altitude_m": kitchen.altitude_m,
        "scale_carries": kitchen.scale_carries,
        "drained": kitchen.drained_rule,
    }
    lines = [bench.words(f"commands.kit_{did}")] if did else []
    told = [name for name in things.values() if name]
    lines.append(bench.words("commands.kit_line", things=told, reading=reading))
    return Answer(facts=facts, lines=tuple(lines))
