"""A coffee's cups by strength and extraction, and where the next one is expected."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from halfclick.errors import CoreError
from halfclick.model.forecast import Band
from halfclick.service.cups import Cup, bags_of, cups_of_coffee
from halfclick.service.forecast import expect
from halfclick.service.kitchens import kit_in_use
from halfclick.service.learned import Learned, learn
from halfclick.service.measured import measured
from halfclick.service.plan import next_plan
from halfclick.store.journal import Store
from halfclick.wording import Message

# The box of an old brewing chart, from what one panel liked: strength and extraction as
# fractions. Lockhart (1957), The soluble solids in beverage coffee as an index to cup quality
# (from memory). A reference and no target: what this person likes may lie anywhere.
CLASSIC_STRENGTH = (0.0115, 0.0135)
CLASSIC_EXTRACTION = (0.18, 0.22)
# Said to so many decimals of a fraction.
DIGITS = {"strength": 4, "extraction": 3}


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanePoint:
    """One cup whose strength was measured; both fractions."""

    number: int
    brewed_on: date
    strength: float
    extraction: float
    is_good: bool


Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class LikedZone:
    """Where a person likes a coffee, as lines in pieces of extraction and strength, fractions.

    `likely` is around where more beliefs than not like a cup, `perhaps` around where one of five
    does. `last` are the bands of the last cup's extraction and strength as it is believed.
    """

    likely: tuple[Line, ...]
    perhaps: tuple[Line, ...]
    last: tuple[Band, Band]
    last_number: int

    @property
    def extent(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Every extraction and every strength that is to be in sight."""
        ends = [end for piece in (*self.perhaps, *self.likely) for end in piece]
        across = (*(one[0] for one in ends), self.last[0][0], self.last[0][2])
        return across, (*(one[1] for one in ends), self.last[1][0], self.last[1][2])


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """The measured cups, oldest first, and the bands of the next one where it can be told."""

    points: tuple[PlanePoint, ...]
    strength: Band | None = None
    extraction: Band | None = None
    zone: LikedZone | None = None

    @property
    def summary(self) -> tuple[Message, ...]:
        """What the plane shows, in sentences."""
        if not self.points:
            said = [Message("plane.none")]
        else:
            values: dict[str, object] = {"count": len(self.points)}
            for name in ("strength", "extraction"):
                of_cups = [getattr(point, name) for point in self.points]
                values |= {
                    f"low_{name}_strength": round(min(of_cups), DIGITS[name]),
                    f"high_{name}_strength": round(max(of_cups), DIGITS[name]),
                }
            said = [Message("plane.cups", values)]
        if self.strength and self.extraction:
            told = {
                f"{end}_{name}_strength": round(band[place], DIGITS[name])
                for name, band in (("strength", self.strength), ("extraction", self.extraction))
                for end, place in (("low", 0), ("high", 2))
            }
            said.append(Message("plane.next", told))
        return tuple(said)


def plane_of(
    store: Store, coffee_id: UUID, *, today: date, learned: Learned | None = None
) -> Plane:
    """Return a coffee's plane; it learns from the kit's brews, unless told: for a job.

    Raises:
        NotFound: the journal has no such coffee.
    """
    with store.reading() as r:
        cups = cups_of_coffee(r, coffee_id)
        bags = bags_of(r, coffee_id)
    points = measured_points(cups)
    kit = kit_in_use(store)
    if kit is None or not bags:
        return Plane(points=points)
    try:
        recipe = next_plan(store, bags[-1].id, today=today).recipe
    except CoreError:
        return Plane(
            points=points
        )  # nothing can be planned: what was measured is shown all the same
    if recipe.setting is None:
        return Plane(points=points)
    learned = learned or learn(store, kit)
    bands = expect(recipe, kit, learned, coffee_id=coffee_id).bands
    return Plane(points=points, strength=bands["strength"], extraction=bands["extraction"])


def measured_points(cups: Iterable[Cup]) -> tuple[PlanePoint, ...]:
    """Return the cups whose strength was measured, in their order."""
    return tuple(point for cup in cups if (point := _point(cup)) is not None)


def _point(cup: Cup) -> PlanePoint | None:
    tasting = cup.tasting
    if tasting is None or tasting.strength is None:
        return None
    found = measured(cup.brew, strength=tasting.strength, beverage_g=tasting.beverage_g)
    if found is None:
        return None
    return PlanePoint(
        number=cup.number,
        brewed_on=cup.brew.started_at.astimezone().date(),
        strength=tasting.strength,
        extraction=found.extraction,
        is_good=cup.is_good,
    )
