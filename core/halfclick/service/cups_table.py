"""Every cup as one flat row, the way a spreadsheet wants it: units in the column names."""

from collections.abc import Callable, Iterator
from datetime import tzinfo
from uuid import UUID

from halfclick.model.brew import Brew
from halfclick.model.changes import told
from halfclick.model.coffee import Bag, Coffee, Lot, age_days
from halfclick.model.grinder import Grinder
from halfclick.model.kit import Dripper, Paper
from halfclick.model.tasting import Mark, Marks, Tasting
from halfclick.service.cups import Cup
from halfclick.service.measured import measured
from halfclick.store.journal import Reader
from halfclick.wording import Message

Said = Callable[[tuple[Message, ...]], str]

COLUMNS = (
    "coffee",
    "roaster",
    "process",
    "roast",
    "roasted_on",
    "age_days",
    "cup",
    "brewed_on",
    "brewed_at",
    "mode",
    "grinder",
    "setting",
    "setting_steps_from_zero",
    "dripper",
    "paper",
    "dose_g",
    "water_g",
    "ratio_g_per_g",
    "bloom_g",
    "bloom_s",
    "pours_after_bloom",
    "water_temperature_c",
    "drained_s",
    "drained_rule",
    "beverage_g",
    "strength_percent",
    "extraction_percent",
    *(f"{mark.value}_0_to_10" for mark in Mark),
    "strength_felt",
    "liking_1_to_9",
    "verdict",
    "complaints",
    "words",
    "bed",
    "slips",
    "counts_for",
    "changed",
    "why",
    "note",
    "brew_id",
)


def cup_rows(r: Reader, said: Said, zone: tzinfo | None) -> Iterator[dict[str, object]]:
    """Return a row a cup of every living coffee.

    Args:
        r: an open reading block.
        said: words messages.
        zone: where the person's days begin; None for this machine's.
    """
    grinders = {one.id: one.name for one in r.all(Grinder)}
    drippers = {one.id: one.name for one in r.all(Dripper)}
    papers: dict[UUID | None, str] = {one.id: one.name for one in r.all(Paper)}
    lots = {one.id: one for one in r.all(Lot)}
    bags = {one.id: one for one in r.all(Bag)}
    coffee_of = {bag.id: lots[bag.lot_id].coffee_id for bag in bags.values() if bag.lot_id in lots}
    cups = _cups_by_coffee(r, coffee_of)
    for coffee in r.all(Coffee):
        for cup in cups.get(coffee.id, []):
            kit, bag = cup.brew.kit, bags[cup.brew.bag_id]
            lot = lots[bag.lot_id]
            yield {
                "coffee": coffee.name,
                "roaster": coffee.roaster,
                "process": coffee.process,
                "roast": coffee.roast,
                "roasted_on": lot.roasted_on,
                "age_days": age_days(lot, bag, cup.brew.started_at.astimezone(zone).date()),
                "grinder": grinders.get(kit.grinder_id),
                "dripper": drippers.get(kit.dripper_id),
                "paper": papers.get(kit.paper_id),
                **_of_brew(cup, said, zone),
                **_of_tasting(cup.tasting),
                **_measured(cup),
            }


def _cups_by_coffee(r: Reader, coffee_of: dict[UUID, UUID]) -> dict[UUID, list[Cup]]:
    """Return every coffee's cups, oldest first, in few readings of the whole journal."""
    corrects = {brew.id: brew.corrects_id for brew in r.all(Brew, corrected=True)}
    tastings: dict[UUID, list[Tasting]] = {}
    for tasting in r.all(Tasting):
        tastings.setdefault(tasting.brew_id, []).append(tasting)
    cups: dict[UUID, list[Cup]] = {}
    for brew in sorted(r.all(Brew), key=lambda brew: brew.started_at):
        if brew.bag_id not in coffee_of:
            continue
        found: list[Tasting] = []
        written: UUID | None = brew.id
        while written is not None:  # it keeps the tastings of what it corrects
            found += tastings.get(written, [])
            written = corrects.get(written)
        newest = max(found, key=lambda tasting: tasting.tasted_at, default=None)
        of_coffee = cups.setdefault(coffee_of[brew.bag_id], [])
        of_coffee.append(Cup(number=len(of_coffee) + 1, brew=brew, tasting=newest))
    return cups


def _of_brew(cup: Cup, said: Said, zone: tzinfo | None) -> dict[str, object]:
    brew, plan, poured = cup.brew, cup.brew.plan, cup.brew.poured
    started_at = brew.started_at.astimezone(zone)
    dose_g = _dose_g(brew)
    water_g = poured.water_g.value
    return {
        "cup": cup.number,
        "brewed_on": started_at.date(),
        "brewed_at": f"{started_at:%H:%M}",
        "mode": brew.mode,
        "setting": plan.setting.text if plan.setting else None,
        "setting_steps_from_zero": plan.setting.steps if plan.setting else None,
        "dose_g": dose_g,
        "water_g": water_g,
        "ratio_g_per_g": water_g / dose_g if water_g is not None else None,
        "bloom_g": poured.bloom_g.value,
        "bloom_s": plan.bloom_s,
        "pours_after_bloom": len(plan.pours) - 1,
        "water_temperature_c": poured.temperature_c.value,
        "drained_s": poured.drained_s.value,
        "drained_rule": brew.drained_rule,
        "slips": ", ".join(slip.kind for slip in brew.slips),
        "counts_for": brew.weight,
        "changed": said(tuple(told(change) for change in brew.changes)),
        "why": said(brew.why),
        "note": brew.note,
        "brew_id": str(brew.id),
    }


def _of_tasting(tasting: Tasting | None) -> dict[str, object]:
    marks = tasting.marks if tasting else Marks()
    row: dict[str, object] = {f"{mark.value}_0_to_10": marks.of(mark) for mark in Mark}
    if tasting is not None:
        row |= {
            "strength_felt": tasting.strength_felt,
            "liking_1_to_9": tasting.liking,
            "verdict": tasting.verdict,
            "complaints": ", ".join(tasting.complaints),
            "words": tasting.words,
            "bed": tasting.bed,
        }
    return row


def _measured(cup: Cup) -> dict[str, object]:
    """Return what was weighed and measured of the drink, shares in percent."""
    tasting, poured = cup.tasting, cup.brew.poured
    tasted_g = tasting.beverage_g if tasting else None
    strength = tasting.strength if tasting else None
    found = measured(
        cup.brew,
        strength=strength,
        beverage_g=tasted_g,
        # Of the dry dose where its water is known, else of the dose as it was weighed.
        dose_moisture=tasting.dose_moisture if tasting else None,
    )
    return {
        "beverage_g": tasted_g or poured.beverage_g.value,
        "strength_percent": None if strength is None else strength * 100.0,
        "extraction_percent": None if found is None else found.extraction * 100.0,
    }


def _dose_g(brew: Brew) -> float:
    return brew.poured.dose_g.value or brew.plan.dose_g
