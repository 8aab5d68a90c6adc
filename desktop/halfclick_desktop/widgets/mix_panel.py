"""What do I add to this water: what is wanted, what is at hand, and the steps."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton

from halfclick.errors import CoreError
from halfclick.model.concentrate import Concentrate
from halfclick.model.kit import Water
from halfclick.physics.minerals.additions import Pair, Source
from halfclick.physics.minerals.hardness_units import HardnessUnit
from halfclick.service.mixing import (
    USUAL_TARGET,
    AtHand,
    MixWanted,
    Proposed,
    propose_mix,
    salts_for,
)
from halfclick.service.waters import in_unit
from halfclick.wording import Message, Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField
from halfclick_desktop.widgets.hardness_field import HardnessField
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.stock_form import SCALE_STEPS_G, scale_steps

USUAL_MADE_G = 1000.0
NOTHING, DEMINERALISED = "nothing", "demineralised"


class MixPanel(Panel):
    """Answers while it is typed; says when the finished water is to be kept."""

    keep_asked = Signal(object, str)  # Proposed, name

    def __init__(self, words: Wording) -> None:
        super().__init__(words("mix_panel.title"))
        self._words = words
        self._water: Water | None = None
        self._proposed: Proposed | None = None
        self._unit = HardnessUnit.MG_L
        self._hardness = HardnessField(words, "mix_panel.hardness")
        self._alkalinity = HardnessField(words, "mix_panel.alkalinity", alkalinity=True)
        self._made = NumberField(words, "mix_panel.made", unit="g")
        self._thin = ChoiceField(words, "mix_panel.thin")
        self._hard_from = ChoiceField(words, "mix_panel.hardness_from")
        self._alkaline_from = ChoiceField(words, "mix_panel.alkalinity_from")
        self._scale = ChoiceField(words, "water_page.scale", scale_steps(words))
        for choice in (self._thin, self._hard_from, self._alkaline_from, self._scale):
            choice.narrow_to(14)
        for field, usual in (
            (self._hardness, USUAL_TARGET.hardness),
            (self._alkalinity, USUAL_TARGET.alkalinity),
            (self._made, USUAL_MADE_G),
        ):
            field.show_value(usual)
            field.show_example(usual)
        self._steps = styled("heading")
        self._result = styled("title")
        self._lacks, self._wrong = styled("caution"), styled("caution")
        self._brings, self._notes = styled("body"), styled("quiet")
        self._name = TextField(words, "mix_panel.name")
        self.keep = QPushButton(words("mix_panel.keep"))
        self._lay_out()
        self.setFocusProxy(self._hardness)

    def _lay_out(self) -> None:
        top, grid = Qt.AlignmentFlag.AlignTop, QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE)
        places = (
            (self._hardness, 0, 0, 1),
            (self._alkalinity, 0, 1, 1),
            (self._made, 0, 2, 1),
            (self._thin, 1, 0, 2),  # names of waters and salts are long
            (self._scale, 1, 2, 1),
            (self._hard_from, 2, 0, 3),
            (self._alkaline_from, 3, 0, 3),
        )
        for field, row, column, width in places:
            grid.addWidget(field, row, column, 1, width, top)
            field.edited.connect(self._answer)
        for column in range(3):
            grid.setColumnStretch(column, 1)
        self.add(styled("quiet", self._words("mix_panel.hint")))
        self.add(grid)
        for line in self._lines():
            self.add(line)
        foot = QHBoxLayout()
        foot.setSpacing(INSIDE)
        foot.addWidget(self._name, 1)
        foot.addWidget(self.keep, 0, Qt.AlignmentFlag.AlignBottom)
        self.add(foot)
        self.keep.clicked.connect(self._keep)

    def show_unit(self, unit: HardnessUnit) -> None:
        """Take targets in another unit."""
        self._unit = unit
        self._hardness.show_hardness_unit(unit)
        self._alkalinity.show_hardness_unit(unit)
        self._answer()

    def show_kit(self, waters: Sequence[Water], stocks: Sequence[Concentrate]) -> None:
        """Offer other waters and stocks; what was chosen stays where it is still there."""
        words = self._words
        thin: list[tuple[str, object]] = [
            (words("mix_panel.nothing"), NOTHING),
            (words("mix_panel.demineralised"), DEMINERALISED),
        ]
        thin += [(one.name, one) for one in waters]
        self._offer(self._thin, thin, DEMINERALISED)
        for choice, hardness in ((self._hard_from, True), (self._alkaline_from, False)):
            salts = salts_for(hardness=hardness)
            bottles: list[tuple[str, object]] = [
                (stock.name, _bottle(stock)) for stock in stocks if stock.salt in salts
            ]
            dry = [
                (
                    words("mix_panel.dry", salt=words(f"salt.{salt.value}")),
                    AtHand(source=Source(salt=salt)),
                )
                for salt in salts
            ]
            usual = bottles[0][1] if bottles else dry[0][1]
            self._offer(choice, [(words("mix_panel.nothing"), NOTHING), *bottles, *dry], usual)
        self._answer()

    def show_water(self, water: Water | None) -> None:
        """Take another water as the one to add to."""
        self._water = water
        if water is not None:
            self._name.show_text(self._words("mix_panel.usual_name", name=water.name))
        self._answer()

    def texts(self) -> str:
        """Return the answer as it is said."""
        lines = self._lines()
        return "\n".join(line.text() for line in lines if not line.isHidden())

    def _lines(self) -> tuple[QLabel, ...]:
        return (self._wrong, self._steps, self._result, self._lacks, self._brings, self._notes)

    def _offer(self, field: ChoiceField, choices: list[tuple[str, object]], usual: object) -> None:
        before = field.value()
        field.show_choices(choices)
        values = [value for _, value in choices]
        # A bottle of what was meant dry stands in for it: it is measured better.
        if isinstance(before, AtHand) and not before.name:
            salt = before.source.salt
            like = [one for one in values if isinstance(one, AtHand) and one.source.salt is salt]
            before = like[0]
        field.show_value(before if before in values else usual)

    def _answer(self) -> None:
        if self._water is None or self._hard_from.value() is None:
            return
        self._proposed = None
        try:
            self._proposed = propose_mix(self._wanted(self._water))
        except CoreError as error:
            self._say(self._wrong, self._words.sentence(error))
        else:
            self._say(self._wrong, "")
        self._show(self._proposed)

    def _wanted(self, water: Water) -> MixWanted:
        thin, step = self._thin.value(), self._scale.value()
        hard, alkaline = self._hard_from.value(), self._alkaline_from.value()
        return MixWanted(
            water=water,
            target=Pair(
                hardness=_typed(self._hardness, USUAL_TARGET.hardness),
                alkalinity=_typed(self._alkalinity, USUAL_TARGET.alkalinity),
            ),
            made_g=_typed(self._made, USUAL_MADE_G),
            demineralised=thin == DEMINERALISED,
            diluting=thin if isinstance(thin, Water) else None,
            hardness_from=hard if isinstance(hard, AtHand) else None,
            alkalinity_from=alkaline if isinstance(alkaline, AtHand) else None,
            scale_step_g=step if isinstance(step, float) else SCALE_STEPS_G["tenth"],
        )

    def _show(self, proposed: Proposed | None) -> None:
        words = self._words
        self.keep.setEnabled(proposed is not None and bool(proposed.steps))
        if proposed is None:
            for line in (self._steps, self._result, self._lacks, self._brings, self._notes):
                self._say(line, "")
            return
        numbered = enumerate(proposed.steps, start=1)
        self._say(self._steps, "\n".join(f"{n}. {words.sentence(one)}" for n, one in numbered))
        result = words("mix_panel.result", **self._result_of(proposed)) if proposed.steps else ""
        self._say(self._result, result)
        for line, told in (
            (self._lacks, proposed.lacks),
            (self._brings, proposed.brings),
            (self._notes, proposed.notes),
        ):
            self._say(line, words.sentences(told))

    def _result_of(self, proposed: Proposed) -> dict[str, Message]:
        made = proposed.mix.result
        return {
            "hardness": in_unit(made.hardness, self._unit),
            "alkalinity": in_unit(made.alkalinity, self._unit, alkalinity=True),
        }

    def _say(self, line: QLabel, text: str) -> None:
        line.setText(text)
        line.setVisible(bool(text))

    def _keep(self) -> None:
        if self._proposed is not None:
            self.keep_asked.emit(self._proposed, self._name.text())

    def say(self, error: CoreError) -> None:
        """Show what keeps the water from being kept, beside its name."""
        self._name.show_error(self._words.sentence(error))
        self._name.control.setFocus()


def _typed(field: NumberField, usual: float) -> float:
    """Return what is typed; where nothing is, the example that stands there in quiet."""
    value = field.value()
    return usual if value is None else value


def _bottle(stock: Concentrate) -> AtHand:
    return AtHand(source=Source(salt=stock.salt, g_per_l=stock.g_per_l), name=stock.name)
