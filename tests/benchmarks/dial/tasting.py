"""From a cup to what a person marks, noiseless, 0 to 10: three families that differ in form.

Order of the marks: sour, bitter, thin, harsh, sweet. Each function takes a Cup and a Palate and
returns shape (5, b).
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from dial.cup import Cup
from dial.levers import Floats

MARKS = ("sour", "bitter", "thin", "harsh", "sweet")


class TasteFamily(StrEnum):
    """How marks come about."""

    PANEL = "panel"
    THRESHOLDS = "thresholds"
    COMPOUNDS = "compounds"


@dataclass(frozen=True, slots=True, kw_only=True)
class Palate:
    """How one person tastes one coffee, and writes it down.

    `ripe_pct` is the extraction at which this coffee is neither raw nor spent to this person, and
    `usual_pct` the strength that neither lacks nor exceeds. `gain` and `bias` are of each mark,
    `mixes` how much of bitter is called sour and the other way round, `opposite` the sign with
    which the strength moves harsh and sweet, which differs between people.
    """

    family: TasteFamily
    ripe_pct: float
    usual_pct: float
    sharpness: float
    acidity: float
    roastiness: float
    gain: tuple[float, ...]
    bias: tuple[float, ...]
    mixes: float
    opposite: float
    hides: float


def marks_of(cup: Cup, palate: Palate) -> Floats:
    """Return the marks a person would give without noise, shape (5, b), 0 to 10."""
    raw = _FAMILIES[palate.family](cup, palate)
    sour, bitter = raw[0], raw[1]
    mixed = raw.copy()
    mixed[0] = (1 - palate.mixes) * sour + palate.mixes * bitter
    mixed[1] = (1 - palate.mixes) * bitter + palate.mixes * sour
    written = np.array(palate.gain)[:, None] * mixed + np.array(palate.bias)[:, None]
    return np.clip(written, 0.0, 10.0)


def _panel(cup: Cup, palate: Palate) -> Floats:
    """Lines in strength and extraction: slopes of the share of 118 people who ticked each word.

    Cotter, Ristenpart & Guinard's open data (Dryad 10.25338/B8993H), our least squares: sour
    .336 + .465 a % - .0156 a point, bitter .304 + .392 + .0021, astringent .113 + .099 - .0032,
    sweet .193 - .211 - .0018, intensity as "just right" 2.78 + 1.41. A share is no intensity: the
    factor from share to mark (14 to 16 here) is ours, as are the terms of unevenness, which that
    study did not vary.
    """
    by_s = cup.strength_pct - palate.usual_pct
    by_e = cup.extraction_pct - palate.ripe_pct
    amp = 11.0 + 4.0 * palate.sharpness
    u = cup.uneven
    sour = 3.2 * palate.acidity + amp * (0.465 * by_s - 0.0312 * by_e) + 2.0 * u
    bitter = 2.9 * palate.roastiness + amp * (0.392 * by_s + 0.0120 * by_e) + 1.2 * u
    thin = 2.6 - 12.0 * by_s - 0.1 * by_e + 1.0 * u
    harsh = 1.0 + amp * (0.099 * palate.opposite * by_s - 0.0032 * by_e) + 5.5 * u + 4.0 * cup.harm
    sweet = 5.0 - amp * (0.211 * palate.opposite * by_s + 0.0018 * by_e) - 3.5 * u - cup.harm
    return np.stack([sour, bitter, thin, harsh, sweet])


def _thresholds(cup: Cup, palate: Palate) -> Floats:
    """Nothing until a threshold, then steep: what was under or over it in a part of the bed.

    Directions as the trade tells them (common practice, no source).
    """
    width = 1.5 / palate.sharpness
    under = cup.extraction_pct - 5.0 * cup.uneven
    over = cup.extraction_pct + 4.0 * cup.uneven
    sour = 4.5 * _soft((palate.ripe_pct - 0.8 - under) / width) * palate.acidity
    spent = _soft((over - palate.ripe_pct - 1.0) / width)
    heavy = _soft((cup.strength_pct - palate.usual_pct - 0.12) / 0.13)
    bitter = (3.2 * spent + 2.6 * heavy) * palate.roastiness
    thin = 4.4 * _soft((palate.usual_pct - 0.09 - cup.strength_pct) / 0.13)
    harsh = 4.0 * _soft((cup.uneven - 0.42) / 0.12) + 1.6 * spent + 4.5 * cup.harm
    off = (cup.extraction_pct - palate.ripe_pct) / (3.4 / palate.sharpness)
    sweet = 6.5 / (1 + off**2) * (1 - 0.55 * cup.uneven) - 0.5 * heavy * palate.opposite
    return np.stack([sour, bitter, thin, harsh, sweet])


def _compounds(cup: Cup, palate: Palate) -> Floats:
    """Saturating in what is dissolved, each taste hiding others: quick pool sour, last bitter."""
    sugar = cup.middle_pct / (1 + 1.5 * cup.uneven)
    acid = cup.quick_pct * palate.acidity
    spent = (cup.last_pct * 2.6 + 0.25 * cup.strength_pct) * palate.roastiness
    scale = palate.usual_pct
    raw = acid / np.maximum(sugar, 0.05)  # quick over middle: high in a raw cup
    sour = 10 * _hill(acid / scale * raw, 0.68, 3.0) / (1 + palate.hides * sugar / scale)
    bitter = 10 * _hill(spent / scale, 0.82, 4.0) / (1 + 0.4 * palate.hides * sugar / scale)
    thin = 10 * (1 - _hill(cup.strength_pct / scale, 0.86, 9.0 * palate.sharpness))
    dry = cup.uneven + 0.9 * cup.harm + palate.opposite * 0.12 * (cup.strength_pct - scale)
    harsh = 10 * _hill(np.maximum(dry, 0.0), 0.62, 2.6)
    sweet = 12 * _hill(sugar / scale, 0.42, 3.0) / (1 + 0.08 * sour + 0.10 * bitter)
    return np.stack([sour, bitter, thin, harsh, sweet - 1.0])


def _soft(x: Floats) -> Floats:
    return np.asarray(np.logaddexp(0.0, 1.6 * x) / 1.6)


def _hill(x: Floats, half: float, power: float) -> Floats:
    rises = np.maximum(x, 0.0) ** power
    return np.asarray(rises / (rises + half**power))


_FAMILIES = {
    TasteFamily.PANEL: _panel,
    TasteFamily.THRESHOLDS: _thresholds,
    TasteFamily.COMPOUNDS: _compounds,
}
