"""Taking a grinder's zero: why, how it was found, and what the dial reads there."""

from halfclick.model.grinder import Grinder, ZeroFound, ZeroReason
from halfclick.model.numbering import print_reading
from halfclick.wording import Wording
from halfclick_desktop.widgets.field import ChoiceField, TextField
from halfclick_desktop.widgets.form import Form


class ZeroForm(Form):
    """Asks for a new zero of one grinder."""

    def __init__(self, words: Wording) -> None:
        reasons = [
            (words(f"kit.zero_{reason.value}"), reason)
            for reason in ZeroReason
            if reason is not ZeroReason.FIRST
        ]
        ways = [(words(f"kit.found_{found.value}"), found) for found in ZeroFound]
        self._reason = ChoiceField(words, "kit.zero_reason", reasons)
        self._found = ChoiceField(words, "kit.zero_found", ways, hint="kit.zero_found_hint")
        self._reading = TextField(words, "kit.zero_reading")
        self._note = TextField(words, "kit.zero_note")
        fields = {
            "reason": self._reason,
            "found": self._found,
            "reading": self._reading,
            "note": self._note,
        }
        super().__init__(words, fields, {"setting.": "reading"})

    def show_grinder(self, grinder: Grinder) -> None:
        """Start afresh for a grinder."""
        self.clear_errors()
        self._reading.show_text("")
        self._note.show_text("")
        example = print_reading(grinder.numbering, 0)
        self._reading.show_hint(self.words("kit.zero_reading_hint", example=example))

    def reason(self) -> ZeroReason:
        """Return why it was taken."""
        return ZeroReason(str(self._reason.value()))

    def found(self) -> ZeroFound:
        """Return how it was found."""
        return ZeroFound(str(self._found.value()))

    def reading_text(self) -> str:
        """Return what the dial reads where the burrs meet; empty where it is as it was."""
        return self._reading.text()

    def note(self) -> str:
        """Return the person's own words."""
        return self._note.text()
