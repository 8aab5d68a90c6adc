"""How probable what was seen of the cups is, for each draw.

Axes: n draws, c cups, s cups that one quantity was seen of.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.discrepancy import MISS, Rotation, kernel, rotation_of, scaled
from halfclick.dialling.forward import STRENGTH_UNIT, Brews, Cups, cups_of
from halfclick.dialling.request import MARKS, WORD_FROM, Cup
from halfclick.dialling.unknowns import Draws

Floats = NDArray[np.float64]
# Errors have tails: Student's t of so many degrees (our own default).
TAILS = 5.0
# Everything is believed a little less than the form says, since the form is wrong (our own).
TEMPER = 0.9
# All cups of one day are marked and liked a little more or less than on another (our own defaults).
DAY = {"liking": 0.2, "marks": 0.35}
LAPSE = 0.04  # share of ticks that say nothing of the cup (our own default)
BEVERAGE_NOISE_G = 2.5
FELT_NOISE = 0.12  # percent of strength
COMPARED_NOISE = 1.3  # points of liking
# A bed looks uneven from about so much unevenness on, within such a width; one look in six tells
# nothing, since a bed may settle flat over a channel (our own defaults).
LOOKS_UNEVEN_AT = 0.5
LOOKS_UNEVEN_WIDTH = 0.5
BED_LAPSE = 1.0 / 12.0
LOGISTIC = 1.702  # the logistic function nearest to the normal distribution's


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was seen of a history of cups; nan where nobody looked.

    Attributes:
        brews: how the cups were brewed.
        seen: by quantity, (c,); the marks by their names.
        weight: how far each cup counts, (c,).
        ticked: 1, 0 or nan for each word, (5, c).
        felt: -1, 0, 1 or nan: weak, right, strong, (c,).
        better: 1, 0 or nan: than the cup before, (c,).
        bed_even: 1, 0 or nan: how the drained bed looked, (c,).
        same_day: 1 where two cups were drunk on one day that is told, else 0, (c, c).
        rotations: by quantity.
    """

    brews: Brews
    seen: dict[str, Floats]
    weight: Floats
    ticked: Floats
    felt: Floats
    better: Floats
    bed_even: Floats
    same_day: Floats
    rotations: dict[str, Rotation]


def evidence_of(brews: Brews, cups: Sequence[Cup]) -> Evidence:
    """Return what was seen of cups."""
    looks = [cup.seen for cup in cups]
    marks = [look.marks or {} for look in looks]
    seen = {
        "log_time": np.log(_column(_positive(look.time_s) for look in looks)),
        "beverage_g": _column(_positive(look.beverage_g) for look in looks),
        "strength": _column(look.strength_pct for look in looks),
        "liking": _column(look.liking for look in looks),
        **{mark: _column(given.get(mark) for given in marks) for mark in MARKS},
    }
    weight = np.array([1.0 if look.weight is None else look.weight for look in looks])
    ticked = np.stack(
        [
            _column(
                None if look.words is None or given.get(mark) is not None else mark in look.words
                for look, given in zip(looks, marks, strict=True)
            )
            for mark in MARKS
        ]
    )
    alike = kernel(scaled(brews), scaled(brews))
    days = _column(look.day_number for look in looks)
    same_day = np.asarray(days[:, None] == days, dtype=np.float64)
    return Evidence(
        brews=brews,
        seen=seen,
        weight=weight,
        ticked=ticked,
        felt=_column(
            {"weak": -1, "right": 0, "strong": 1, None: None}[look.strength_felt] for look in looks
        ),
        better=_column(look.better_than_last for look in looks),
        bed_even=_column(look.bed_even for look in looks),
        same_day=same_day,
        rotations={
            name: rotation_of(
                alike + (day_of(name) / miss_of(name)) ** 2 * same_day, np.isfinite(column), weight
            )
            for name, column in seen.items()
        },
    )


def log_likelihood(evidence: Evidence, draws: Draws) -> Floats:
    """Return the logarithm of how probable the cups are, up to a constant, (n,)."""
    cups = cups_of(draws, evidence.brews)
    total = np.zeros(len(cups.liking))
    for name, rotation in evidence.rotations.items():
        if len(rotation.which):
            residual = evidence.seen[name] - expected_of(cups, name)
            total += _tails(rotation, residual, miss_of(name), noise_of(name, draws, cups))
    for told in (_ticks, _felt, _better, _bed):
        total += told(evidence, draws, cups)
    return TEMPER * total


