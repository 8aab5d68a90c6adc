"""Where to begin on another grinder, on another dripper or at another size."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.grinder import Grinder
from halfclick.model.kit import Dripper
from halfclick.service.coffees import coffees_brewed
from halfclick.service.convert import Converted, convert
from halfclick.service.done import Touched
from halfclick.service.kitchens import kit_in_use, list_kit
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.widgets.field import ChoiceField, NumberField
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked


class ConvertPage(QWidget):
    """Asks what is gone to, and says at which setting to begin, with its range and why."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._job: QObject | None = None
        words = desk.words
        self._coffee = ChoiceField(words, "convert.coffee")
        self._grinder = ChoiceField(words, "convert.grinder")
        self._dripper = ChoiceField(words, "convert.dripper")
        self._dose = NumberField(words, "convert.dose", unit="g", hint="convert.dose_hint")
        for choice in (self._coffee, self._grinder, self._dripper):
            choice.narrow_to(12)
        self._find = QPushButton(words("convert.reckon"))
        self._find.setProperty("role", "main")
        self._find.clicked.connect(self._reckon)
        self._setting = styled("number", wrap=False)
        self._said = styled("", words("convert.nothing"))
        self._said.setTextFormat(Qt.TextFormat.PlainText)
        self._said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._lay_out()
        self.setFocusProxy(self._coffee)

    def _lay_out(self) -> None:
        words = self._desk.words
        asked = Panel(words("convert.from"))
        for field in (self._coffee, self._grinder, self._dripper, self._dose):
            asked.add(field)
        row = QHBoxLayout()
        row.addWidget(self._find)
        row.addStretch(1)
        asked.add(row)
        answer = Panel(words("convert.to"))
        answer.add(self._setting)
        answer.add(self._said)
        self._setting.hide()
        columns = QHBoxLayout()
        columns.setSpacing(GROUPS)
        columns.addWidget(scrolled(stacked(asked)), 1)
        columns.addWidget(scrolled(stacked(answer)), 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(styled("heading", words("convert.title"), wrap=False))
        whole.addWidget(styled("quiet", words("convert.what")))
        whole.addLayout(columns, 1)

    def reload(self, touched: Touched) -> None:
        """Offer the coffees and the kit again where they may have changed."""
        if not touched & (Touched.COFFEES | Touched.BREWS | Touched.KIT | Touched.SETTINGS):
            return
        self._dose.show_units()
        store, kit = self._desk.store, kit_in_use(self._desk.store)
        if kit is None:
            return
        offered = (
            (self._coffee, [(name, one) for one, name in coffees_brewed(store)], None),
            (self._grinder, _named(list_kit(store, Grinder)), kit.grinder.id),
            (self._dripper, _named(list_kit(store, Dripper)), kit.dripper.id),
        )
        for field, choices, usual in offered:
            chosen = field.value()
            field.show_choices(choices)
            values = [value for _, value in choices]
            for value in (chosen, usual):
                if value in values:
                    field.show_value(value)
                    break
        nothing_brewed = self._desk.words("convert.no_coffees")
        if self._coffee.value() is None:
            self._say(nothing_brewed)
        elif self._said.text() == nothing_brewed:
            self._say(self._desk.words("convert.nothing"))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._find)
        else:
            super().keyPressEvent(event)

    def _reckon(self) -> None:
        words = self._desk.words
        chosen = [choice.value() for choice in (self._coffee, self._grinder, self._dripper)]
        coffee_id, grinder_id, dripper_id = (
            one if isinstance(one, UUID) else None for one in chosen
        )
        if coffee_id is None or grinder_id is None or dripper_id is None:
            self._say(words("convert.no_coffees"))
            return
        try:
            dose_g = self._dose.value()
        except CoreError:
            return  # said beside its field
        self._say(words("convert.working"))
        work = partial(
            convert,
            self._desk.store,
            coffee_id,
            grinder_id=grinder_id,
            dripper_id=dripper_id,
            dose_g=dose_g,
        )
        job = self._desk.jobs.reckon(work)
        self._job = job
        job.done.connect(self._show)
        job.failed.connect(self._failed)

    def _failed(self, error: CoreError) -> None:
        if self.sender() is not self._job:
            return
        sentence = self._desk.words.sentence(error)
        if error.code.startswith("recipe."):  # the dose that was typed cannot be
            self._dose.show_error(sentence)
            sentence = self._desk.words("convert.nothing")
        self._say(sentence)

    def _show(self, found: Converted) -> None:
        if self.sender() is not self._job:
            return  # something else was asked for meanwhile
        words = self._desk.words
        finer, middle, coarser = found.settings
        ranged = words("convert.range", finer=finer, coarser=coarser)
        low_s, _, high_s = found.time_s
        sentences = [
            ranged if finer != coarser else words("convert.one_setting"),
            words("convert.recipe", dose_g=found.recipe.dose_g, water_g=found.recipe.water_g),
            words(
                "convert.expected",
                low_time_s=low_s,
                high_time_s=high_s,
                strength=round(found.extraction, 3),
            ),
            words("convert.by_clock" if found.by_clock else "convert.by_extraction"),
            *self._grounds(found),
            words("convert.confirm"),
        ]
        self._say("\n\n".join(sentences))
        self._setting.setText(words("convert.setting", middle=middle))
        self._setting.show()

    def _grounds(self, found: Converted) -> list[str]:
        words, kit = self._desk.words, found.kit
        names = {"grinder": kit.grinder.name, "dripper": kit.dripper.name}
        if found.brews:
            return [words("convert.rests", count=found.brews, **names)]
        if found.sieved:
            return [words("convert.sieved", **names)]
        wide = [words("convert.wide", **names)]
        return wide if found.step_known else [*wide, words("convert.no_step")]

    def _say(self, text: str) -> None:
        self._said.setText(text)
        self._setting.hide()


def _named(things: tuple[Grinder, ...] | tuple[Dripper, ...]) -> list[tuple[str, object]]:
    return [(thing.name, thing.id) for thing in things]
