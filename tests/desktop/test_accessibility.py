"""Every page with something in it, as a screen reader and the Tab key go through it."""

from dataclasses import asdict

import pytest
from gallery import opened_pages, sample_journal
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QColor, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QComboBox, QWidget
from test_look import contrast
from walk import focusable, unnamed, unreached

from halfclick_desktop import look
from halfclick_desktop.keys_dialog import KeysDialog
from halfclick_desktop.look import DARK, LIGHT, Theme


@pytest.fixture
def program(start, journal, clock):
    sample_journal(journal, clock)
    return start()


def pages_of(program):
    for name in opened_pages(program):
        yield name, program.window.page(name)


def test_everything_that_takes_the_keys_has_a_name(program):
    found = [f"{name}: {one}" for name, page in pages_of(program) for one in unnamed(page)]
    assert not found, "\n".join(found)


def test_everything_that_is_shown_is_told_by_its_role(program):
    """A widget that a screen reader takes for a bare client area tells nothing of itself."""
    told_nothing = {QAccessible.Role.Client, QAccessible.Role.NoRole}
    found = [
        f"{name}: {type(one).__name__} {one.accessibleName()}"
        for name, page in pages_of(program)
        for one in focusable(page)
        if QAccessible.queryAccessibleInterface(one).role() in told_nothing
        and not one.accessibleName()
    ]
    assert not found, "\n".join(found)


def test_tab_reaches_everything_and_comes_round(program):
    found = [
        f"{name}: {one}"
        for name, page in pages_of(program)
        for one in unreached(page, from_rail=True)
    ]
    assert not found, "\n".join(found)


def test_tab_comes_out_of_every_widget_either_way(program):
    window = program.window
    window.activateWindow()
    trapped = []
    for name, page in pages_of(program):
        if len(focusable(page)) < 2:
            continue
        for one in focusable(page):
            for key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
                one.setFocus()
                QTest.keyClick(window.focusWidget() or window, key)
                QApplication.processEvents()
                if window.focusWidget() in {one, None}:
                    trapped.append(f"{name}: {type(one).__name__} {one.accessibleName()} {key}")
    assert not trapped, "\n".join(trapped)


def test_no_table_or_list_keeps_the_tab_key_to_itself(qtbot, program, words):
    dialog = KeysDialog(words, None)
    qtbot.addWidget(dialog)
    for _ in pages_of(program):
        pass
    views = [
        *program.window.findChildren(QAbstractItemView),
        *dialog.findChildren(QAbstractItemView),
    ]
    keeps = [
        f"{type(one).__name__} {one.accessibleName()}"
        for one in views
        if one.tabKeyNavigation() and not in_a_choice(one)
    ]
    assert not keeps, "\n".join(keeps)


def in_a_choice(view: QWidget) -> bool:
    """Return whether a list is the one that a choice drops down."""
    above = view
    while (above := above.parentWidget()) is not None:
        if isinstance(above, QComboBox):
            return True
    return False


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
def test_whoever_has_the_keys_can_be_seen_to_have_them(qapp, program, theme):
    program.use_theme(theme.value)
    window = program.window
    window.activateWindow()
    unseen = []
    for name, page in pages_of(program):
        for one in focusable(page):
            shown = around(one, page)
            other = next((w for w in focusable(page) if w is not one), None)
            if other is None:
                continue
            one.setFocus()
            QApplication.processEvents()
            having = shown.grab().toImage()
            other.setFocus()
            QApplication.processEvents()
            if having == shown.grab().toImage():
                unseen.append(f"{name}: {type(one).__name__} {one.accessibleName()}")
    program.use_theme(Theme.LIGHT.value)
    assert not unseen, "\n".join(unseen)


def around(one: QWidget, page: QWidget) -> QWidget:
    """Return what shows the focus of a widget: itself, or the row it stands in."""
    above = one.parentWidget()
    return above if above is not None and above is not page and above.property("role") else one


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_what_is_selected_or_stands_in_for_text_can_be_read(tokens):
    # WCAG 2.2, 1.4.3: 4.5 to 1. What is disabled is exempt, and is tested with the palette.
    palette = look.palette_of(tokens)
    role = QPalette.ColorRole
    ground = palette.color(role.Base)
    placeholder = blended(palette.color(role.PlaceholderText), ground)
    assert contrast(placeholder.name(), ground.name()) >= 4.5
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive):
        text, under = (palette.color(group, r) for r in (role.HighlightedText, role.Highlight))
        assert contrast(text.name(), under.name()) >= 4.5
        link = palette.color(group, role.Link)
        assert contrast(link.name(), palette.color(group, role.Window).name()) >= 4.5
    colours = asdict(tokens)
    # WCAG 2.2, 1.4.11: 3 to 1 for the ring round whatever has the keys.
    for under in ("paper", "sheet"):
        assert contrast(colours["link"], colours[under]) >= 3


def blended(colour: QColor, ground: QColor) -> QColor:
    share = colour.alphaF()
    parts = zip(colour.getRgb()[:3], ground.getRgb()[:3], strict=True)
    return QColor(*(round(over * share + under * (1 - share)) for over, under in parts))
