"""A trap of one Qt release: calls that return nothing must not use up None."""

import sys

import pytest
from PySide6.QtWidgets import QLabel


@pytest.mark.skipif(sys.version_info >= (3, 12), reason="None is never freed from 3.12 on")
def test_ten_thousand_calls_leave_none_alone(qtbot):
    label = QLabel()
    qtbot.addWidget(label)
    before = sys.getrefcount(None)
    for _ in range(10_000):
        label.setText("a")
    assert abs(sys.getrefcount(None) - before) <= 100
