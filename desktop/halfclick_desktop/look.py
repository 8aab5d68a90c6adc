"""How the program looks: colours, sizes and the one application style sheet, light and dark."""

from dataclasses import asdict, dataclass
from enum import StrEnum
from pathlib import Path
from string import Template

from PySide6.QtGui import QColor, QFont, QPalette
from PySide6.QtWidgets import QApplication

import halfclick_resources

ICONS = Path(halfclick_resources.__path__[0]) / "icons"

# Space in steps of 4 px.
INSIDE = 8
GROUPS = 16
THOUGHTS = 32
CORNER = 6

LABEL_PX = 11
BODY_PX = 13
HEADING_PX = 20
NUMBER_PX = 34
KETTLE_PX = 72


class Theme(StrEnum):
    """Which colours a person wants."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tokens:
    """The colours of one theme by their role, as "#RRGGBB"."""

    paper: str
    sheet: str
    ink: str
    quiet: str
    line: str
    change: str
    wash: str
    link: str
    kept: str
    caution: str


LIGHT = Tokens(
    paper="#F6F4EF",
    sheet="#FFFFFF",
    ink="#1D2329",
    quiet="#56616B",
    line="#D5D1C7",
    change="#B3401E",
    wash="#FBEAE3",
    link="#1F5A82",
    kept="#2B6A4F",
    caution="#8A5A00",
)
DARK = Tokens(
    paper="#15191D",
    sheet="#1D2328",
    ink="#ECEAE4",
    quiet="#A7B0B8",
    line="#39424A",
    change="#FF9468",
    wash="#3A241B",
    link="#86C0E8",
    kept="#7CCBA4",
    caution="#E8BC5A",
)


def apply(app: QApplication, theme: Theme | str = Theme.SYSTEM) -> None:
    """Give the whole program the colours, type and shapes of a theme."""
    app.setStyle("Fusion")
    tokens = DARK if is_dark(app, Theme(theme)) else LIGHT
    app.setFont(body_font(app.font()))
    app.setPalette(palette_of(tokens))
    app.setStyleSheet(sheet_of(tokens))


def is_dark(app: QApplication, theme: Theme) -> bool:
    """Return whether a theme is dark on this system now."""
    if theme is not Theme.SYSTEM:
        return theme is Theme.DARK
    # The style's own palette follows the system. Asking for the scheme itself would load the
    # whole of Qt's namespace, a fifth of the time to the first paint.
    return app.style().standardPalette().color(QPalette.ColorRole.Window).lightness() < 128


def tokens_of(palette: QPalette) -> Tokens:
    """Return the colours of the theme that a palette belongs to."""
    window = palette.color(QPalette.ColorRole.Window)
    if window.alpha() == 0:  # the style sheet made it see-through, so its text must tell
        ink = palette.color(QPalette.ColorRole.WindowText)
        return DARK if ink.lightness() >= 128 else LIGHT
    return DARK if window.lightness() < 128 else LIGHT


def body_font(font: QFont) -> QFont:
    """Return the system's font at body size, with digits of one width wherever it has them."""
    body = QFont(font)
    body.setPixelSize(BODY_PX)
    body.setFeature(QFont.Tag("tnum"), 1)
    return body


