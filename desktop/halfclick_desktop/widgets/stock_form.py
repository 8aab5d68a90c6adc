"""A stock bottle: which salt, how strong, and how to make it."""

from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.concentrate import Concentrate, Salt
from halfclick.service.mixing import STOCK_MG_L, salts_for, stock_recipe
from halfclick.service.mixing import stock_grams as grams_of
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import ChoiceField, Field, NumberField, TextField, YesNoField
from halfclick_desktop.widgets.label import styled

SCALE_STEPS_G = {"tenth": 0.1, "hundredth": 0.01}


def scale_steps(words: Wording) -> list[tuple[str, float]]:
    """Name the steps in which a small scale weighs: minerals are weighed in grams everywhere."""
    return [(words(f"water_page.scale_step_{name}"), step) for name, step in SCALE_STEPS_G.items()]


class StockForm(QWidget):
    """Choosing a salt fills in the usual strength, until another is typed."""

    edited = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        salts = [
            (words(f"salt.{one.value}"), one)
            for one in (*salts_for(hardness=True), *salts_for(hardness=False))
        ]
        self._salt = ChoiceField(words, "water_page.salt", salts)
        self._name = TextField(words, "kit.name", hint="water_page.stock_name_hint")
        self._strength = NumberField(words, "water_page.strength", unit="g/L", decimals=3)
        self._food_grade = YesNoField(words, "water_page.food_grade")
        self._scale = ChoiceField(words, "water_page.scale", scale_steps(words))
        self._recipe = styled("body")
        self._lay_out()
        self._salt.edited.connect(self._salt_chosen)
        for field in self._fields():
            field.edited.connect(self._was_edited)
        self.setFocusProxy(self._salt)

    def _fields(self) -> tuple[Field, ...]:
        return (self._salt, self._name, self._strength, self._food_grade, self._scale)

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE)
        top = Qt.AlignmentFlag.AlignTop
        grid.addWidget(self._salt, 0, 0, top)
        grid.addWidget(self._name, 0, 1, top)
        grid.addWidget(self._strength, 1, 0, top)
        grid.addWidget(self._scale, 1, 1, top)
        grid.addWidget(self._food_grade, 2, 0, 1, 2)
        grid.addWidget(styled("title", self._words("water_page.how_made")), 3, 0, 1, 2)
        grid.addWidget(self._recipe, 4, 0, 1, 2)
        grid.addWidget(styled("quiet", self._words("water_page.stock_care")), 5, 0, 1, 2)
        for column in range(2):
            grid.setColumnStretch(column, 1)

    def show_stock(self, stock: Concentrate | None) -> None:
        """Show a stock, or the usual one of the first salt."""
        salt = stock.salt if stock else Salt.MAGNESIUM_SULFATE_7H2O
        self._salt.show_value(salt)
        self._name.show_text(stock.name if stock else "")
        self._strength.show_value(stock.g_per_l if stock else grams_of(salt, STOCK_MG_L))
        self._food_grade.show_value(stock.food_grade if stock else False)
        self._show_recipe()

    def stock(self, record_id: UUID) -> Concentrate:
        """Return the stock that is typed; without a name it is called by its salt.

        Raises:
            BadInput: the strength is no number, or cannot be.
        """
        salt = self._chosen()
        return Concentrate(
            id=record_id,
            name=self._name.text() or self._words("water_page.stock_of", salt=self._salt_name()),
            salt=salt,
            g_per_l=self._strength.value() or 0.0,
            food_grade=self._food_grade.value(),
        )

    def recipe(self) -> str:
        """Return how to make it, as shown."""
        return self._recipe.text()

    def say(self, error: CoreError) -> None:
        """Show an error beside its field, and put the keys there."""
        field = self._food_grade if error.code == "stock.not_food_grade" else self._strength
        field.show_error(self._words.sentence(error))
        field.control.setFocus()

    def clear_errors(self) -> None:
        """Take every error away."""
        for field in self._fields():
            field.show_error("")

    def _chosen(self) -> Salt:
        return Salt(str(self._salt.value()))

    def _salt_name(self) -> str:
        return self._words(f"salt.{self._chosen().value}")

    def _salt_chosen(self) -> None:
        self._strength.show_value(grams_of(self._chosen(), STOCK_MG_L))

    def _was_edited(self) -> None:
        self._show_recipe()
        self.edited.emit()

    def _show_recipe(self) -> None:
        step = self._scale.value()
        try:
            told = stock_recipe(
                self._chosen(),
                g_per_l=self._strength.value() or 0.0,
                scale_step_g=step if isinstance(step, float) else SCALE_STEPS_G["tenth"],
            )
        except CoreError as error:
            self._recipe.setText(self._words.sentence(error))
            return
        self._recipe.setText(self._words.sentence(told))
