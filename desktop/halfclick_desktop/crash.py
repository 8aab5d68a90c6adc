"""When the program itself is at fault: a local log, and a dialog that shows it first."""

import faulthandler
import sys
import traceback
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import TextIO

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS

LARGEST_BYTES = 256 * 1024
OLDER_KEPT = 3


class CrashLog:
    """A file of faults on this machine; it is never sent anywhere."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "faults.log"
        self._file = self._opened()

    def write(self, text: str) -> None:
        """Add a text, with the time; a full disk must not make matters worse."""
        try:
            self._file.write(f"{datetime.now().astimezone().isoformat()} {text.rstrip()}\n")
            self._file.flush()
        except OSError:
            sys.stderr.write(text)

    def file(self) -> TextIO:
        """Return the open file, for the interpreter's own fault handler."""
        return self._file

    def close(self) -> None:
        """Let go of the file."""
        if self._file is not sys.stderr:
            self._file.close()

    def _opened(self) -> TextIO:
        try:
            self._rotate()
            return self.path.open("a", encoding="utf-8", errors="backslashreplace")
        except OSError:
            return sys.stderr

    def _rotate(self) -> None:
        if not self.path.exists() or self.path.stat().st_size < LARGEST_BYTES:
            return
        for number in range(OLDER_KEPT, 0, -1):
            older = self.path.with_name(f"faults.{number}.log")
            newer = self.path if number == 1 else self.path.with_name(f"faults.{number - 1}.log")
            if newer.exists():
                newer.replace(older)


class CrashDialog(QDialog):
    """Says what happened and what is safe, and shows the report before anyone copies it."""

    def __init__(self, words: Wording, report: str, path: Path, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWindowTitle(words("crash.title"))
        self.resize(720, 480)
        said = QLabel(words("crash.text", path=str(path)))
        said.setWordWrap(True)
        self._report = QPlainTextEdit(report)
        self._report.setReadOnly(True)
        self._report.setTabChangesFocus(True)
        self._report.setAccessibleName(words("crash.report"))
        copy = QPushButton(words("crash.copy"))
        copy.clicked.connect(self._copy)
        close = QPushButton(words("crash.go_on"))
        close.setDefault(True)
        close.clicked.connect(self.accept)
        buttons = QDialogButtonBox()
        buttons.addButton(copy, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.addButton(close, QDialogButtonBox.ButtonRole.AcceptRole)
        column = QVBoxLayout(self)
        column.setSpacing(GROUPS)
        column.addWidget(said)
        column.addWidget(self._report, 1)
        column.addWidget(buttons)
        close.setFocus()

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self._report.toPlainText())


class CrashHook:
    """Takes what nobody caught: writes it down, then shows it, one dialog at a time.

    What a person can mend, a full disk or a journal in use, is told and is no crash.
    """

    def __init__(self, log: CrashLog, words: Wording, tell: Callable[[str], object]) -> None:
        self.log = log
        self._words = words
        self._tell = tell
        self._shown = False

    def install(self) -> None:
        """Take over Python's hook, Qt's messages and the interpreter's own faults."""
        sys.excepthook = self.caught
        qInstallMessageHandler(self.qt_said)
        faulthandler.enable(self.log.file())

    def caught(
        self,
        kind: type[BaseException],
        error: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Keep and show an exception that nobody caught."""
        report = "".join(traceback.format_exception(kind, error, trace))
        self.log.write(report)
        sys.stderr.write(report)
        if self._shown or QGuiApplication.instance() is None or kind is KeyboardInterrupt:
            return
        if isinstance(error, CoreError):
            self._tell(self._words.sentence(error))
            return
        self._shown = True
        try:
            CrashDialog(self._words, report, self.log.path, None).exec()
        finally:
            self._shown = False

    def qt_said(self, kind: QtMsgType, context: QMessageLogContext, message: str) -> None:
        """Keep what Qt says that matters."""
        if kind is not QtMsgType.QtDebugMsg and kind is not QtMsgType.QtInfoMsg:
            self.log.write(f"Qt: {message}")
            sys.stderr.write(f"{message}\n")
