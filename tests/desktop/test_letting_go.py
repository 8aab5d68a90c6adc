"""PySide keeps nothing of what Qt has deleted, so that no address is known twice."""

import weakref

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget
from shiboken6 import isValid

from halfclick.service.words import understand
from halfclick.taste.word_choices import WordChoices
from halfclick.wording import Wording
from halfclick_desktop.letting_go import let_go
from halfclick_desktop.widgets.word_matches import WordMatches


def test_python_holds_what_is_let_go_of_until_qt_has_deleted_it(qtbot):
    parent = QObject()
    gone = QObject(parent)
    held = weakref.ref(gone)
    was_held: list[bool] = []
    gone.destroyed.connect(lambda: was_held.append(held() is not None))
    let_go(gone)
    del gone
    qtbot.waitUntil(lambda: bool(was_held))
    assert was_held == [True]


def test_what_is_in_it_is_held_too(qtbot):
    parent = QWidget()
    qtbot.addWidget(parent)
    gone = QFrame(parent)
    inside = QVBoxLayout(gone)
    label = QLabel("sweet")
    inside.addWidget(label)
    held = weakref.ref(label)
    was_held: list[bool] = []
    label.destroyed.connect(lambda: was_held.append(held() is not None))
    let_go(gone)
    del gone, inside, label
    qtbot.waitUntil(lambda: bool(was_held))
    assert was_held == [True]


def test_what_qt_has_deleted_is_held_no_longer_than_to_the_next(qtbot):
    first, second = QObject(), QObject()
    held = weakref.ref(first)
    with qtbot.waitSignal(first.destroyed):
        let_go(first)
        del first
    let_go(second)
    assert held() is None


def test_a_job_is_held_until_qt_has_deleted_it(qtbot, jobs):
    job = jobs.run(int)
    held = weakref.ref(job)
    was_held: list[bool] = []
    job.destroyed.connect(lambda: was_held.append(held() is not None))
    del job
    qtbot.waitUntil(lambda: bool(was_held))
    assert was_held == [True]


def test_of_a_widget_that_is_laid_out_anew_the_old_item_is_forgotten(qtbot, words: Wording):
    matches = WordMatches(words)
    qtbot.addWidget(matches)
    rows = understand("sharp bitter", WordChoices(), {}).rows
    matches.show_rows(rows, {})
    items = [matches._grid.itemAt(place) for place in range(matches._grid.count())]
    moved = [item for item in items if item.widget() in matches.rows()]
    assert len(moved) == len(rows) == 2
    matches.show_rows(rows, {})
    assert not any(map(isValid, moved))
