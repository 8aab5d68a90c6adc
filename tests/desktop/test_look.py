from dataclasses import asdict

import pytest
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QLabel

from halfclick_desktop import look
from halfclick_desktop.look import DARK, LIGHT, Tokens

THEMES = [pytest.param(LIGHT, id="light"), pytest.param(DARK, id="dark")]
# What is read on what: ink, then what lies under it.
TEXT_PAIRS = [
    (ink, ground)
    for ink in ("ink", "quiet", "change", "link", "kept", "caution")
    for ground in ("paper", "sheet")
] + [("ink", "wash"), ("change", "wash"), ("sheet", "link")]


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_black_on_white_has_the_contrast_that_wcag_gives():
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)


@pytest.mark.parametrize("tokens", THEMES)
@pytest.mark.parametrize(("ink", "ground"), TEXT_PAIRS)
def test_text_has_the_contrast_of_wcag_aa(tokens: Tokens, ink: str, ground: str):
    colours = asdict(tokens)
    assert contrast(colours[ink], colours[ground]) >= 4.5


@pytest.mark.parametrize("tokens", THEMES)
def test_the_palette_has_readable_text_for_every_pair_that_qt_paints(tokens: Tokens):
    palette = look.palette_of(tokens)
    role = QPalette.ColorRole
    for ink, ground in (
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.ButtonText, role.Button),
        (role.HighlightedText, role.Highlight),
        (role.PlaceholderText, role.Base),
        (role.ToolTipText, role.ToolTipBase),
    ):
        for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Disabled):
            pair = (palette.color(group, ink).name(), palette.color(group, ground).name())
            assert contrast(*pair) >= 4.5, (ink, ground, group)


@pytest.mark.parametrize("tokens", THEMES)
def test_the_edge_of_a_control_can_be_told_from_what_lies_under_it(tokens: Tokens):
    # WCAG 2.2, 1.4.11: 3 to 1 for what tells a control.
    assert contrast(tokens.quiet, tokens.sheet) >= 3
    assert contrast(tokens.link, tokens.paper) >= 3


@pytest.mark.parametrize(("theme", "tokens"), [("light", LIGHT), ("dark", DARK)])
def test_a_theme_can_be_told_from_the_palette(qapp: QApplication, theme: str, tokens: Tokens):
    look.apply(qapp, theme)
    assert look.tokens_of(qapp.palette()) == tokens


def test_the_number_that_matters_is_larger_than_the_body(qtbot, qapp: QApplication):
    label = QLabel("16")
    label.setProperty("role", "number")
    qtbot.addWidget(label)
    label.ensurePolished()
    assert label.font().pixelSize() == look.NUMBER_PX > look.BODY_PX
