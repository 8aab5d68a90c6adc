"""Rows of a table to cups: each read whole, or left out with its line and its reason."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from uuid import UUID, uuid5

from halfclick.errors import BadInput
from halfclick.model.tasting import Mark, Marks, Verdict
from halfclick.service import table_cells as cells
from halfclick.service.table_fields import Column, Matching
from halfclick.wording import Message

# Our own name space for identities that come from the content of a row (RFC 9562, version 5).
ROWS = UUID("0b6b7a0e-6f0a-5d0b-9a55-3f2a1c7d4e10")
# Where a spreadsheet tells only the day: a time of day has to be taken.
NOON = time(12)


@dataclass(frozen=True, slots=True, kw_only=True)
class CupRow:
    """One cup as a row of a table tells it."""

    line: int
    id: UUID
    coffee: str
    roaster: str = ""
    roasted_on: date | None = None
    brewed_at: datetime
    dose_g: float
    water_g: float
    temperature_c: float | None = None
    setting_text: str = ""
    drained_s: float | None = None
    beverage_g: float | None = None
    strength: float | None = None
    marks: Marks = Marks()  # noqa: RUF009 - frozen, so one may serve all
    liking: float | None = None
    verdict: Verdict | None = None
    words: str = ""
    note: str = ""

    @property
    def is_tasted(self) -> bool:
        """Whether the row tells anything of the taste."""
        said = (self.liking, self.verdict, self.strength, self.words or None)
        return self.marks != Marks() or any(one is not None for one in said)


@dataclass(frozen=True, slots=True, kw_only=True)
class BadRow:
    """A row that is left out, and why."""

    line: int
    why: Message


class RowReader:
    """Reads the rows of one table in their order.

    Args:
        matching: which column is what.
        zone: where the table's days and hours are meant; None for this machine's.
        now: nothing was brewed after it.
    """

    def __init__(self, matching: Matching, zone: tzinfo | None, now: datetime) -> None:
        self._matching = matching
        self._zone = zone
        self._now = now
        self._seen: Counter[str] = Counter()

    def read(self, line: int, row: Sequence[str]) -> CupRow | BadRow:
        """Return the cup of a row, or why there is none."""
        content = "\x1f".join(cell.strip() for cell in row).rstrip("\x1f")
        self._seen[content] += 1
        # The same content a second time in one file is a second cup, and stays the same one
        # when the file is read again.
        identity = uuid5(ROWS, f"{content}\x1e{self._seen[content]}")
        try:
            return self._cup(line, row, identity)
        except BadInput as error:
            return BadRow(line=line, why=Message(error.code, error.values))

    def _cup(self, line: int, row: Sequence[str], identity: UUID) -> CupRow:
        comma = self._matching.decimal_comma
        coffee = self._text(row, Column.COFFEE)
        if not coffee:
            raise BadInput("table.no_coffee")
        dose_g, water_g = self._dose_and_water(row)
        return CupRow(
            line=line,
            id=identity,
            coffee=coffee,
            roaster=self._text(row, Column.ROASTER),
            roasted_on=self._day(row, Column.ROASTED_ON),
            brewed_at=self._moment(row),
            dose_g=dose_g,
            water_g=water_g,
            temperature_c=self._temperature(row),
            setting_text=self._text(row, Column.SETTING),
            drained_s=self._drained(row),
            beverage_g=self._within(
                self._mass(row, Column.BEVERAGE), Column.BEVERAGE, row, 1, 20_000
            ),
            strength=self._strength(row),
            marks=Marks(**{mark.value: self._mark(row, mark) for mark in Mark}),
            liking=None
            if not (text := self._cell(row, Column.LIKING))
            else cells.liking(text, self._matching.unit(Column.LIKING), decimal_comma=comma),
            verdict=cells.verdict(self._cell(row, Column.VERDICT)),
            words=self._text(row, Column.WORDS),
            note=self._text(row, Column.NOTE),
        )

    def _cell(self, row: Sequence[str], column: Column) -> str:
        place = self._matching.columns.get(column)
        return row[place].strip() if place is not None and place < len(row) else ""

    def _text(self, row: Sequence[str], column: Column) -> str:
        return cells.text_in(self._cell(row, column))

    def _mass(self, row: Sequence[str], column: Column) -> float | None:
        text = self._cell(row, column)
        if not text:
            return None
        unit = self._matching.unit(column)
        return cells.mass_g(text, column, unit, decimal_comma=self._matching.decimal_comma)

    def _within(
        self, value: float | None, column: Column, row: Sequence[str], low: float, high: float
    ) -> float | None:
        if value is not None and not low <= value <= high:
            raise BadInput(f"table.bad_{column.value}", text=self._cell(row, column)[:30])
        return value

    def _dose_and_water(self, row: Sequence[str]) -> tuple[float, float]:
        dose_g = self._within(self._mass(row, Column.DOSE), Column.DOSE, row, 1, 500)
        water_g = self._within(self._mass(row, Column.WATER), Column.WATER, row, 3, 30_000)
        text = self._cell(row, Column.RATIO)
        if text and (dose_g is None or water_g is None):
            ratio = cells.ratio(text, decimal_comma=self._matching.decimal_comma)
            self._within(ratio, Column.RATIO, row, 3, 60)
            if dose_g is not None:
                water_g = round(dose_g * ratio, 1)
            elif water_g is not None:
                dose_g = round(water_g / ratio, 1)
        if dose_g is None or water_g is None:
            raise BadInput("table.no_dose_and_water")
        if not 1 <= dose_g <= 500 or not 3 <= water_g / dose_g <= 60:
            raise BadInput("recipe.bad_water", given_g=water_g, dose_g=dose_g)
        return dose_g, water_g

    def _temperature(self, row: Sequence[str]) -> float | None:
        text = self._cell(row, Column.TEMPERATURE)
        if not text:
            return None
        unit = self._matching.unit(Column.TEMPERATURE)
        value = cells.temperature_c(text, unit, decimal_comma=self._matching.decimal_comma)
        return self._within(value, Column.TEMPERATURE, row, 1, 101)

    def _drained(self, row: Sequence[str]) -> float | None:
        text = self._cell(row, Column.DRAINED)
        if not text:
            return None
        unit = self._matching.unit(Column.DRAINED)
        value = cells.duration_s(text, unit, decimal_comma=self._matching.decimal_comma)
        return self._within(value, Column.DRAINED, row, 5, 86_400)

    def _strength(self, row: Sequence[str]) -> float | None:
        text = self._cell(row, Column.STRENGTH)
        if not text:
            return None
        unit = self._matching.unit(Column.STRENGTH)
        value = cells.strength(text, unit, decimal_comma=self._matching.decimal_comma)
        return self._within(value, Column.STRENGTH, row, 0.000001, 0.199999)

    def _mark(self, row: Sequence[str], mark: Mark) -> float | None:
        column = Column(mark.value)
        text = self._cell(row, column)
        if not text:
            return None
        value = cells.number_in(text, column, decimal_comma=self._matching.decimal_comma)
        return self._within(value, column, row, 0, 10)

    def _day(self, row: Sequence[str], column: Column) -> date | None:
        text = self._cell(row, column)
        return cells.day_in(text, column, self._matching.unit(column)) if text else None

    def _moment(self, row: Sequence[str]) -> datetime:
        day = self._day(row, Column.BREWED_ON)
        if day is None:
            raise BadInput("table.no_day")
        at = cells.time_in(self._cell(row, Column.BREWED_AT)) or cells.time_in(
            self._cell(row, Column.BREWED_ON)
        )
        moment = datetime.combine(day, at or NOON)
        aware = moment.replace(tzinfo=self._zone) if self._zone else moment.astimezone()
        if day > self._now.astimezone(self._zone).date():
            raise BadInput("table.not_yet", on=day)
        return min(aware, self._now)


def read_rows(
    reader: RowReader, rows: Iterator[tuple[int, tuple[str, ...]]]
) -> Iterator[CupRow | BadRow]:
    """Return what each row comes to."""
    for line, row in rows:
        yield reader.read(line, row)
