"""One line of values in a plot, each point by its kind; shown anew without being made anew."""

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtGui import QPainterPath

from halfclick.service.history import HistoryPoint
from halfclick_desktop.look import Tokens

POINT_PX = 13
RING_PX = 23
KINDS = ("kept", "changed", "untasted")


class Series:
    """A thin line through points, a sort of point a verdict, and a ring round the one in focus."""

    def __init__(self, plot: pg.PlotItem) -> None:
        self._line = pg.PlotCurveItem()
        self._points = {kind: pg.ScatterPlotItem(size=POINT_PX) for kind in KINDS}
        self._ring = pg.ScatterPlotItem(size=RING_PX, symbol="o", brush=None)
        self._ring.setZValue(1)
        for item in (self._line, *self._points.values(), self._ring):
            plot.addItem(item)

    def show_values(
        self, xs: Sequence[float], ys: Sequence[float], kinds: Sequence[str], tokens: Tokens
    ) -> None:
        """Show values of one kind each, as `kind_of` names them."""
        self._line.setData(list(xs), list(ys), pen=pg.mkPen(tokens.line, width=1))
        for kind, (symbol, ink, filled) in _shapes(tokens).items():
            own = [at for at, found in enumerate(kinds) if found == kind]
            self._points[kind].setData(
                [xs[at] for at in own],
                [ys[at] for at in own],
                symbol=symbol,
                pen=pg.mkPen(ink, width=1.6),
                brush=pg.mkBrush(ink if filled else tokens.sheet),
            )

    def show_ring(self, at: tuple[float, float] | None, colour: str, wide_px: float) -> None:
        """Ring one place; none where there is none."""
        xs, ys = ([at[0]], [at[1]]) if at else ([], [])
        self._ring.setData(xs, ys, pen=pg.mkPen(colour, width=wide_px))


def kind_of(point: HistoryPoint) -> str:
    """Return of which kind a cup's point is."""
    if point.is_good:
        return "kept"
    return "untasted" if point.cup.tasting is None else "changed"


def _shapes(tokens: Tokens) -> dict[str, tuple[object, str, bool]]:
    """Return symbol, ink and filling by verdict: shape first, colour second."""
    return {
        "kept": ("d", tokens.kept, True),
        "changed": ("o", tokens.ink, False),
        "untasted": (_CROSS, tokens.quiet, False),
    }


def _cross() -> QPainterPath:
    path = QPainterPath()
    path.moveTo(-0.4, -0.4)
    path.lineTo(0.4, 0.4)
    path.moveTo(-0.4, 0.4)
    path.lineTo(0.4, -0.4)
    return path


_CROSS = _cross()
