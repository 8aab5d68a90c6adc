"""Bring cups in from a table: looked at first, then every row that can be, or nothing."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from pathlib import Path
from uuid import UUID, uuid4, uuid5

from halfclick.brewing.finish import CLOCK_SD_S, DOSE_SD_G, READ_SD_G, TEMPERATURE_SD_C
from halfclick.errors import BadInput
from halfclick.model.brew import UNKNOWN, Brew, How, Mode, Poured, Reading
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.grinder import Setting, read_setting
from halfclick.model.recipe import Recipe, even_pours
from halfclick.model.tasting import Tasting
from halfclick.service.cups import bags_of
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import KitView, kit_in_use, used
from halfclick.service.table_fields import Column, Matching
from halfclick.service.table_rows import BadRow, CupRow, RowReader, read_rows
from halfclick.store.exchange.lines import Line, Stamps
from halfclick.store.exchange.merge import PORTION, write_new
from halfclick.store.exchange.progress import Progress
from halfclick.store.exchange.table_in import Table, rows_of
from halfclick.store.journal import Reader, Store, Writer
from halfclick.wording import Message

# How it was poured is not known of such a cup, so it says less than one of our own (our own
# default).
WEIGHT = 0.5
# More reasons than these are counted and not listed.
MOST_LISTED = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """What the rows of a table come to; nothing of it is written yet."""

    rows: tuple[CupRow, ...]
    bad: tuple[BadRow, ...]
    bad_count: int
    known: int  # rows that the journal has already
    new_coffees: tuple[str, ...]
    unread_settings: int  # written otherwise than this grinder's dial: kept as a note

    @property
    def new(self) -> int:
        """How many cups would be added."""
        return len(self.rows) - self.known


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtIn:
    """What was written."""

    cups: int
    coffees: int


def first_rows(
    table: Table,
    matching: Matching,
    *,
    clock: Callable[[], datetime],
    zone: tzinfo | None = None,
    most: int = 40,
) -> tuple[CupRow | BadRow, ...]:
    """Return what the first rows of a table come to, numbered as rows of the sheet."""
    reader = RowReader(matching, zone, clock())
    return tuple(reader.read(line, row) for line, row in enumerate(table.sample[:most], start=2))


def gather(
    store: Store,
    table: Table,
    matching: Matching,
    *,
    clock: Callable[[], datetime],
    progress: Progress,
    zone: tzinfo | None = None,
) -> Gathered:
    """Read a whole table; nothing is written.

    Raises:
        BadInput: there is no kit yet, a needed column is not matched, or the table cannot be read.
        Stopped: the person asked to stop.
    """
    kit = _kit(store)
    _require_columns(matching)
    reader = RowReader(matching, zone, clock())
    rows: list[CupRow] = []
    bad: list[BadRow] = []
    bad_count = 0
    for one in read_rows(reader, rows_of(table, progress=progress)):
        if isinstance(one, CupRow):
            rows.append(one)
        else:
            bad_count += 1
            bad += [one] if len(bad) < MOST_LISTED else []
    with store.reading() as r:
        known = len({row.id for row in rows} & {brew.id for brew in r.all(Brew, corrected=True)})
        there = {_key(coffee.name) for coffee in r.all(Coffee)}
    names = {_key(row.coffee): row.coffee for row in rows if _key(row.coffee) not in there}
    return Gathered(
        rows=tuple(rows),
        bad=tuple(bad),
        bad_count=bad_count,
        known=known,
        new_coffees=tuple(names.values()),
        unread_settings=sum(
            bool(row.setting_text) and _setting(kit, row.setting_text) is None for row in rows
        ),
    )


def bring_in_table(
    store: Store,
    gathered: Gathered,
    *,
    source: str,
    clock: Callable[[], datetime],
    progress: Progress,
) -> Done[BroughtIn]:
    """Write the cups of a table, all or nothing; those the journal has already are passed over.

    Args:
        store: the journal.
        gathered: what the table's rows come to.
        source: the file's name, kept with each cup.
        clock: tells the time.
        progress: how far it has come.

    Raises:
        StoreError: the journal cannot be written; nothing was kept.
        Stopped: the person asked to stop; nothing was kept.
    """
    kit = _kit(store)
    now = clock()
    with store.writing(now) as w:
        known = {brew.id for brew in w.all(Brew, corrected=True)}
        # Oldest first, so that a newer roast's bag is the newer bag.
        rows = sorted(gathered.rows, key=lambda row: (row.roasted_on or date.min, row.brewed_at))
        new = [row for row in rows if row.id not in known]
        shelf = _Shelf(w)
        stamps = Stamps(person_id=store.person.id, device_id=store.device.id, written_at=now)
        for start in range(0, len(new), PORTION):
            progress.step(start / len(new))
            made = [
                record
                for row in new[start : start + PORTION]
                for record in _records(row, shelf.bag_id(row), kit, source)
            ]
            for kind in (Brew, Tasting):
                lines = [Line(record=one, stamps=stamps) for one in made if isinstance(one, kind)]
                write_new(w.connection, kind, lines)
    brought = BroughtIn(cups=len(new), coffees=shelf.made)
    return Done(brought, Touched.COFFEES | Touched.BREWS)


class _Shelf:
    """Finds the bag of a row's coffee, and makes coffee, lot and bag where they are missing."""

    def __init__(self, w: Writer) -> None:
        self._w = w
        self._coffees = {_key(coffee.name): coffee.id for coffee in reversed(w.all(Coffee))}
        self._bags: dict[tuple[UUID, date | None], UUID] = {}
        self.made = 0

    def bag_id(self, row: CupRow) -> UUID:
        """Return the bag a row's cup was brewed from."""
        coffee_id = self._coffees.get(_key(row.coffee))
        if coffee_id is None:
            coffee = Coffee(id=uuid4(), name=row.coffee, roaster=row.roaster)
            self._w.add(coffee)
            self.made += 1
            coffee_id = self._coffees[_key(row.coffee)] = coffee.id
        place = coffee_id, row.roasted_on
        if place not in self._bags:
            self._bags[place] = _bag_there(self._w, *place) or self._new_bag(*place)
        return self._bags[place]

    def _new_bag(self, coffee_id: UUID, roasted_on: date | None) -> UUID:
        lot = Lot(id=uuid4(), coffee_id=coffee_id, roasted_on=roasted_on)
        bag = Bag(id=uuid4(), lot_id=lot.id)
        self._w.add(lot)
        self._w.add(bag)
        return bag.id