def expected_of(cups: Cups, name: str) -> Floats:
    """Return what is expected of one quantity, (n, c)."""
    if name in MARKS:
        return np.asarray(cups.marks[MARKS.index(name)])
    return np.asarray(getattr(cups, name))


def miss_of(name: str) -> float:
    """Return by how much the forward form may miss one quantity, a standard deviation."""
    return MISS["marks" if name in MARKS else name]


def day_of(name: str) -> float:
    """Return by how much a day leans in one quantity, a standard deviation."""
    return DAY.get("marks" if name in MARKS else name, 0.0)


def noise_of(name: str, draws: Draws, cups: Cups) -> Floats:
    """Return the standard deviation with which one quantity is seen, (n, 1)."""
    if name in MARKS:
        return draws["mark_noise"]
    if name == "liking":
        return draws["liking_noise"]
    if name == "log_time":
        return draws["time_noise"]
    if name == "strength":
        return draws["strength_noise"]
    return np.full((len(cups.liking), 1), BEVERAGE_NOISE_G)


def _tails(rotation: Rotation, residual: Floats, miss: float, noise: Floats) -> Floats:
    variance = noise * noise + miss * miss * rotation.spread  # (n, s)
    turned = rotation.turned(residual)
    heavy = (TAILS + 1.0) * np.log1p(turned * turned / (TAILS * variance))
    return np.asarray(-0.5 * (heavy + np.log(variance)).sum(axis=1))


def _ticks(evidence: Evidence, draws: Draws, cups: Cups) -> Floats:
    if not np.isfinite(evidence.ticked).any():
        return np.zeros(len(cups.liking))
    noise = np.sqrt(draws["mark_noise"] ** 2 + MISS["marks"] ** 2)
    ticks = evidence.ticked[:, None, :]  # (5, 1, c)
    over = np.where(ticks > 0.5, 1.0, -1.0) * (cups.marks - WORD_FROM) / noise
    said = np.log(LAPSE + (1.0 - 2.0 * LAPSE) * chance(over)) * evidence.weight
    return np.asarray(np.where(np.isfinite(ticks), said, 0.0).sum(axis=(0, 2)))


def _felt(evidence: Evidence, draws: Draws, cups: Cups) -> Floats:
    which = np.flatnonzero(np.isfinite(evidence.felt))
    if not len(which):
        return np.zeros(len(cups.liking))
    off = cups.stronger[:, which] * STRENGTH_UNIT - draws["felt_right_off"]
    weak = chance((-draws["felt_width"] - off) / FELT_NOISE)
    strong = chance((off - draws["felt_width"]) / FELT_NOISE)
    felt = evidence.felt[which]
    said = np.where(felt < 0, weak, np.where(felt > 0, strong, 1.0 - weak - strong))
    told = np.log(LAPSE + (1.0 - 3.0 * LAPSE) * np.maximum(said, 0.0))
    return np.asarray((told * evidence.weight[which]).sum(axis=1))


def _better(evidence: Evidence, draws: Draws, cups: Cups) -> Floats:
    which = np.flatnonzero(np.isfinite(evidence.better))
    which = which[which > 0]
    if not len(which):
        return np.zeros(len(cups.liking))
    gain = cups.liking[:, which] - cups.liking[:, which - 1]
    sign = np.where(evidence.better[which] > 0.5, 1.0, -1.0)
    told = np.log(LAPSE + (1.0 - 2.0 * LAPSE) * chance(sign * gain / COMPARED_NOISE))
    return np.asarray((told * evidence.weight[which]).sum(axis=1))


def _bed(evidence: Evidence, draws: Draws, cups: Cups) -> Floats:
    which = np.flatnonzero(np.isfinite(evidence.bed_even))
    if not len(which):
        return np.zeros(len(cups.liking))
    over = (cups.uneven[:, which] - LOOKS_UNEVEN_AT) / LOOKS_UNEVEN_WIDTH
    looked = np.where(evidence.bed_even[which] > 0.5, -1.0, 1.0)
    told = np.log(BED_LAPSE + (1.0 - 2.0 * BED_LAPSE) * chance(looked * over))
    return np.asarray((told * evidence.weight[which]).sum(axis=1))


def chance(over: Floats) -> Floats:
    """Return about the share of a standard normal that lies below, by the logistic function."""
    return np.asarray(1.0 / (1.0 + np.exp(-LOGISTIC * np.clip(over, -20.0, 20.0))))


def _positive(value: float | None) -> float | None:
    return value if value else None


def _column(values: Iterable[float | None]) -> Floats:
    told = [np.nan if value is None else float(value) for value in values]
    return np.array(told, dtype=np.float64)
