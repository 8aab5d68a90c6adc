"""How an object of Qt's is let go of: by Qt first, by Python after it. On the main thread only."""

from PySide6.QtCore import QObject
from shiboken6 import createdByPython, isValid

# Each with what is in it; an entry stays until the next object is let go of.
_leaving: list[tuple[QObject, list[QObject]]] = []


def let_go(gone: QObject) -> None:
    """Have Qt delete an object, and what is in it, once what is under way is done.

    Where only its parent holds an object, PySide frees what Python knows of it while Qt deletes
    it, and then looks it up by its address once more. If something else was known at that
    address before, as the item of a layout that Qt has deleted without a word, PySide writes
    into what it has just freed, and the process ends (PySide 6.10). So Python holds all of it
    until Qt has deleted it.
    """
    # What Qt made itself Python need not know.
    inside = [one for one in gone.findChildren(QObject) if createdByPython(one)]
    gone.deleteLater()
    _leaving[:] = [(other, within) for other, within in _leaving if isValid(other)]
    _leaving.append((gone, inside))
