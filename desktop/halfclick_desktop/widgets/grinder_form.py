"""A grinder's dial as it is written on it, with a check of how a setting reads."""

from uuid import UUID

from halfclick.errors import BadInput, CoreError
from halfclick.model.grinder import Finer, Grinder
from halfclick.model.numbering import Numbering, Scheme, example_of, parse_reading, print_reading
from halfclick.wording import Wording
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField
from halfclick_desktop.widgets.form import Form

# The dials most often met; a person types what theirs has (common practice, no source).
USUAL_BASE = 10
USUAL_LETTERS = 11
USUAL_PARTS = 4

_BLAMED = {
    "kit.needs_name": "name",
    "numbering.bad_step": "step",
    "numbering.bad_base": "base",
    "numbering.bad_letters": "letters",
    "numbering.bad_parts": "parts",
    "setting.": "highest",
    "grinder.needs_highest": "highest",
    "grinder.bad_step_um": "step_um",
    "grinder.bad_purge": "purge_g",
}
_OF_SCHEME = {
    "step": Scheme.PLAIN,
    "base": Scheme.ROTATIONS,
    "ticks": Scheme.ROTATIONS,
    "letters": Scheme.LETTERED,
    "parts": Scheme.STEPLESS,
}
_NOT_AT_FIRST = ("highest", "step_um", "purge_g")


class GrinderForm(Form):
    """Shows a grinder; `brief` leaves out what the first brew does not need."""

    def __init__(self, words: Wording, *, brief: bool = False) -> None:
        schemes = [(words(f"kit.scheme_{scheme.value}"), scheme) for scheme in Scheme]
        ways = [(words(f"kit.finer_{finer.value}"), finer) for finer in Finer]
        self._name = TextField(words, "kit.grinder_name")
        self._scheme = ChoiceField(words, "kit.scheme", schemes)
        self._step = TextField(words, "kit.step", hint="kit.step_hint")
        self._base = NumberField(words, "kit.base", decimals=0)
        self._ticks = NumberField(words, "kit.ticks", hint="kit.ticks_hint", decimals=0)
        self._letters = NumberField(words, "kit.letters", decimals=0)
        self._parts = NumberField(words, "kit.parts", decimals=0)
        self._finer = ChoiceField(words, "kit.finer", ways)
        self._highest = TextField(words, "kit.highest", hint="kit.highest_hint")
        self._step_um = NumberField(words, "kit.step_um", unit="µm", hint="kit.step_um_hint")
        self._purge_g = NumberField(words, "kit.purge", unit="g", hint="kit.purge_hint")
        self._check = TextField(words, "kit.check", hint="kit.check_hint")
        fields = {
            "name": self._name,
            "scheme": self._scheme,
            "step": self._step,
            "base": self._base,
            "ticks": self._ticks,
            "letters": self._letters,
            "parts": self._parts,
            "finer": self._finer,
            "highest": self._highest,
            "step_um": self._step_um,
            "purge_g": self._purge_g,
            "check": self._check,
        }
        super().__init__(words, fields, _BLAMED)
        self._brief = brief
        for name in _NOT_AT_FIRST if brief else ():
            self.fields[name].hide()
        self.edited.connect(self._follow)
        self.show_grinder(None)

    def show_grinder(self, grinder: Grinder | None) -> None:
        """Show a grinder; None for a new one."""
        numbering = grinder.numbering if grinder else Numbering(scheme=Scheme.CLICKS)
        bases = numbering.bases
        self._name.show_text(grinder.name if grinder else "")
        self._scheme.show_value(numbering.scheme)
        self._step.show_text(numbering.step)
        self._base.show_value(bases[0] if bases else USUAL_BASE)
        self._ticks.show_value(bases[1] if len(bases) > 1 else None)
        self._letters.show_value(numbering.letters or USUAL_LETTERS)
        self._parts.show_value(numbering.parts or USUAL_PARTS)
        self._finer.show_value(grinder.finer if grinder else Finer.LOWER)
        self._highest.show_text(numbering.highest)
        self._step_um.show_value(grinder.step_um if grinder else None)
        self._purge_g.show_value(grinder.purge_g if grinder and grinder.purge_g else None)
        self._check.show_text("")
        self._follow()

    def name(self) -> str:
        """Return the name typed."""
        return self._name.text()

    def finer(self) -> Finer:
        """Return which way the dial runs."""
        return Finer(str(self._finer.value()))

    def numbering(self) -> Numbering:
        """Return the dial as described.

        Raises:
            BadInput: there is no such dial, or its zero cannot be told.
        """
        if self.finer() is Finer.HIGHER and not self._highest.text():
            raise BadInput("grinder.needs_highest")
        scheme = Scheme(str(self._scheme.value()))
        bases = tuple(_whole(field) for field in (self._base, self._ticks) if field.text())
        return Numbering(
            scheme=scheme,
            step=self._step.text() if scheme is Scheme.PLAIN else "1",
            bases=bases if scheme is Scheme.ROTATIONS else (),
            letters=_whole(self._letters) if scheme is Scheme.LETTERED else 0,
            parts=_whole(self._parts) if scheme is Scheme.STEPLESS else USUAL_PARTS,
            highest=self._highest.text(),
        )

    def grinder(self, record_id: UUID) -> Grinder:
        """Return the grinder as typed.

        Raises:
            BadInput: it cannot be.
        """
        return Grinder(
            id=record_id,
            name=self.name(),
            numbering=self.numbering(),
            finer=self.finer(),
            step_um=self._step_um.value(),
            purge_g=self._purge_g.value() or 0.0,
        )

    def _follow(self) -> None:
        """Show only what this scheme needs, and read the setting typed to check it."""
        scheme = self._scheme.value()
        for name, own in _OF_SCHEME.items():
            self.fields[name].setVisible(own is scheme)
        if self._brief:
            # Where finer is higher, the burrs meet at the dial's end.
            self._highest.setVisible(self.finer() is Finer.HIGHER)
        try:
            numbering = self.numbering()
        except CoreError:
            self._check.show_hint("")
            return
        typed = self._check.text()
        if not typed:
            self._check.show_hint(self.words("kit.check_example", example=example_of(numbering)))
            return
        try:
            reading = parse_reading(numbering, typed)
        except CoreError as error:
            self._check.show_hint(self.words.sentence(error))
            return
        self._check.show_hint(self._reads(numbering, reading))

    def _reads(self, numbering: Numbering, reading: int) -> str:
        finer = reading - 1 if self.finer() is Finer.LOWER else reading + 1
        said = self.words("kit.check_reads", count=reading)
        try:
            return f"{said} {self.words('kit.check_finer', text=print_reading(numbering, finer))}"
        except CoreError:
            return said


def _whole(field: NumberField) -> int:
    value = field.value()
    return 0 if value is None else round(value)
