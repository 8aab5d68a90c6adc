"""Forms of the other things of a kit: dripper, paper, kettle, water, server, kitchen."""

from typing import Protocol
from uuid import UUID

from halfclick.errors import CoreError
from halfclick.model.grinder import Grinder
from halfclick.model.kit import (
    Dripper,
    DripperMaterial,
    DripperShape,
    Kettle,
    Paper,
    PaperKind,
    Server,
    Water,
)
from halfclick.wording import Wording
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField, YesNoField
from halfclick_desktop.widgets.form import Form
from halfclick_desktop.widgets.grinder_form import GrinderForm

Thing = Grinder | Dripper | Paper | Kettle | Water | Server
MM_PER_M = 1000.0


class ThingForm(Protocol):
    """What the kit page asks of a form."""

    def show_thing(self, thing: Thing | None) -> None:
        """Show a thing; None for a new one."""

    def thing(self, record_id: UUID) -> Thing:
        """Return the thing as typed."""

    def say(self, error: CoreError) -> None:
        """Show an error beside its field."""

    def clear_errors(self) -> None:
        """Take every error away."""


def shapes(words: Wording) -> list[tuple[str, object]]:
    """Return the dripper shapes to choose from."""
    return [(words(f"kit.shape_{shape.value}"), shape) for shape in DripperShape]


class GrinderThingForm(GrinderForm):
    """A grinder among the things of a kit."""

    def show_thing(self, thing: Thing | None) -> None:
        self.show_grinder(thing if isinstance(thing, Grinder) else None)

    def thing(self, record_id: UUID) -> Grinder:
        return self.grinder(record_id)


class DripperForm(Form):
    """A dripper by shape, inside dimensions and body."""

    def __init__(self, words: Wording) -> None:
        self._name = TextField(words, "kit.name")
        self._shape = ChoiceField(words, "kit.shape", shapes(words))
        sizes = {
            name: NumberField(words, f"kit.{name}", unit="mm", scale=MM_PER_M)
            for name in ("top", "bottom", "height")
        }
        sizes["top"].show_hint(words("kit.sizes_hint"))
        self._sizes = sizes
        unknown = [(words("kit.material_unknown"), None)]
        materials = [(words(f"kit.material_{one.value}"), one) for one in DripperMaterial]
        self._material = ChoiceField(words, "kit.material", [*unknown, *materials])
        self._mass = NumberField(words, "kit.dripper_mass", unit="g", hint="kit.body_hint")
        body = {"material": self._material, "mass": self._mass}
        fields = {"name": self._name, "shape": self._shape, **sizes, **body}
        blamed = {"kit.needs_name": "name", "dripper.bad_mass": "mass", "dripper.": "top"}
        super().__init__(words, fields, blamed)

    def show_thing(self, thing: Thing | None) -> None:
        dripper = thing if isinstance(thing, Dripper) else None
        self._name.show_text(dripper.name if dripper else "")
        self._shape.show_value(dripper.shape if dripper else DripperShape.STEEP_CONE)
        for name, field in self._sizes.items():
            field.show_value(getattr(dripper, f"{name}_m") if dripper else None)
        self._material.show_value(dripper.material if dripper else None)
        self._mass.show_value(dripper.mass_g if dripper else None)

    def thing(self, record_id: UUID) -> Dripper:
        material = self._material.value()
        return Dripper(
            id=record_id,
            name=self._name.text(),
            shape=DripperShape(str(self._shape.value())),
            top_m=self._sizes["top"].value(),
            bottom_m=self._sizes["bottom"].value(),
            height_m=self._sizes["height"].value(),
            material=DripperMaterial(str(material)) if material is not None else None,
            mass_g=self._mass.value(),
        )


class PaperForm(Form):
    """A kind of filter."""

    def __init__(self, words: Wording) -> None:
        kinds = [(words(f"kit.paper_{kind.value}"), kind) for kind in PaperKind]
        self._name = TextField(words, "kit.name")
        self._kind = ChoiceField(words, "kit.paper_kind", kinds)
        super().__init__(words, {"name": self._name, "kind": self._kind})

    def show_thing(self, thing: Thing | None) -> None:
        paper = thing if isinstance(thing, Paper) else None
        self._name.show_text(paper.name if paper else "")
        self._kind.show_value(paper.kind if paper else PaperKind.WHITE)

    def thing(self, record_id: UUID) -> Paper:
        return Paper(id=record_id, name=self._name.text(), kind=PaperKind(str(self._kind.value())))


class KettleForm(Form):
    """A kettle."""

    def __init__(self, words: Wording) -> None:
        self._name = TextField(words, "kit.name")
        self._tells = YesNoField(words, "kit.thermometer", hint="kit.thermometer_hint")
        super().__init__(words, {"name": self._name, "thermometer": self._tells})

    def show_thing(self, thing: Thing | None) -> None:
        kettle = thing if isinstance(thing, Kettle) else None
        self._name.show_text(kettle.name if kettle else "")
        self._tells.show_value(kettle.has_thermometer if kettle else False)

    def thing(self, record_id: UUID) -> Kettle:
        return Kettle(id=record_id, name=self._name.text(), has_thermometer=self._tells.value())


class WaterForm(Form):
    """A water by name."""

    def __init__(self, words: Wording) -> None:
        self._name = TextField(words, "kit.name")
        self._hardness = NumberField(words, "kit.hardness", unit="mg/L", hint="kit.as_caco3")
        self._alkalinity = NumberField(words, "kit.alkalinity", unit="mg/L", hint="kit.as_caco3")
        fields = {
            "name": self._name,
            "hardness": self._hardness,
            "alkalinity": self._alkalinity,
        }
        super().__init__(words, fields)

    def show_thing(self, thing: Thing | None) -> None:
        water = thing if isinstance(thing, Water) else None
        self._name.show_text(water.name if water else "")
        self._hardness.show_value(water.hardness_mg_l if water else None)
        self._alkalinity.show_value(water.alkalinity_mg_l if water else None)

    def thing(self, record_id: UUID) -> Water:
        return Water(
            id=record_id,
            name=self._name.text(),
            hardness_mg_l=self._hardness.value(),
            alkalinity_mg_l=self._alkalinity.value(),
        )


class ServerForm(Form):
    """The server or mug under the dripper."""

    def __init__(self, words: Wording) -> None:
        self._name = TextField(words, "kit.name")
        self._capacity = NumberField(words, "kit.capacity", unit="g", hint="kit.capacity_hint")
        self._empty = NumberField(words, "kit.empty", unit="g", hint="kit.empty_hint")
        fields = {"name": self._name, "capacity": self._capacity, "empty": self._empty}
        super().__init__(words, fields, {"server.": "capacity"})

    def show_thing(self, thing: Thing | None) -> None:
        server = thing if isinstance(thing, Server) else None
        self._name.show_text(server.name if server else "")
        self._capacity.show_value(server.capacity_g if server else None)
        self._empty.show_value(server.empty_g if server else None)

    def thing(self, record_id: UUID) -> Server:
        return Server(
            id=record_id,
            name=self._name.text(),
            capacity_g=self._capacity.value(),
            empty_g=self._empty.value(),
        )
