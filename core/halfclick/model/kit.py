"""What a person brews with: dripper, paper, kettle, water, server, and their kitchen."""

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

from halfclick.errors import BadInput


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
    """What the body of a dripper is made of: it decides how much heat a cold one takes."""

    CERAMIC = "ceramic"
    GLASS = "glass"
    PLASTIC = "plastic"
    STEEL = "steel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dripper:
    """A dripper by shape, inside dimensions and body, where they are known."""

    id: UUID
    name: str
    shape: DripperShape
    top_m: float | None = None
    bottom_m: float | None = None
    height_m: float | None = None
    material: DripperMaterial | None = None
    mass_g: float | None = None

    def __post_init__(self) -> None:
        _require_name(self.name, "dripper")
        if self.mass_g is not None and not 5 <= self.mass_g <= 5_000:
            raise BadInput("dripper.bad_mass", given_g=self.mass_g)
        for name in ("top_m", "height_m"):
            value = getattr(self, name)
            if value is not None and not 0.02 <= value <= 0.5:
                raise BadInput("dripper.bad_dimension", given_mm=value * 1000)
        if self.bottom_m is not None and not 0.0 <= self.bottom_m <= 0.5:
            raise BadInput("dripper.bad_dimension", given_mm=self.bottom_m * 1000)


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
    """A kettle, and whether it tells its temperature."""

    id: UUID
    name: str
    has_thermometer: bool = False

    def __post_init__(self) -> None:
        _require_name(self.name, "kettle")


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """A water by name; hardness and alkalinity where known, mg/L as CaCO3."""

    id: UUID
    name: str
    hardness_mg_l: float | None = None
    alkalinity_mg_l: float | None = None

    def __post_init__(self) -> None:
        _require_name(self.name, "water")
        for name in ("hardness_mg_l", "alkalinity_mg_l"):
            value = getattr(self, name)
            # Drinking waters lie well below; the bound only keeps out what cannot be.
            if value is not None and not 0.0 <= value <= 5_000.0:
                raise BadInput(f"water.bad_{name.removesuffix('_mg_l')}", given=value)


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
    """The kit in use together, and where it stands."""

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

    def __post_init__(self) -> None:
        _require_name(self.name, "kitchen")
        if not -430 <= self.altitude_m <= 5500:
            raise BadInput("kitchen.bad_altitude", given_m=self.altitude_m)


def _require_name(name: str, thing: str) -> None:
    if not name.strip():
        raise BadInput("kit.needs_name", thing=thing)
