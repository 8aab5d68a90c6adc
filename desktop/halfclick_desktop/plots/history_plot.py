"""A coffee's settings or liking over brews, days or age; drained times below on the same axis."""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from enum import StrEnum
from math import ceil
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGraphicsView, QVBoxLayout, QWidget

from halfclick.service.history import HistoryPoint
from halfclick.wording import Wording, clock
from halfclick_desktop.look import INSIDE, Tokens, tokens_of
from halfclick_desktop.plots.series import Series, kind_of
from halfclick_desktop.setting_labels import labels_with_room, setting_labels

# The share of the picture between the first cup and the last; axis and margins take the rest.
FOR_CUPS = 0.65
# The share of its height that lies between the finest and the coarsest setting.
FOR_SETTINGS = 0.4
MOST_NUMBERS = 12  # of cups along the axis: those of three digits have room too
LEAST_PX = 260
LEFT_PX, TITLE_PX = 64, 24  # the axis at the left, and the room for its name in it


class Along(StrEnum):
    """What the plot runs along."""

    CUPS = "cups"
    DAYS = "days"
    AGE = "age"  # liking above, and not settings


class _ClockAxis(pg.AxisItem):
    """An axis of seconds, written as minutes and seconds."""

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        return [clock(value) for value in values]


class _SettingAxis(pg.AxisItem):
    """An axis of steps from the zero, written as this grinder's dial writes them."""

    def __init__(self) -> None:
        super().__init__("left")
        self.texts: dict[int, str] = {}

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        return [self.texts.get(round(value), "") for value in values]


