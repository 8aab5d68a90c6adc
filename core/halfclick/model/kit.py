"""What a person brews with: dripper, paper, kettle, water, server, and their kitchen."""

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.minerals import MOST_MG_L, Minerals


class DripperShape(StrEnum):
    """The generic shape of a dripper."""

    STEEP_CONE = "steep_cone"
    FLAT_BOTTOM = "flat_bottom"
    WEDGE = "wedge"
    THICK_PAPER_CONE = "thick_paper_cone"
    IMMERSION = "immersion"


class PaperKind(StrEnum):
    """What the filter is made of."""

    WHITE = "white"
    BROWN = "brown"
    THICK = "thick"
    FAST = "fast"
    CLOTH = "cloth"
    METAL = "metal"


class ScaleCarries(StrEnum):
    """What stands on the scale while brewing: it decides what a reading means."""

    DRIPPER_AND_SERVER = "dripper_and_server"
    SERVER_ALONE = "server_alone"


class DrainedRule(StrEnum):
    """What a person means by drained; three are in use (common practice, no source)."""

    LAST_DROP = "last_drop"
    STREAM_BREAKS = "stream_breaks"
    BED_VISIBLE = "bed_visible"


class DripperMaterial(StrEnum):
    """What the body of a dripper or a kettle is made of: it decides how much heat it takes."""

    CERAMIC = "ceramic"
    GLASS = "glass"
    PLASTIC = "plastic"
    STEEL = "steel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dripper:
    """A dripper by shape, inside dimensions and body, where they are known.

    The bottom of a wedge is a slot: `bottom_length_m` long and `bottom_m` wide. `outlet_m` is the
    diameter of one of its `outlets`; `ribbed` says whether the paper stands off the wall.
    """

    id: UUID
    name: str
    shape: DripperShape
    top_m: float | None = None
    bottom_m: float | None = None
    height_m: float | None = None
    material: DripperMaterial | None = None
    mass_g: float | None = None
    outlets: int | None = None
    outlet_m: float | None = None
    bottom_length_m: float | None = None
    ribbed: bool | None = None

    def __post_init__(self) -> None:
        _require_name(self.name, "dripper")
        if not _within(self.mass_g, 5, 5_000):
            raise BadInput("dripper.bad_mass", given_g=self.mass_g)
        # The bounds of outlets are our own: from a pinhole to a bottom that is all open.
        if not _within(self.outlets, 1, 500):
            raise BadInput("dripper.bad_outlets", given=self.outlets)
        if self.outlet_m is not None and not 0.0003 <= self.outlet_m <= 0.2:
            raise BadInput("dripper.bad_outlet", given_mm=self.outlet_m * 1000)
        for name, least_m in (
            ("top_m", 0.02),
            ("height_m", 0.02),
            ("bottom_m", 0.0),
            ("bottom_length_m", 0.0),
        ):
            value = getattr(self, name)
            if value is not None and not least_m <= value <= 0.5:
                raise BadInput("dripper.bad_dimension", given_mm=value * 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A kind of filter; another kind is another recipe."""

    id: UUID
    name: str
    kind: PaperKind = PaperKind.WHITE

    def __post_init__(self) -> None:
        _require_name(self.name, "paper")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kettle:
    """A kettle: whether it tells its temperature, and its empty body where that is known."""

    id: UUID
    name: str
    has_thermometer: bool = False
    body_g: float | None = None
    material: DripperMaterial | None = None
    capacity_g: float | None = None

    def __post_init__(self) -> None:
        _require_name(self.name, "kettle")
        if not _within(self.body_g, 50, 10_000):
            raise BadInput("kettle.bad_body", given_g=self.body_g)
        if not _within(self.capacity_g, 50, 10_000):
            raise BadInput("kettle.bad_capacity", given_g=self.capacity_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """A water by name; hardness and alkalinity where known, mg/L as CaCO3, and what is in it."""

    id: UUID
    name: str
    hardness_mg_l: float | None = None
    alkalinity_mg_l: float | None = None
    minerals: Minerals | None = None
    tds_mg_l: float | None = None
    ph: float | None = None

    def __post_init__(self) -> None:
        _require_name(self.name, "water")
        for name in ("hardness_mg_l", "alkalinity_mg_l", "tds_mg_l"):
            value = getattr(self, name)
            if not _within(value, 0.0, MOST_MG_L):
                raise BadInput(f"water.bad_{name.removesuffix('_mg_l')}", given=value)
        if not _within(self.ph, 3, 11):
            raise BadInput("water.bad_ph", given=self.ph)


@dataclass(frozen=True, slots=True, kw_only=True)
class Server:
    """The server or mug under the dripper."""

    id: UUID
    name: str
    capacity_g: float | None = None
    empty_g: float | None = None

    def __post_init__(self) -> None:
        _require_name(self.name, "server")
        if self.capacity_g is not None and not 20 <= self.capacity_g <= 10_000:
            raise BadInput("server.bad_capacity", given_g=self.capacity_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """The kit in use together, and where it stands.

    `barometer_pa` is the pressure at the kitchen itself, not reduced to the sea; where it is
    there, it and not the altitude tells where water boils.
    """

    id: UUID
    name: str
    grinder_id: UUID
    dripper_id: UUID
    paper_id: UUID | None = None
    kettle_id: UUID | None = None
    water_id: UUID | None = None
    server_id: UUID | None = None
    altitude_m: float = 0.0
    scale_carries: ScaleCarries = ScaleCarries.DRIPPER_AND_SERVER
    drained_rule: DrainedRule = DrainedRule.LAST_DROP
    barometer_pa: float | None = None
    room_c: float | None = None

    def __post_init__(self) -> None:
        _require_name(self.name, "kitchen")
        if not -430 <= self.altitude_m <= 5500:
            raise BadInput("kitchen.bad_altitude", given_m=self.altitude_m)
        if self.barometer_pa is not None and not 50_000 <= self.barometer_pa <= 110_000:
            raise BadInput("kitchen.bad_barometer", given_hpa=self.barometer_pa / 100)
        if not _within(self.room_c, 5, 45):
            raise BadInput("kitchen.bad_room", given_c=self.room_c)


def _require_name(name: str, thing: str) -> None:
    if not name.strip():
        raise BadInput("kit.needs_name", thing=thing)


def _within(value: float | None, least: float, most: float) -> bool:
    """Return whether a value lies between two bounds; one that is not known does."""
    return value is None or least <= value <= most
