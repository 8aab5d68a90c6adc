"""A dripper by shape, inside dimensions, outlets and body."""

from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.kit import Dripper, DripperMaterial, DripperShape
from halfclick.wording import Wording
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField
from halfclick_desktop.widgets.form import Form

MM_PER_M = 1000.0
_BLAMED = {
    "kit.needs_name": "name",
    "dripper.bad_mass": "mass",
    "dripper.bad_outlets": "outlets",
    "dripper.bad_outlet": "outlet",
    "dripper.": "top",
}


def shapes(words: Wording) -> list[tuple[str, object]]:
    """Return the dripper shapes to choose from."""
    return [(words(f"kit.shape_{shape.value}"), shape) for shape in DripperShape]


def materials(words: Wording) -> list[tuple[str, object]]:
    """Return what a body may be made of, not known first."""
    unknown: tuple[str, object] = (words("kit.material_unknown"), None)
    return [unknown, *((words(f"kit.material_{one.value}"), one) for one in DripperMaterial)]


def material_of(field: ChoiceField) -> DripperMaterial | None:
    """Return the material chosen; None where it is not known."""
    chosen = field.value()
    return None if chosen is None else DripperMaterial(str(chosen))


class DripperForm(Form):
    """Shows a dripper; the length of the bottom is asked only of a wedge."""

    def __init__(self, words: Wording) -> None:
        self._name = TextField(words, "kit.name")
        self._shape = ChoiceField(words, "kit.shape", shapes(words))
        self._sizes = {
            name: NumberField(words, f"kit.{name}", unit="mm", scale=MM_PER_M)
            for name in ("top", "bottom", "bottom_length", "height", "outlet")
        }
        self._sizes["top"].show_hint(words("kit.sizes_hint"))
        self._sizes["bottom_length"].show_hint(words("kit.bottom_length_hint"))
        self._sizes["outlet"].show_hint(words("kit.outlet_hint"))
        self._outlets = NumberField(words, "kit.outlets", decimals=0)
        ribs = [(words(f"kit.ribs_{name}"), value) for name, value in _RIBS]
        self._ribbed = ChoiceField(words, "kit.ribs", ribs)
        self._material = ChoiceField(words, "kit.material", materials(words))
        self._mass = NumberField(words, "kit.dripper_mass", unit="g", hint="kit.body_hint")
        fields = {
            "name": self._name,
            "shape": self._shape,
            **{name: self._sizes[name] for name in ("top", "bottom", "bottom_length", "height")},
            "outlets": self._outlets,
            "outlet": self._sizes["outlet"],
            "ribs": self._ribbed,
            "material": self._material,
            "mass": self._mass,
        }
        super().__init__(words, fields, _BLAMED)
        self._shape.edited.connect(self._follow)

    def show_thing(self, thing: object) -> None:
        """Show a dripper; anything else is a new one."""
        dripper = thing if isinstance(thing, Dripper) else None
        self._name.show_text(dripper.name if dripper else "")
        self._shape.show_value(dripper.shape if dripper else DripperShape.STEEP_CONE)
        for name, field in self._sizes.items():
            field.show_value(getattr(dripper, f"{name}_m") if dripper else None)
        self._outlets.show_value(dripper.outlets if dripper else None)
        self._ribbed.show_value(dripper.ribbed if dripper else None)
        self._material.show_value(dripper.material if dripper else None)
        self._mass.show_value(dripper.mass_g if dripper else None)
        self._follow()

    def thing(self, record_id: UUID) -> Dripper:
        """Return the dripper as typed.

        Raises:
            BadInput: it cannot be.
        """
        ribbed = self._ribbed.value()
        wedge = self._shape.value() is DripperShape.WEDGE
        return Dripper(
            id=record_id,
            name=self._name.text(),
            shape=DripperShape(str(self._shape.value())),
            top_m=self._sizes["top"].value(),
            bottom_m=self._sizes["bottom"].value(),
            height_m=self._sizes["height"].value(),
            material=material_of(self._material),
            mass_g=self._mass.value(),
            outlets=self._counted(),
            outlet_m=self._sizes["outlet"].value(),
            bottom_length_m=self._sizes["bottom_length"].value() if wedge else None,
            ribbed=None if ribbed is None else bool(ribbed),
        )

    def _counted(self) -> int | None:
        value = self._outlets.value()
        if value is not None and not value.is_integer():
            raise BadInput("dripper.bad_outlets", given=value)
        return None if value is None else int(value)

    def _follow(self) -> None:
        wedge = self._shape.value() is DripperShape.WEDGE
        self._sizes["bottom_length"].setVisible(wedge)
        self._sizes["bottom"].show_hint(self.words("kit.bottom_width_hint") if wedge else "")


_RIBS: tuple[tuple[str, bool | None], ...] = (("unknown", None), ("yes", True), ("no", False))
