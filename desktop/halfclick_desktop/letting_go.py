"""How an object of Qt's is let go of: by Qt first, by Python after it."""

from PySide6.QtCore import QObject
from shiboken6 import isValid

_leaving: list[QObject] = []


def let_go(gone: QObject) -> None:
    """Have Qt delete an object once what is under way is done; Python holds it until then.

    Where only its parent holds an object, PySide frees what Python knows of it while Qt deletes
    it, and then looks it up by its address once more. If something else was known at that
    address before, as the item of a layout that Qt has deleted without a word, PySide writes
    into what it has just freed, and the process ends (PySide 6.10).
    """
    _leaving[:] = [other for other in _leaving if isValid(other)]
    _leaving.append(gone)
    gone.deleteLater()