def _bag_there(r: Reader, coffee_id: UUID, roasted_on: date | None) -> UUID | None:
    """Return the bag of that roast; the oldest where the roast is not told."""
    for bag in bags_of(r, coffee_id):
        if roasted_on is None or r.get(Lot, bag.lot_id).roasted_on == roasted_on:
            return bag.id
    return None


def _records(row: CupRow, bag_id: UUID, kit: KitView, source: str) -> Iterator[Brew | Tasting]:
    setting = _setting(kit, row.setting_text)
    unread = row.setting_text if row.setting_text and setting is None else ""
    recipe = Recipe(
        dose_g=row.dose_g,
        water_g=row.water_g,
        pours=even_pours(row.dose_g, row.water_g),
        temperature_c=row.temperature_c,
        setting=setting,
    )
    yield Brew(
        id=row.id,
        bag_id=bag_id,
        kit=used(kit),
        started_at=row.brewed_at,
        mode=Mode.EXPERIMENT,
        plan=recipe,
        poured=Poured(
            dose_g=_reading(row.dose_g, DOSE_SD_G),
            water_g=_reading(row.water_g, READ_SD_G),
            temperature_c=_reading(row.temperature_c, TEMPERATURE_SD_C),
            beverage_g=_reading(row.beverage_g, READ_SD_G),
            # Which pouring it belongs to is not known, so it counts in no band of drained times.
            drained_s=_reading(row.drained_s, CLOCK_SD_S, How.ESTIMATED),
        ),
        drained_rule=kit.kitchen.drained_rule,
        weight=WEIGHT,
        why=(Message("table.why", {"source": source}),),
        note="\n".join(part for part in (row.note, unread) if part),
    )
    if row.is_tasted:
        yield Tasting(
            id=uuid5(row.id, "tasting"),
            brew_id=row.id,
            tasted_at=row.brewed_at,
            marks=row.marks,
            liking=row.liking,
            verdict=row.verdict,
            words=row.words,
            strength=row.strength,
            beverage_g=row.beverage_g,
        )


def _reading(value: float | None, sd: float, how: How = How.MEASURED) -> Reading:
    return UNKNOWN if value is None else Reading(value=value, sd=sd, how=how)


def _setting(kit: KitView, text: str) -> Setting | None:
    """Return the setting a text names; None where this grinder's dial is not written so."""
    if not text:
        return None
    try:
        return read_setting(kit.grinder, kit.zero, text)
    except BadInput:
        return None


def _require_columns(matching: Matching) -> None:
    if Column.COFFEE not in matching.columns:
        raise BadInput("table.needs_coffee")
    if Column.BREWED_ON not in matching.columns:
        raise BadInput("table.needs_day")
    masses = {Column.DOSE, Column.WATER, Column.RATIO} & matching.columns.keys()
    if len(masses) < 2:
        raise BadInput("table.needs_dose_and_water")


def _kit(store: Store) -> KitView:
    kit = kit_in_use(store)
    if kit is None:
        raise BadInput("table.needs_kit")
    return kit


def _key(name: str) -> str:
    return " ".join(name.casefold().split())


def source_of(path: Path) -> str:
    """Return what is kept of where a cup came from: the file's name, not where it lay."""
    return path.name[:80]
