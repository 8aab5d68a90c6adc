"""What a water's figures say: its numbers, its scale, its place in the ranges, its doubts."""

from PySide6.QtWidgets import QLabel, QWidget

from halfclick.model.kit import Water
from halfclick.physics.minerals.hardness_units import HardnessUnit
from halfclick.physics.minerals.ranges import Figure, Standing, bounds
from halfclick.service.waters import WaterReport, in_unit
from halfclick.wording import Message, Wording, number
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.range_picture import Bar, Bars, RangePicture

# Figures that are told in the person's unit of hardness.
AS_CARBONATE = frozenset({Figure.HARDNESS, Figure.CALCIUM_HARDNESS, Figure.ALKALINITY})
MARGIN = 1.15


class WaterReportPanel(Panel):
    """Shows a report; lines without anything to say are hidden."""

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._figures = styled("heading")
        self._parts = styled("quiet")
        self._scale = styled("body")
        self._doubts = styled("caution")
        self._cautions = styled("caution")
        self._meter = styled("quiet")
        self.picture = RangePicture(words("water_report.picture"))
        self._key = styled("label", words("water_report.key"))
        for line in (self._figures, self._parts, self._doubts, self._scale, self._cautions):
            self.add(line)
        self.add(self.picture)
        self.add(self._key)
        self.add(self._meter)

    def show_report(self, water: Water, report: WaterReport, unit: HardnessUnit) -> None:
        """Show what is known of a water."""
        words = self._words
        self.show_title(water.name)
        known = report.hardness is not None or report.alkalinity is not None
        self._figures.setText(self._figures_line(report, unit))
        self._put(self._parts, self._parts_line(report, unit))
        self._put(self._doubts, words.sentences(report.doubts))
        self._put(self._scale, self._scale_line(report))
        self._put(self._cautions, words.sentences(report.cautions))
        self._put(self._meter, self._meter_line(report))
        rest: tuple[QWidget, ...] = (self.picture, self._key)
        for widget in rest:
            widget.setVisible(known)
        self.picture.show_groups([self._bars(name, ones, unit) for name, ones in report.standings])

    def texts(self) -> str:
        """Return everything said, for who reads instead of looks."""
        lines = (self._figures, self._parts, self._doubts, self._scale, self._cautions, self._meter)
        said = [line.text() for line in lines if not line.isHidden()]
        return "\n".join((*said, self.picture.accessibleDescription()))

    def _put(self, label: QLabel, text: str) -> None:
        label.setText(text)
        label.setVisible(bool(text))

    def _figures_line(self, report: WaterReport, unit: HardnessUnit) -> str:
        words = self._words
        if report.hardness is None and report.alkalinity is None:
            return words("water_report.nothing")
        unknown = Message("water_report.unknown")
        hardness = unknown if report.hardness is None else in_unit(report.hardness, unit)
        alkalinity = unknown
        if report.alkalinity is not None:
            alkalinity = in_unit(report.alkalinity, unit, alkalinity=True)
        return words("water_report.figures", hardness=hardness, alkalinity=alkalinity)

    def _parts_line(self, report: WaterReport, unit: HardnessUnit) -> str:
        if report.hardness is None or report.calcium_hardness is None:
            return ""
        rest = report.hardness - report.calcium_hardness
        return self._words(
            "water_report.parts",
            calcium=in_unit(report.calcium_hardness, unit),
            magnesium=in_unit(rest, unit),
        )

    def _scale_line(self, report: WaterReport) -> str:
        if report.scaling is None:
            known = report.hardness is not None or report.alkalinity is not None
            return self._words("water_report.scale_unknown") if known else ""
        text = self._words(f"water_report.scale_{report.scaling.value}")
        if report.index is None:
            return text
        code = "index_at_most" if report.index_at_most else "index"
        return f"{text} {self._words(f'water_report.{code}', index=round(report.index, 1))}"

    def _meter_line(self, report: WaterReport) -> str:
        if report.conductivity_us_cm is None:
            return ""
        return self._words("water_report.meter", reads_us_cm=report.conductivity_us_cm)

    def _bars(self, name: str, ones: tuple[Standing, ...], unit: HardnessUnit) -> Bars:
        return Bars(
            title=self._words(f"water_report.{name}"),
            bars=tuple(self._bar(one, unit) for one in ones),
        )

    def _bar(self, one: Standing, unit: HardnessUnit) -> Bar:
        low, high = bounds(one.range)
        return Bar(
            label=self._words(f"water_report.{one.range.figure.value}"),
            band=None if one.range.low is None else (low, high),
            target=one.range.target,
            value=one.value,
            most=max(high, one.value or 0.0) * MARGIN,
            said=self._said(one, unit),
        )

    def _said(self, one: Standing, unit: HardnessUnit) -> str:
        words, figure = self._words, one.range.figure
        if one.value is None:
            return words("water_report.unknown")
        value, by = self._amount(figure, one.value, unit), self._amount(figure, one.by, unit)
        where = one.where
        if one.range.low is None:
            return words(f"water_report.target_{where.value}", value=value, by=by)
        return words(f"water_report.{where.value}", value=value, by=by)

    def _amount(self, figure: Figure, value: float, unit: HardnessUnit) -> str:
        words = self._words
        if figure in AS_CARBONATE:
            alkalinity = figure is Figure.ALKALINITY
            return words.sentence(in_unit(value, unit, alkalinity=alkalinity))
        return number(value) if figure is Figure.PH else words.quantity("mg_l", value)
