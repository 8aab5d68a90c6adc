"""Forms of the things of a kit: what the kit page asks of each, and the short ones."""

from dataclasses import replace
from typing import Protocol
from uuid import UUID

from halfclick.errors import CoreError
from halfclick.model.grinder import Grinder
from halfclick.model.kit import (
    Dripper,
    Kettle,
    Paper,
    PaperKind,
    Server,
    Water,
)
from halfclick.wording import Wording
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField
from halfclick_desktop.widgets.form import Form
from halfclick_desktop.widgets.grinder_form import GrinderForm

Thing = Grinder | Dripper | Paper | Kettle | Water | Server


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


class GrinderThingForm(GrinderForm):
    """A grinder among the things of a kit."""

    def show_thing(self, thing: Thing | None) -> None:
        self.show_grinder(thing if isinstance(thing, Grinder) else None)

    def thing(self, record_id: UUID) -> Grinder:
        return self.grinder(record_id)


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


class WaterForm(Form):
    """A water by name."""

    def __init__(self, words: Wording) -> None:
        self._shown: Water | None = None
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
        water = self._shown = thing if isinstance(thing, Water) else None
        self._name.show_text(water.name if water else "")
        self._hardness.show_value(water.hardness_mg_l if water else None)
        self._alkalinity.show_value(water.alkalinity_mg_l if water else None)

    def thing(self, record_id: UUID) -> Water:
        typed = Water(
            id=record_id,
            name=self._name.text(),
            hardness_mg_l=self._hardness.value(),
            alkalinity_mg_l=self._alkalinity.value(),
        )
        kept = self._shown
        if kept is None:
            return typed
        # What is told of it elsewhere stays.
        return replace(typed, minerals=kept.minerals, tds_mg_l=kept.tds_mg_l, ph=kept.ph)


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