def palette_of(tokens: Tokens) -> QPalette:
    """Return the palette of a theme."""
    roles = {
        QPalette.ColorRole.Window: tokens.paper,
        QPalette.ColorRole.WindowText: tokens.ink,
        QPalette.ColorRole.Base: tokens.sheet,
        QPalette.ColorRole.AlternateBase: tokens.paper,
        QPalette.ColorRole.Text: tokens.ink,
        QPalette.ColorRole.Button: tokens.sheet,
        QPalette.ColorRole.ButtonText: tokens.ink,
        QPalette.ColorRole.BrightText: tokens.ink,
        QPalette.ColorRole.ToolTipBase: tokens.sheet,
        QPalette.ColorRole.ToolTipText: tokens.ink,
        QPalette.ColorRole.PlaceholderText: tokens.quiet,
        QPalette.ColorRole.Highlight: tokens.link,
        QPalette.ColorRole.HighlightedText: tokens.sheet,
        QPalette.ColorRole.Link: tokens.link,
        QPalette.ColorRole.LinkVisited: tokens.link,
        QPalette.ColorRole.Mid: tokens.line,
        QPalette.ColorRole.Dark: tokens.quiet,
    }
    palette = QPalette()
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    for role in (
        QPalette.ColorRole.WindowText,
        QPalette.ColorRole.Text,
        QPalette.ColorRole.ButtonText,
    ):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(tokens.quiet))
    return palette


def sheet_of(tokens: Tokens) -> str:
    """Return the application's style sheet in the colours of a theme."""
    return Template(_SHEET).substitute(
        asdict(tokens),
        icons=ICONS.as_posix(),
        shade="dark" if tokens == DARK else "light",
        label_px=LABEL_PX,
        heading_px=HEADING_PX,
        number_px=NUMBER_PX,
        kettle_px=KETTLE_PX,
        corner=CORNER,
    )


