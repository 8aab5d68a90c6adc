"""Every page in the language for tests: nothing hard-coded, nothing cut where words are longer."""

import re

import pytest
from gallery import opened_pages, sample_journal
from PySide6.QtCore import QAbstractListModel, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QScrollArea,
    QWidget,
)

from halfclick.pseudo import pseudo_wording
from halfclick_desktop.keys_dialog import KEYS, KeysDialog

# Signs of units and of keys, options and the like are the same in every language.
NO_WORDS = re.compile(
    r"\b(g/s|oz/s|mg/L|hPa|µm|mm|oz|g|m|s|C|F|doi|CaCO)\b|(Ctrl|Alt|Shift)\+\w+|F1\b|--journal"
    r"|HALFCLICK_JOURNAL|(?<=  )[A-Z0-9+](?=$)"
)

# The window's least width with words this long; in English it stays within 1280 px.
WIDEST_PX = 1380
ARROW_PX = 24  # what a choice keeps for its arrow


@pytest.fixture
def words():
    return pseudo_wording()


@pytest.fixture
def program(start, journal, clock):
    sample_journal(journal, clock)
    return start()


def visible(kind: type[QWidget], page: QWidget) -> list:
    return [one for one in page.findChildren(kind) if one.isVisibleTo(page)]


def texts_of(page: QWidget) -> set[str]:
    """Return every text that a page's widgets show or tell a screen reader."""
    found: set[str] = set()
    for one in visible(QWidget, page):
        found |= {one.toolTip(), one.accessibleName(), one.accessibleDescription()}
    for one in visible(QLabel, page) + visible(QAbstractButton, page):
        found.add(one.text())
    for one in visible(QLineEdit, page):
        found.add(one.placeholderText())
    for one in visible(QComboBox, page):
        found |= {one.itemText(i) for i in range(one.count())}
    for one in visible(QAbstractItemView, page):
        found |= cells_of(one)
    return found - {""}


def cells_of(view: QAbstractItemView) -> set[str]:
    model = view.model()
    listed = isinstance(model, QAbstractListModel)
    rows, columns = range(model.rowCount()), range(1 if listed else model.columnCount())
    found = {str(model.index(row, column).data() or "") for row in rows for column in columns}
    return found | {
        str(model.headerData(column, Qt.Orientation.Horizontal) or "") for column in columns
    }


def plain(text: str, own: set[str]) -> str:
    """Return the Latin letters of a text that came from no catalogue and no person."""
    text = text.replace("\u200b", "")
    for typed in sorted(own, key=len, reverse=True):
        text = text.replace(typed, "")
    return "".join(re.findall(r"[A-Za-z]+", NO_WORDS.sub("", text)))


def own_texts(program) -> set[str]:
    """Return what is no word of the program: paths, the machine's name, a language's own name."""
    store = program.store
    sources = {source for rule in rules() for source in rule.sources}
    return {str(store.path), store.device.name, "English", *sources}


def cut(page: QWidget) -> list[str]:
    """Return the texts that have less room than they need."""
    found = [f"label {one.text()!r} {one.size()}" for one in visible(QLabel, page) if is_cut(one)]
    found += [
        f"button {one.text()!r} {one.size()}"
        for one in visible(QAbstractButton, page)
        if one.text() and one.width() < one.sizeHint().width() - 1
    ]
    found += [
        f"choice {one.currentText()!r} {one.size()}"
        for one in visible(QComboBox, page)
        if one.width() < one.fontMetrics().horizontalAdvance(one.currentText()) + ARROW_PX
    ]
    found += [
        f"too wide to scroll: {one.widget().size()} in {one.viewport().size()}"
        for one in visible(QScrollArea, page)
        if one.widget().width() > one.viewport().width()
    ]
    return found


def is_cut(label: QLabel) -> bool:
    if not label.text():
        return False
    if not label.wordWrap():
        return label.width() < label.sizeHint().width() - 1
    needs = label.heightForWidth(label.width())
    return label.height() < needs - 1 or label.width() < widest_word(label) - 1


def widest_word(label: QLabel) -> int:
    metrics = label.fontMetrics()
    words = re.split(r"[\s\u200b-]+", label.text())
    return max((metrics.horizontalAdvance(word) for word in words), default=0)


def rules():
    from halfclick.taste.rules import load_rules

    return load_rules()


def settle() -> None:
    for _ in range(4):
        QApplication.processEvents()


def test_every_text_of_every_page_is_from_a_catalogue(program):
    hard_coded = []
    for name in opened_pages(program):
        own = own_texts(program)
        page = program.window.page(name)
        hard_coded += [f"{name}: {text}" for text in texts_of(page) if plain(text, own)]
    assert not hard_coded, "\n".join(hard_coded)


def test_the_rail_the_menus_and_the_keys_are_from_a_catalogue(qtbot, program, words):
    window = program.window
    dialog = KeysDialog(words, None)
    qtbot.addWidget(dialog)
    dialog.show()
    texts = texts_of(window.rail) | texts_of(dialog)
    texts |= {action.text().replace("&", "") for action in window.findChildren(QAction)}
    texts |= {window.windowTitle(), dialog.windowTitle()}
    # Letters that are pressed are the same in every language.
    single = {key for _, keys in KEYS for key, _ in keys if re.fullmatch(r"\w(, \w)*", key)}
    hard_coded = [text for text in texts if plain(text, set()) and text not in single]
    assert not hard_coded, hard_coded


@pytest.mark.parametrize("size", [(1280, 800), None], ids=["1280x800", "smallest"])
def test_nothing_is_cut_where_words_are_longer(program, size):
    found = []
    for name in opened_pages(program):
        window = program.window
        least = window.minimumSizeHint()
        assert least.width() <= WIDEST_PX, name
        assert least.height() <= 800, name
        wide, high = size or (0, 0)
        window.resize(max(wide, least.width()), max(high, least.height()))
        settle()
        found += [f"{name}: {one}" for one in cut(window)]
    assert not found, "\n".join(sorted(set(found)))
