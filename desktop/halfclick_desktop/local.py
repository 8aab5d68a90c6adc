"""What belongs to this machine and not to the journal: theme, window place, log of faults."""

from pathlib import Path

from PySide6.QtCore import QByteArray, QRect, QSettings, QStandardPaths
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from halfclick_desktop.look import Theme

SMALLEST_SHOWN_PX = 120


class Local:
    """Choices kept in a small file in the platform's state folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._settings = QSettings(str(folder / "window.ini"), QSettings.Format.IniFormat)

    def theme(self) -> Theme:
        """Return the theme chosen here; the system's before that."""
        kept = str(self._settings.value("theme", Theme.SYSTEM.value))
        return Theme(kept) if kept in set(Theme) else Theme.SYSTEM

    def keep_theme(self, theme: Theme) -> None:
        """Keep a theme for the next start."""
        self._settings.setValue("theme", theme.value)

    def language(self) -> str:
        """Return the language chosen here; empty before that."""
        return str(self._settings.value("language", ""))

    def keep_language(self, code: str) -> None:
        """Keep a language for the next start."""
        self._settings.setValue("language", code)

    def keep_place(self, window: QWidget) -> None:
        """Keep where a window stands."""
        self._settings.setValue("geometry", window.saveGeometry())
        self._settings.sync()

    def restore_place(self, window: QWidget) -> None:
        """Put a window where it stood last, if that is on a screen that is there."""
        kept = self._settings.value("geometry")
        if isinstance(kept, QByteArray):
            window.restoreGeometry(kept)
        onto_screen(window)


def onto_screen(window: QWidget) -> None:
    """Move a window whose title could not be reached, and shrink one larger than its screen."""
    screens = [screen.availableGeometry() for screen in QGuiApplication.screens()]
    place = window.geometry()
    if not screens:
        return
    best = max(screens, key=lambda screen: _shown(screen, place))
    shown = best.intersected(place)
    if shown.width() < SMALLEST_SHOWN_PX or shown.height() < SMALLEST_SHOWN_PX:
        place.moveCenter(best.center())
    place.setSize(place.size().boundedTo(best.size()))
    window.setGeometry(place)


def state_folder() -> Path:
    """Return the platform's folder for a program's state, made if it was missing."""
    place = QStandardPaths.StandardLocation.GenericStateLocation
    folder = Path(QStandardPaths.writableLocation(place)) / "halfclick"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        # Without a place for it nothing is remembered; the program works all the same.
        return Path()
    return folder


def _shown(screen: QRect, place: QRect) -> int:
    part = screen.intersected(place)
    return part.width() * part.height() if part.isValid() else 0