class HistoryPlot(QWidget):
    """Paints settings and drained times; one point at a time has the focus."""

    point_focused = Signal(int)  # index into the points shown

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._points: tuple[HistoryPoint, ...] = ()
        self._shown: object = None  # what was last asked to be shown
        self._along = Along.CUPS
        self._breaks_said: Mapping[int, str] = {}
        self._break_lines: list[tuple[Any, Any]] = []  # each with the plot that it stands in
        self._xs: list[float] = []
        self._focus = -1
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(words("history_plot.name"))
        self._canvas = pg.GraphicsLayoutWidget()
        self._canvas.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(2, 2, 2, 2)
        layout.addWidget(self._canvas)
        self.setMinimumHeight(LEAST_PX)
        self._setting_axis = _SettingAxis()
        self._grind = self._canvas.addPlot(0, 0, axisItems={"left": self._setting_axis})
        self._drained = self._canvas.addPlot(1, 0, axisItems={"left": _ClockAxis("left")})
        self._canvas.ci.layout.setRowStretchFactor(0, 3)
        self._canvas.ci.layout.setRowStretchFactor(1, 2)
        self._drained.setXLink(self._grind)
        for plot in (self._grind, self._drained):
            plot.setMenuEnabled(False)
            plot.setMouseEnabled(False, False)
            plot.hideButtons()
            plot.getAxis("left").setWidth(LEFT_PX)
            plot.enableAutoRange()
            plot.getViewBox().setDefaultPadding(0.12)
        self._above, self._below = Series(self._grind), Series(self._drained)
        self._canvas.scene().sigMouseMoved.connect(self._hovered)

    def show_points(
        self,
        points: Sequence[HistoryPoint],
        *,
        along: Along,
        summary: str,
        breaks: Mapping[int, str] | None = None,
    ) -> None:
        """Show the cups of one coffee, oldest first; the newest takes the focus.

        What is shown already stays as it is, and so does the focus.

        Args:
            points: the cups.
            along: what they are shown over.
            summary: the plot in a sentence, for a screen reader.
            breaks: by index of the cup after it, the word of a break; None: the grinder's own.
        """
        shown = (tuple(points), along, summary, breaks)
        if shown == self._shown:
            return
        self._shown = shown
        self._points = tuple(points)
        self._along = along
        self._breaks_said = self._grinder_breaks() if breaks is None else breaks
        self._focus = len(self._points) - 1
        self.setAccessibleDescription(summary)
        self._xs = [self.x_of(index) for index in range(len(self._points))]
        self._paint()

    def picture(self) -> QGraphicsView:
        """Return what is painted, to be exported."""
        canvas: QGraphicsView = self._canvas
        return canvas

    def focused_index(self) -> int:
        """Return which point has the focus; -1 where there is none."""
        return self._focus

    def focus_point(self, index: int) -> None:
        """Move the focus to a point."""
        if self._points and index != self._focus:
            self._focus = max(0, min(index, len(self._points) - 1))
            self._ring()
            self.point_focused.emit(self._focus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        ends = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: len(self._points) - 1}
        if event.key() in steps:
            self.focus_point(self._focus + steps[Qt.Key(event.key())])
        elif event.key() in ends:
            self.focus_point(ends[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._ring()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._ring()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._tick()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._paint()

    def x_of(self, index: int) -> float:
        """Return where a point stands: its cup's number, days since the first cup, or the age."""
        point = self._points[index]
        if self._along is Along.CUPS:
            return float(point.cup.number)
        if self._along is Along.AGE:
            return float(point.age_days or 0)
        started = point.cup.brew.started_at - self._points[0].cup.brew.started_at
        return started.total_seconds() / 86_400

    def _paint(self) -> None:
        tokens = tokens_of(self.palette())
        self._canvas.setBackground(QColor(tokens.sheet))
        for plot in (self._grind, self._drained):
            for side in ("left", "bottom"):
                plot.getAxis(side).setPen(pg.mkPen(tokens.line))
                plot.getAxis(side).setTextPen(pg.mkPen(tokens.quiet))
        self._name_axes(tokens)
        used = [(p.steps, p.setting_text) for p in self._points if p.steps is not None]
        self._setting_axis.texts = setting_labels(used, self._words)
        self._tick()
        kinds = [kind_of(point) for point in self._points]
        for series, values in ((self._above, self._upper()), (self._below, self._lower())):
            series.show_values(
                [self._xs[index] for index, _ in values],
                [value for _, value in values],
                [kinds[index] for index, _ in values],
                tokens,
            )
        self._breaks(tokens)
        self._ring()

    def _tick(self) -> None:
        """Write as many settings at the axis as there is room for."""
        if self._along is Along.AGE:
            self._setting_axis.setTicks([[(float(one), str(one)) for one in range(1, 10)]])
            return
        lines = int(self.height() * FOR_SETTINGS / self.fontMetrics().height())
        labels = labels_with_room(self._setting_axis.texts, max(lines, 1))
        self._setting_axis.setTicks([sorted(labels.items())])
        widest = max(map(self.fontMetrics().horizontalAdvance, labels.values()), default=0)
        for plot in (self._grind, self._drained):
            plot.getAxis("left").setWidth(max(LEFT_PX, widest + 2 * INSIDE + TITLE_PX))

    def _upper(self) -> list[tuple[int, float]]:
        """Return what is shown above, by index: settings, or liking."""
        shown = enumerate(self._points)
        if self._along is Along.AGE:
            return [(i, float(p.liking)) for i, p in shown if p.liking is not None]
        return [(i, float(p.steps)) for i, p in shown if p.steps is not None]

    def _lower(self) -> list[tuple[int, float]]:
        return [(i, p.drained_s) for i, p in enumerate(self._points) if p.drained_s is not None]

    def _name_axes(self, tokens: Tokens) -> None:
        style = {"color": tokens.quiet, "font-size": "11px"}
        by_age = self._along is Along.AGE
        upper = "history_plot.liking" if by_age else "history_plot.setting"
        self._grind.setLabel("left", self._words(upper), **style)
        self._drained.setLabel("left", self._words("history_plot.drained"), **style)
        axis = self._words(f"history_plot.{self._along.value}")
        self._drained.setLabel("bottom", axis, **style)
        if self._along is Along.CUPS:
            whole = [(float(p.cup.number), str(p.cup.number)) for p in self._points]
            every = max(ceil(len(whole) / MOST_NUMBERS), 1)
            self._drained.getAxis("bottom").setTicks([whole[::every]])
        else:
            self._drained.getAxis("bottom").setTicks(None)
        self._grind.getAxis("bottom").setStyle(showValues=False, tickLength=0)

    def _grinder_breaks(self) -> dict[int, str]:
        """Return the word of each break in the grinder's zeros, and each other grinder's name."""
        return {
            index: self._words(f"history.break_{point.break_before.value}")
            if point.break_before
            else point.grinder_name
            for index, point in enumerate(self._points)
            if index and (point.break_before is not None or point.grinder_changed)
        }

    def _breaks(self, tokens: Tokens) -> None:
        for plot, line in self._break_lines:
            plot.removeItem(line)
        self._break_lines = []
        pen = pg.mkPen(tokens.quiet, width=1, style=Qt.PenStyle.DashLine)
        label = {"color": tokens.quiet, "position": 0.94, "anchors": [(0, 0), (0, 0)]}
        first, last = (self._xs[0], self._xs[-1]) if self._xs else (0.0, 1.0)
        px_per_x = self.width() * FOR_CUPS / max(last - first, 1)
        free_from = float("-inf")
        for index, word in sorted(self._breaks_said.items()):
            if not 0 < index < len(self._points):
                continue
            x = (self._xs[index] + self._xs[index - 1]) / 2
            # A word without room of its own is left to the table and the sentence.
            end = x * px_per_x + self.fontMetrics().horizontalAdvance(word) + INSIDE
            fits = x * px_per_x >= free_from and end <= (last + (last - first) / 5) * px_per_x
            if fits:
                free_from = end
            said = pg.InfiniteLine(x, pen=pen, label=word if fits else None, labelOpts=label)
            self._break_lines += [(self._grind, said), (self._drained, pg.InfiniteLine(x, pen=pen))]
        for plot, line in self._break_lines:
            plot.addItem(line)

    def _ring(self) -> None:
        """Ring the point in focus; the points themselves are not painted anew."""
        wide_px = 2.2 if self.hasFocus() else 1.0
        colour = tokens_of(self.palette()).link
        for series, values in ((self._above, self._upper()), (self._below, self._lower())):
            found = (value for index, value in values if index == self._focus)
            value = next(found, None)
            at = None if value is None else (self._xs[self._focus], value)
            series.show_ring(at, colour, wide_px)

    def _hovered(self, position: object) -> None:
        for plot in (self._grind, self._drained):
            if self._points and plot.sceneBoundingRect().contains(position):
                x = plot.getViewBox().mapSceneToView(position).x()
                after = bisect_left(self._xs, x)
                near = [i for i in (after - 1, after) if 0 <= i < len(self._xs)]
                self.focus_point(min(near, key=lambda i: abs(self._xs[i] - x)))
