"""Walk a page as a screen reader and the Tab key do."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget


def focusable(page: QWidget) -> list[QWidget]:
    """Return every widget of a page that the Tab key should reach."""
    return [
        child
        for child in page.findChildren(QWidget)
        if child.isVisibleTo(page)
        and child.isEnabled()
        and child.focusPolicy() & Qt.FocusPolicy.TabFocus
        and child.focusProxy() is None
        and not child.objectName().startswith("qt_")
    ]


def unnamed(page: QWidget) -> list[str]:
    """Return the focusable widgets that a screen reader could not name."""
    found = []
    for child in focusable(page):
        interface = QAccessible.queryAccessibleInterface(child)
        name = interface.text(QAccessible.Text.Name) if interface else ""
        if not name.strip() or isinstance(child, QScrollArea):
            found.append(f"{type(child).__name__} {child.objectName()}")
    return found


def unreached(page: QWidget, presses: int = 200, *, from_rail: bool = False) -> list[str]:
    """Press Tab until it is back where it began; return what it never came to.

    From the rail it comes to all of a page only if nothing lies before the page's first place.
    """
    window = page.window()
    window.activateWindow()
    wanted = focusable(page)
    if not wanted:
        return []
    start = window.rail.button("settings") if from_rail else wanted[0]
    start.setFocus()
    seen = {start}
    for _ in range(presses):
        focused = window.focusWidget() or window
        QTest.keyClick(focused, Qt.Key.Key_Tab)
        QApplication.processEvents()
        now = window.focusWidget()
        if now is start and len(seen) > 1:
            break
        if now is not None:
            seen.add(now)
    return [f"{type(w).__name__} {w.accessibleName()}" for w in wanted if w not in seen]
