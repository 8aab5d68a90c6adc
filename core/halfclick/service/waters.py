"""What a water is: its figures, where it lies in the published ranges, and what to beware of."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from halfclick.model.kit import Water
from halfclick.model.minerals import Minerals
from halfclick.model.preference import Preference
from halfclick.physics.minerals.additions import Pair
from halfclick.physics.minerals.calcite import Scaling, saturation_index, scaling_of
from halfclick.physics.minerals.corrosion import corrosion_of
from halfclick.physics.minerals.figures import (
    alkalinity_mg_l,
    calcium_hardness_mg_l,
    hardness_mg_l,
)
from halfclick.physics.minerals.hardness_units import HardnessUnit, from_mg_l
from halfclick.physics.minerals.molar import CALCIUM_CARBONATE_G, Ion, ion_mass_g
from halfclick.physics.minerals.plausible import (
    METER_HIGH,
    METER_LOW,
    balance,
    conductivity_us_cm,
    residue_can_be,
    residue_mg_l,
)
from halfclick.physics.minerals.ranges import PUBLISHED, Figure, Standing, standings
from halfclick.service.choices import choice, choose
from halfclick.service.done import Done
from halfclick.store.journal import Store
from halfclick.wording import Message

UNIT = "units.hardness"
# Hardness told twice, by its ions and by a strip, may differ by so much: a strip's step is 1 °dH
# or so (from memory).
TOLD_TWICE_MG_L = 25.0
TOLD_TWICE_SHARE = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterReport:
    """What is known of a water; mg/L as CaCO3 where nothing else is said.

    `index` is how far calcite is past its solubility at 93 °C; `index_at_most` says that all the
    hardness was taken as calcium, since nobody told its parts.
    """

    hardness: float | None
    calcium_hardness: float | None
    alkalinity: float | None
    index: float | None
    index_at_most: bool
    scaling: Scaling | None
    conductivity_us_cm: float | None
    standings: tuple[tuple[str, tuple[Standing, ...]], ...]
    doubts: tuple[Message, ...]
    cautions: tuple[Message, ...]


def report_of(water: Water) -> WaterReport:
    """Return what a water's figures say of it."""
    minerals = water.minerals
    figures = figures_of(water)
    taken, at_most = _for_scale(water)
    index = saturation_index(taken) if taken else None
    known = taken is not None or figures.get(Figure.ALKALINITY) == 0.0
    whole = minerals is not None and balance(minerals) is not None
    return WaterReport(
        hardness=figures[Figure.HARDNESS],
        calcium_hardness=figures[Figure.CALCIUM_HARDNESS],
        alkalinity=figures[Figure.ALKALINITY],
        index=index,
        index_at_most=at_most,
        scaling=scaling_of(index) if known else None,
        conductivity_us_cm=conductivity_us_cm(minerals) if minerals and whole else None,
        standings=tuple((one.name, standings(one, figures)) for one in PUBLISHED),
        doubts=_doubts(water),
        cautions=_cautions(water, figures[Figure.ALKALINITY]),
    )


def figures_of(water: Water) -> dict[Figure, float | None]:
    """Return a water's figures; hardness and alkalinity of its ions before those told of it."""
    minerals = water.minerals
    hardness = hardness_mg_l(minerals) if minerals else None
    alkalinity = alkalinity_mg_l(minerals) if minerals else None
    return {
        Figure.HARDNESS: water.hardness_mg_l if hardness is None else hardness,
        Figure.CALCIUM_HARDNESS: calcium_hardness_mg_l(minerals) if minerals else None,
        Figure.ALKALINITY: water.alkalinity_mg_l if alkalinity is None else alkalinity,
        Figure.TDS: water.tds_mg_l,
        Figure.SODIUM: minerals.sodium_mg_l if minerals else None,
        Figure.PH: water.ph,
    }


def pair_of(water: Water) -> Pair | None:
    """Return a water's hardness and alkalinity; None unless both are known."""
    figures = figures_of(water)
    hardness, alkalinity = figures[Figure.HARDNESS], figures[Figure.ALKALINITY]
    if hardness is None or alkalinity is None:
        return None
    return Pair(hardness=hardness, alkalinity=alkalinity)


