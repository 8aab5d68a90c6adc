"""What to add to a person's water: doses for a kettle or a jug, what they bring, what binds."""

from dataclasses import dataclass
from uuid import UUID, uuid4

from halfclick.errors import BadInput
from halfclick.model.concentrate import Concentrate, Salt
from halfclick.model.kit import Water
from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.additions import Binds, Dose, Mix, Pair, Source, find_mix
from halfclick.physics.minerals.mixing import DEMINERALISED, mixed, with_added
from halfclick.physics.minerals.molar import Ion
from halfclick.physics.minerals.safe import check_added, check_stock, check_target
from halfclick.physics.minerals.salts import (
    ALKALINITY_SALTS,
    HARDNESS_SALTS,
    MG_PER_G,
    ions_of,
    stock_g_per_l,
    stock_strength_mg_l,
    weighing_share,
)
from halfclick.service.waters import pair_of
from halfclick.wording import Message

# Calcium hardness and alkalinity of a trade association's brewing-water page, 2009 version; its
# hardness is taken as total here.
USUAL_TARGET = Pair(hardness=68.0, alkalinity=40.0)
PURE = Pair(hardness=0.0, alkalinity=0.0)
# Weighed worse than this, a dose is better taken from a stock (our own default).
WORST_WEIGHING_SHARE = 0.05
# Less than this is hard to measure with a kitchen syringe (our own default).
LEAST_ML = 0.5
# The strength recipes of stock are given for, mg/L as CaCO3: 1 mL in a litre adds 1 mg/L.
STOCK_MG_L = 1000.0
# What is brought in below this is not told (our own default).
LEAST_TOLD_MG_L = 0.5
ML_PER_L = 1000.0
LEAST_MADE_G, MOST_MADE_G = 50.0, 50_000.0
# Ions that are told as brought along; hardness and alkalinity are what was asked for.
BESIDE = (Ion.SODIUM, Ion.POTASSIUM, Ion.CHLORIDE, Ion.SULFATE)


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """A salt at hand, and what its bottle is called; no name where it is dry."""

    source: Source
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MixWanted:
    """What a person wants of a water, and has.

    `diluting` is a second water; None with `demineralised` is pure water, else there is none.
    """

    water: Water
    target: Pair
    made_g: float
    demineralised: bool = False
    diluting: Water | None = None
    hardness_from: AtHand | None = None
    alkalinity_from: AtHand | None = None
    scale_step_g: float = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposed:
    """How to make a water: steps in order, then what it has, brings, and lacks."""

    mix: Mix
    steps: tuple[Message, ...]
    brings: tuple[Message, ...]
    lacks: tuple[Message, ...]
    notes: tuple[Message, ...]
    minerals: Minerals | None
    reached: bool


def propose_mix(wanted: MixWanted) -> Proposed:
    """Return how to make a water from what is at hand, as near to its target as that comes.

    Raises:
        BadInput: a water's hardness or alkalinity is not known; the target, the amount or a dose
            is absurd; a stock is beyond what dissolves.
    """
    water, diluting = _known(wanted.water), _diluting(wanted)
    check_target(wanted.target)
    if not LEAST_MADE_G <= wanted.made_g <= MOST_MADE_G:
        raise BadInput("mix.bad_amount", given_g=wanted.made_g)
    for at_hand in (wanted.hardness_from, wanted.alkalinity_from):
        if at_hand is not None and at_hand.source.g_per_l is not None:
            check_stock(at_hand.source.salt, at_hand.source.g_per_l)
    mix = find_mix(
        water,
        wanted.target,
        diluting=diluting,
        hardness_from=wanted.hardness_from.source if wanted.hardness_from else None,
        alkalinity_from=wanted.alkalinity_from.source if wanted.alkalinity_from else None,
    )
    added = added_ions(mix)
    minerals = _finished(wanted, mix, added)
    check_added(added, minerals)
    return Proposed(
        mix=mix,
        steps=_steps(wanted, mix),
        brings=_brings(added, minerals),
        lacks=tuple(
            Message(f"mix.{one.value}", {"result_mg_l": float(round(_bound(mix, one)))})
            for one in mix.binds
        ),
        notes=_notes(wanted, mix),
        minerals=minerals,
        reached=not mix.binds,
    )


