"""The demo's scenario, read from resources: a few invented coffees, a kit and a break."""

import tomllib
from pathlib import Path
from typing import Any

import msgspec

import halfclick_resources


class KitScenario(msgspec.Struct, frozen=True, kw_only=True):
    """What the invented person brews with."""

    grinder: str
    clicks_per_turn: int
    step_um: float
    purge_g: float
    dripper: str
    paper: str
    kettle: str
    water: str
    server: str
    server_capacity_g: float
    altitude_m: float


class ZeroScenario(msgspec.Struct, frozen=True, kw_only=True):
    """The break: before which of all brews, and where the burrs meet from then on."""

    before_brew: int
    reading: str
    note: str


class CoffeeScenario(msgspec.Struct, frozen=True, kw_only=True):
    """One invented coffee: its label, when it is brewed, how the toy lets it drain and taste."""

    name: str
    roaster: str
    origin: str
    process: str
    roast: str
    altitude_m: float
    note: str
    weight_g: float
    roasted_before_days: int
    first_day: int
    brews: int
    every_days: int
    setting: str
    best_steps: int
    drained_s: float
    drift_s: float
    good_words: tuple[str, ...]
    sour_words: tuple[str, ...]
    bitter_words: tuple[str, ...]
    decaf: bool = False
    frozen_after_days: int | None = None


class Scenario(msgspec.Struct, frozen=True, kw_only=True):
    """The whole scenario."""

    seed: int
    begins_days_ago: int
    person: str
    device: str
    kit: KitScenario
    zero: ZeroScenario
    coffees: tuple[CoffeeScenario, ...]
    refused: tuple[str, ...]
    notes: tuple[str, ...]


def load_scenario() -> Scenario:
    """Return the scenario that comes with the program."""
    place = Path(halfclick_resources.__path__[0]) / "demo" / "scenario.toml"
    told: dict[str, Any] = tomllib.loads(place.read_text("utf-8"))
    return msgspec.convert(told, Scenario)