_SHEET = """
QToolTip { color: $ink; background: $sheet; border: 1px solid $quiet; padding: 4px; }
QLabel[role="label"] { font-size: ${label_px}px; color: $quiet; }
QLabel[role="title"] { font-weight: bold; }
QLabel[role="quiet"] { color: $quiet; }
QLabel[role="next"] { font-size: ${heading_px}px; color: $quiet; }
QLabel[role="next_changed"] { font-size: ${heading_px}px; color: $change; }
QLabel[role="slip"] { font-size: ${heading_px}px; color: $caution; }
QLabel[role="heading"] { font-size: ${heading_px}px; }
QLabel[role="number"] { font-size: ${number_px}px; }
QLabel[role="kettle"] { font-size: ${kettle_px}px; }
QLabel[role="change"] { color: $change; background: $wash; border-radius: ${corner}px;
    padding: 4px 8px; }
QLabel[role="hero"] { color: $change; background: $wash; font-size: 28px;
    border-radius: ${corner}px; padding: 4px 12px; }
QLabel[role="changed"] { color: $change; }
QLabel[role="kept"] { color: $kept; }
QLabel[role="caution"] { color: $caution; }
QFrame[role="sheet"] { background: $sheet; border: 1px solid $line;
    border-radius: ${corner}px; }
QFrame[role="wash"] { background: $wash; border: 2px solid $change;
    border-radius: ${corner}px; }
QFrame[role="notice"] { background: $sheet; border: 1px solid $quiet;
    border-radius: ${corner}px; }
QFrame[role="rail"] { background: $sheet; border: none; border-right: 1px solid $line; }

QPushButton { background: $sheet; color: $ink; border: 1px solid $quiet;
    border-radius: ${corner}px; padding: 6px 13px; }
QPushButton:hover { border-color: $ink; }
QPushButton:pressed, QPushButton:checked { background: $paper; }
QPushButton:checked { border-color: $ink; text-decoration: underline; }
QPushButton:default { border: 1px solid $link; color: $link; }
QPushButton:focus { border: 2px solid $link; padding: 5px 12px; }
QPushButton:disabled { color: $quiet; border-style: dashed; }
QPushButton[role="chip"] { padding: 2px 7px; }
QPushButton[role="chip"]:checked { border: 2px solid $ink; padding: 1px 6px; }
QPushButton[role="main"] { background: $link; color: $sheet; border: 1px solid $link; }
QPushButton[role="main"]:hover { border-color: $ink; }
QPushButton[role="main"]:focus { border: 2px solid $ink; }
QPushButton[role="main"]:disabled { background: $sheet; color: $quiet; border: 1px dashed $quiet; }
QPushButton[role="rail"] { background: transparent; border: 2px solid transparent;
    border-radius: ${corner}px; padding: 8px; text-align: left; }
QPushButton[role="rail"]:hover { background: $paper; }
QPushButton[role="rail"]:checked { background: $paper; font-weight: bold;
    text-decoration: none; border-left: 2px solid $ink; }
QPushButton[role="rail"]:focus { border: 2px solid $link; }

QLineEdit, QPlainTextEdit, QTextEdit, QSpinBox, QDoubleSpinBox, QComboBox { background: $sheet;
    color: $ink; border: 1px solid $quiet; border-radius: ${corner}px; padding: 5px 8px;
    selection-background-color: $link; selection-color: $sheet; }
QLineEdit { placeholder-text-color: $quiet; }
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QSpinBox:focus, QDoubleSpinBox:focus,
QComboBox:focus { border: 2px solid $link; padding: 4px 7px; }
QLineEdit[wrong="true"], QComboBox[wrong="true"] { border: 2px solid $caution;
    padding: 4px 7px; }
QComboBox::drop-down { border: none; width: 24px; }
QComboBox::down-arrow { image: url("$icons/arrow_$shade.svg"); width: 12px; height: 12px; }
QComboBox QAbstractItemView { background: $sheet; color: $ink; border: 1px solid $quiet;
    selection-background-color: $link; selection-color: $sheet; padding: 4px; }

QCheckBox, QRadioButton { border: 2px solid transparent; border-radius: ${corner}px;
    padding: 4px; spacing: 8px; }
QCheckBox:focus, QRadioButton:focus { border: 2px solid $link; }
QCheckBox::indicator { width: 14px; height: 14px; border: 1px solid $quiet; border-radius: 3px;
    background: $sheet; }
QCheckBox::indicator:checked { image: url("$icons/check_$shade.svg"); }
QRadioButton::indicator { width: 14px; height: 14px; border: 1px solid $quiet;
    border-radius: 8px; background: $sheet; }
QRadioButton::indicator:checked { image: url("$icons/dot_$shade.svg"); }

QPushButton[role="slip"] { font-size: 16px; }
QListView[role="slips"] { font-size: ${heading_px}px; }
QListView[role="slips"]::item { padding: 2px 8px; }
QListView[role="slips"]::item:selected { background: $link; color: $sheet; }

QListView, QTableView, QTreeView { background: $sheet; color: $ink;
    border: 1px solid $line; border-radius: ${corner}px; gridline-color: $line;
    selection-background-color: $link; selection-color: $sheet; }
QListView:focus, QTableView:focus, QTreeView:focus { border: 2px solid $link; }
QTableView::item { padding: 0px 8px; }
QFrame[role="row"] { border: 2px solid transparent; border-radius: ${corner}px; }
QFrame[role="row"][focused="true"] { border: 2px solid $link; background: $sheet; }
QHeaderView::section { background: $paper; color: $quiet; border: none;
    border-bottom: 1px solid $line; padding: 6px 8px; }
QTableCornerButton::section { background: $paper; border: none; }
QProgressBar { background: $line; border: none; border-radius: 2px; height: 4px; }
QProgressBar::chunk { background: $ink; border-radius: 2px; }
QMenuBar { background: $paper; color: $ink; border-bottom: 1px solid $line; }
QMenuBar::item { background: transparent; padding: 4px 8px; }
QMenuBar::item:selected { background: $link; color: $sheet; }
QMenu { background: $sheet; color: $ink; border: 1px solid $quiet; padding: 4px; }
QMenu::item { padding: 6px 24px; }
QMenu::item:selected { background: $link; color: $sheet; }
QScrollArea { border: none; background: transparent; }
QScrollBar:vertical { background: transparent; width: 10px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 10px; margin: 0; }
QScrollBar::handle { background: $quiet; border-radius: 3px; margin: 2px; }
QScrollBar::handle:vertical { min-height: 32px; }
QScrollBar::handle:horizontal { min-width: 32px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
"""