def made_water(proposed: Proposed, name: str, record_id: UUID | None = None) -> Water:
    """Return the water that a proposal makes, to be kept in the kit.

    Raises:
        BadInput: it has no name.
    """
    return Water(
        id=record_id or uuid4(),
        name=name.strip(),
        hardness_mg_l=round(proposed.mix.result.hardness, 1),
        alkalinity_mg_l=round(proposed.mix.result.alkalinity, 1),
        minerals=proposed.minerals,
    )


def stock_grams(salt: Salt, carbonate_mg_l: float) -> float:
    """Return the salt in a litre of stock, g, for a strength in mg/L as CaCO3."""
    return stock_g_per_l(salt, carbonate_mg_l)


def stock_recipe(
    salt: Salt, *, g_per_l: float | None = None, litres: float = 1.0, scale_step_g: float = 0.1
) -> Message:
    """Return how to make a stock; of the usual one a millilitre adds a milligram a litre.

    Raises:
        BadInput: so much does not dissolve, or it cannot be weighed on this scale.
    """
    strength = stock_g_per_l(salt, STOCK_MG_L) if g_per_l is None else g_per_l
    check_stock(salt, strength)
    mass_g = strength * litres
    if weighing_share(mass_g, scale_step_g) > WORST_WEIGHING_SHARE:
        raise BadInput("stock.cannot_weigh", given_fine=mass_g, step_fine=scale_step_g)
    values: dict[str, object] = {
        "mass_fine": mass_g,
        "salt": Message(f"salt.{salt.value}"),
        "made_ml": litres * ML_PER_L,
        "adds_mg_l": stock_strength_mg_l(salt, strength) / ML_PER_L,
        "off": _percent(weighing_share(mass_g, scale_step_g)),
    }
    kind = "hardness" if salt in HARDNESS_SALTS else "alkalinity"
    return Message(f"stock.recipe_{kind}", values)


def check_bottle(stock: Concentrate) -> None:
    """Check that a stock may be kept: it dissolves, and is of food grade.

    Raises:
        BadInput: it is beyond what dissolves, or nobody said that it is of food grade.
    """
    check_stock(stock.salt, stock.g_per_l)
    if not stock.food_grade:
        raise BadInput("stock.not_food_grade")


def _percent(share: float) -> float:
    """Return percent for a sentence, with a decimal where it is small."""
    return round(share * 100, 1 if share < 0.1 else 0)


def added_ions(mix: Mix) -> dict[Ion, float]:
    """Return what the salts bring into a litre of the finished water, mg of each ion."""
    added: dict[Ion, float] = {}
    for dose in (mix.hardness_dose, mix.alkalinity_dose):
        for ion, mg in ions_of(dose.source.salt, dose.salt_mg_l).items() if dose else ():
            added[ion] = added.get(ion, 0.0) + mg
    return added


def salts_for(hardness: bool) -> tuple[Salt, ...]:
    """Return the salts that hardness, or alkalinity, can be had from."""
    return HARDNESS_SALTS if hardness else ALKALINITY_SALTS


def _known(water: Water) -> Pair:
    pair = pair_of(water)
    if pair is None:
        raise BadInput("mix.needs_figures", name=water.name)
    return pair


def _diluting(wanted: MixWanted) -> Pair | None:
    if wanted.diluting is not None:
        return _known(wanted.diluting)
    return PURE if wanted.demineralised else None


def _finished(wanted: MixWanted, mix: Mix, added: dict[Ion, float]) -> Minerals | None:
    """Return the ions of the finished water; None where those of a part are not known."""
    parts: list[tuple[Minerals, float]] = []
    if mix.water > 0:
        if wanted.water.minerals is None:
            return None
        parts.append((wanted.water.minerals, mix.water))
    if mix.diluting > 0:
        other = wanted.diluting.minerals if wanted.diluting else DEMINERALISED
        if other is None:
            return None
        parts.append((other, mix.diluting))
    return with_added(mixed(parts), mix.water + mix.diluting, added)