def told(water: Water) -> Water:
    """Return a water whose hardness and alkalinity are those of its ions, where these tell them."""
    figures = figures_of(water)
    return replace(
        water,
        hardness_mg_l=figures[Figure.HARDNESS],
        alkalinity_mg_l=figures[Figure.ALKALINITY],
    )


def hardness_unit(store: Store) -> HardnessUnit:
    """Return the unit this person reads hardness in; mg/L as CaCO3 where unsaid."""
    chosen = choice(store, UNIT)
    return HardnessUnit(chosen) if chosen in set(HardnessUnit) else HardnessUnit.MG_L


def choose_hardness_unit(
    store: Store, unit: HardnessUnit, *, clock: Callable[[], datetime]
) -> Done[Preference]:
    """Keep the unit this person reads hardness in; what is stored stays in mg/L.

    Raises:
        StoreError: the journal cannot be written.
    """
    return choose(store, UNIT, unit.value, clock=clock)


def in_unit(mg_l: float, unit: HardnessUnit, *, alkalinity: bool = False) -> Message:
    """Return hardness or alkalinity as a person reads it, e.g. "68 mg/L" or "3.8 °dH"."""
    value = from_mg_l(mg_l, unit, alkalinity=alkalinity)
    return Message(f"hardness_unit.value_{unit.value}", {"value": _shown(value, unit)})


def _shown(value: float, unit: HardnessUnit) -> float:
    # A strip or a label does not know tenths of a milligram.
    return round(value) if unit is HardnessUnit.MG_L else round(value, 2 if value < 1 else 1)


def _for_scale(water: Water) -> tuple[Minerals | None, bool]:
    """Return the ions that scale is reckoned from, and whether calcium is an upper bound."""
    minerals = water.minerals
    if minerals and minerals.calcium_mg_l is not None and minerals.bicarbonate_mg_l is not None:
        return minerals, False
    pair = pair_of(water)
    if pair is None:
        return None, False
    calcium = pair.hardness / CALCIUM_CARBONATE_G * ion_mass_g(Ion.CALCIUM)
    bicarbonate = pair.alkalinity / CALCIUM_CARBONATE_G * 2 * ion_mass_g(Ion.BICARBONATE)
    return Minerals(calcium_mg_l=calcium, bicarbonate_mg_l=bicarbonate), True


def _doubts(water: Water) -> tuple[Message, ...]:
    """Return what cannot be of what was told."""
    found: list[Message] = []
    minerals = water.minerals
    if minerals is None:
        return ()
    charges = balance(minerals)
    if charges is not None and not charges.can_be:
        missing = "negative" if charges.off_share > 0 else "positive"
        found.append(
            Message(
                f"water_doubt.charges_{missing}",
                {"one": charges.positive_meq_l, "other": charges.negative_meq_l},
            )
        )
    if water.tds_mg_l is not None and not residue_can_be(minerals, water.tds_mg_l):
        values = {
            "told_mg_l": water.tds_mg_l,
            "computed_mg_l": float(round(residue_mg_l(minerals))),
        }
        meter = conductivity_us_cm(minerals)
        values |= {"low_mg_l": round(meter * METER_LOW), "high_mg_l": round(meter * METER_HIGH)}
        found.append(Message("water_doubt.residue", values))
    for name, by_ions, by_strip in (
        ("hardness", hardness_mg_l(minerals), water.hardness_mg_l),
        ("alkalinity", alkalinity_mg_l(minerals), water.alkalinity_mg_l),
    ):
        if by_ions is None or by_strip is None:
            continue
        if abs(by_ions - by_strip) > max(TOLD_TWICE_MG_L, TOLD_TWICE_SHARE * by_ions):
            values = {"ions_mg_l": float(round(by_ions)), "told_mg_l": float(round(by_strip))}
            found.append(Message(f"water_doubt.{name}", values))
    return tuple(found)


def _cautions(water: Water, alkalinity: float | None) -> tuple[Message, ...]:
    corrosion = corrosion_of(water.minerals, alkalinity)
    return (Message(f"water_caution.{corrosion.value}"),) if corrosion else ()
