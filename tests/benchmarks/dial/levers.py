"""The levers of the door as columns of an array: shape (b, 7), in the order of LEVERS."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEVERS = ("setting", "ratio", "water_c", "pour_g_s", "bloom_x", "bloom_s", "swirl")
SETTING, RATIO, WATER, POUR, BLOOM_X, BLOOM_S, SWIRL = range(7)

Settings = dict[str, float]


def grids_of(context: Mapping[str, Any]) -> tuple[Floats, ...]:
    """Return what each lever can be set to, one array a lever; one value where it is fixed."""
    dial = context["dial"]
    grids = [steps(dial["min"], dial["max"], dial["step"])]
    for name in LEVERS[1:]:
        lever = context["levers"].get(name)
        fixed = np.array([float(context["start"][name])])
        grids.append(fixed if lever is None else steps(*lever))
    return tuple(grids)


def steps(low: float, high: float, step: float) -> Floats:
    """Return low, low + step, ... up to high."""
    count = int(np.floor((high - low) / step + 1e-9)) + 1
    return np.round(low + step * np.arange(count), 6)


def as_row(settings: Mapping[str, float]) -> Floats:
    """Return settings as a row, shape (7,)."""
    return np.array([float(settings[name]) for name in LEVERS])


def as_settings(row: Sequence[float] | Floats) -> Settings:
    """Return a row as settings."""
    return {name: float(value) for name, value in zip(LEVERS, row, strict=True)}


def snapped(row: Floats, grids: Sequence[Floats]) -> Floats:
    """Return rows (..., 7) with each value moved to the nearest one that can be set."""
    out = np.array(row, dtype=float)
    for column, grid in enumerate(grids):
        nearest = np.abs(out[..., column, None] - grid).argmin(axis=-1)
        out[..., column] = grid[nearest]
    return out


def one_change_away(row: Floats, grids: Sequence[Floats]) -> Floats:
    """Return every row that differs from one row in one lever at most, itself first."""
    rows = [np.array(row)[None, :]]
    for column, grid in enumerate(grids):
        other = grid[np.abs(grid - row[column]) > 1e-9]
        moved = np.repeat(np.array(row)[None, :], len(other), axis=0)
        moved[:, column] = other
        rows.append(moved)
    return np.concatenate(rows)


def changed(before: Mapping[str, float], after: Mapping[str, float]) -> list[str]:
    """Return the names of the levers that two settings differ in."""
    return [name for name in LEVERS if abs(before[name] - after[name]) > 1e-6]