def _steps(wanted: MixWanted, mix: Mix) -> tuple[Message, ...]:
    if Binds.STOCK_WEAK in mix.binds:
        return ()
    steps = []
    if mix.water > 0:
        values: dict[str, object] = {
            "water_g": mix.water * wanted.made_g,
            "name": wanted.water.name,
        }
        steps.append(Message("mix.take", values))
    if mix.diluting > 0:
        name: object = wanted.diluting.name if wanted.diluting else Message("mix.demineralised")
        steps.append(Message("mix.take", {"water_g": mix.diluting * wanted.made_g, "name": name}))
    for dose, at_hand in (
        (mix.hardness_dose, wanted.hardness_from),
        (mix.alkalinity_dose, wanted.alkalinity_from),
    ):
        if dose is not None and at_hand is not None:
            steps.append(_dose_step(dose, at_hand, wanted.made_g))
    return tuple(steps)


def _dose_step(dose: Dose, at_hand: AtHand, made_g: float) -> Message:
    litres = made_g / ML_PER_L
    if dose.source.g_per_l is not None:
        values: dict[str, object] = {
            "dose_ml": dose.stock_ml_l * litres,
            "each_ml": dose.stock_ml_l,
            "name": at_hand.name,
        }
        return Message("mix.add_stock", values)
    return Message(
        "mix.add_dry",
        {
            "mass_fine": dose.salt_mg_l * litres / MG_PER_G,
            "each_fine": dose.salt_mg_l / MG_PER_G,
            "salt": Message(f"salt.{dose.source.salt.value}"),
        },
    )


def _brings(added: dict[Ion, float], minerals: Minerals | None) -> tuple[Message, ...]:
    found = []
    for ion in BESIDE:
        mg_l = added.get(ion, 0.0)
        if mg_l < LEAST_TOLD_MG_L:
            continue
        values: dict[str, object] = {
            "added_mg_l": mg_l,
            "ion": Message(f"mix.ion_{ion.value}"),
        }
        whole = getattr(minerals, ion.field) if minerals else None
        if whole is not None and whole > mg_l + LEAST_TOLD_MG_L:
            found.append(Message("mix.brings_to", {**values, "whole_mg_l": whole}))
        else:
            found.append(Message("mix.brings", values))
    return tuple(found)


def _bound(mix: Mix, binds: Binds) -> float:
    hard = binds in {Binds.HARDNESS_HIGH, Binds.HARDNESS_LOW}
    return mix.result.hardness if hard else mix.result.alkalinity


def _notes(wanted: MixWanted, mix: Mix) -> tuple[Message, ...]:
    """Return what to mind while measuring, and what to mind with what is added."""
    notes: list[Message] = []
    litres = wanted.made_g / ML_PER_L
    doses = [dose for dose in (mix.hardness_dose, mix.alkalinity_dose) if dose]
    for dose in doses:
        mass_g = dose.salt_mg_l * litres / MG_PER_G
        salt = Message(f"salt.{dose.source.salt.value}")
        if dose.source.g_per_l is not None:
            if dose.stock_ml_l * litres < LEAST_ML:
                notes.append(Message("mix.little_stock", {"least_ml": LEAST_ML, "salt": salt}))
        elif weighing_share(mass_g, wanted.scale_step_g) > WORST_WEIGHING_SHARE:
            values = {
                "salt": salt,
                "off": _percent(min(weighing_share(mass_g, wanted.scale_step_g), 1.0)),
                "stock_fine": stock_g_per_l(dose.source.salt, STOCK_MG_L),
            }
            notes.append(Message("mix.weigh_stock", values))
    if len(doses) > 1:
        notes.append(Message("mix.apart"))
    if doses:
        notes.append(Message("mix.food_grade"))
    return tuple(notes)
