"""Two brews side by side: what differs comes first, and no one change is blamed among several."""

from dataclasses import dataclass
from uuid import UUID

from halfclick.model.brew import Brew, Reading
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.grinder import Grinder, Zero
from halfclick.model.tasting import Mark, Tasting
from halfclick.service.cups import Cup, Place, cup_at, place_of, places_of_coffee
from halfclick.service.history import ages_of
from halfclick.service.inputs import changed_inputs, thing_names
from halfclick.store.journal import Reader, Store
from halfclick.wording import Message

# A bag that aged by so much is a thing that changed too (our own default: a week).
AGED_DAYS = 7

Value = float | str | Message | tuple[Message, ...] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing of both brews; `unit` names it as wording prints it, e.g. "water_g"."""

    code: str
    unit: str
    one: Value
    other: Value
    is_input: bool
    differs: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two cups side by side; `lines` has what differs first.

    `choices` holds every cup of the coffees compared, as they can be chosen, oldest first.
    """

    one: Cup
    other: Cup
    coffee_names: tuple[str, str]
    lines: tuple[Line, ...]
    said: Message
    choices: tuple[tuple[str, Place], ...]  # the coffee's name, and the cup's place in it


def compare(store: Store, one_id: UUID, other_id: UUID) -> Comparison:
    """Return two cups side by side.

    Raises:
        NotFound: the journal has no such brew, or it was deleted.
    """
    with store.reading() as r:
        one, one_age, coffee, places = _cup(r, one_id)
        other, other_age, other_coffee, other_places = _cup(r, other_id)
        sides = [_values(r, cup, age) for cup, age in ((one, one_age), (other, other_age))]
    changed = list(changed_inputs(one.brew, other.brew))
    if one_age is not None and other_age is not None and abs(one_age - other_age) >= AGED_DAYS:
        changed.append("age")
    if coffee.id != other_coffee.id:
        changed = ["coffee", *(name for name in changed if name != "bag")]
    lines = [
        Line(
            code=code,
            unit=unit,
            one=value,
            other=sides[1][code, unit],
            is_input=code in changed or code in _IS_INPUT,
            differs=value != sides[1][code, unit],
        )
        for (code, unit), value in sides[0].items()
        if _is_told(value) or _is_told(sides[1][code, unit])
    ]
    lines.sort(key=lambda line: not line.differs)
    names = (coffee.name, other_coffee.name)
    choices = [(coffee.name, place) for place in places]
    if other_coffee.id != coffee.id:
        choices += [(other_coffee.name, place) for place in other_places]
    return Comparison(
        one=one,
        other=other,
        coffee_names=names,
        lines=tuple(lines),
        said=_said(changed),
        choices=tuple(choices),
    )


_IS_INPUT = frozenset(
    {"setting", "dose", "planned_water", "poured_water", "temperature", "pours", "dripper", "paper"}
    | {"water", "kettle", "age", "grinder", "zero"}
)


def _is_told(value: Value) -> bool:
    return value is not None and value not in ("", ())


def _said(changed: list[str]) -> Message:
    things = tuple(Message(f"input.{name}") for name in changed)
    if not changed:
        return Message("compare.nothing_changed")
    code = "compare.one_changed" if len(changed) == 1 else "compare.several_changed"
    values: dict[str, object] = {"things": things}
    if len(changed) > 1:
        values["count"] = len(changed)
    return Message(code, values)


def _cup(r: Reader, brew_id: UUID) -> tuple[Cup, int | None, Coffee, tuple[Place, ...]]:
    """Return a cup, its bag's age, its coffee, and where every cup of that coffee stands."""
    bag = r.get(Bag, r.get(Brew, brew_id).bag_id)
    coffee = r.get(Coffee, r.get(Lot, bag.lot_id).coffee_id)
    places = places_of_coffee(r, coffee.id)
    cup = cup_at(r, place_of(places, brew_id))
    return cup, ages_of(r, (cup,))[cup.brew.id], coffee, places


def _values(r: Reader, cup: Cup, age: int | None) -> dict[tuple[str, str], Value]:
    """Return what is told of a cup by code and unit, in the order it is told."""
    brew, taste = cup.brew, cup.tasting
    plan, poured = brew.plan, brew.poured
    zero = r.find(Zero, brew.kit.zero_id)
    names = thing_names(r, brew)
    values: dict[tuple[str, str], Value] = {
        ("setting", "text"): plan.setting.text if plan.setting else None,
        ("dose", "dose_g"): _of(poured.dose_g, plan.dose_g),
        ("planned_water", "planned_g"): plan.water_g,
        ("poured_water", "water_g"): poured.water_g.value,
        ("temperature", "water_c"): _of(poured.temperature_c, plan.temperature_c),
        ("pours", "number"): float(len(plan.pours)),
        ("bloom", "bloom_g"): plan.bloom_g,
        ("drained", "drained_time_s"): poured.drained_s.value,
        ("beverage", "beverage_g"): poured.beverage_g.value,
        ("liking", "number"): taste.liking if taste else None,
        ("verdict", "text"): _word("verdict.", taste.verdict if taste else None),
        ("strength_felt", "text"): _felt(taste),
        ("strength", "strength"): taste.strength if taste else None,
    }
    for mark in Mark:
        values[f"mark_{mark.value}", "number"] = taste.marks.of(mark) if taste else None
    slips = tuple(Message(f"slip_kind.{slip.kind.value}") for slip in brew.slips)
    values |= {
        ("words", "text"): taste.words if taste else None,
        ("age", "days"): None if age is None else float(age),
        ("grinder", "text"): r.get(Grinder, brew.kit.grinder_id).name,
        ("zero", "date"): None if zero is None else f"{zero.found_on.isoformat()}",
        **{(name, "text"): text for name, text in names.items()},
        ("slips", "text"): slips or None,
        ("note", "text"): brew.note,
    }
    return values


def _of(reading: Reading, planned: float | None) -> float | None:
    return planned if reading.value is None else reading.value


def _felt(taste: Tasting | None) -> Message | None:
    if taste is None or taste.strength_felt is None:
        return None
    return Message(f"compare.felt_{taste.strength_felt.value}")


def _word(prefix: str, value: object) -> Message | None:
    return None if value is None else Message(f"{prefix}{value}")
