"""The window is painted before anything heavy is loaded."""

import subprocess
import sys

FIRST_PAINT = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from halfclick.wording import open_wording
from halfclick_desktop.app import Program
from halfclick_desktop.local import Local
app = QApplication([])
program = Program(app, words=open_wording(), local=Local(Path(sys.argv[1])), journal=sys.argv[2])
heavy = {"sqlalchemy", "alembic", "numpy", "scipy", "pyqtgraph", "msgspec"}
def told():
    print("heavy:", sorted(heavy & set(sys.modules)), flush=True)
    import os
    os._exit(0)
program.window.painted.connect(told)
program.window.show()
app.exec()
"""


def test_nothing_heavy_is_loaded_at_the_first_paint(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", FIRST_PAINT, str(tmp_path), str(tmp_path / "journal.db")],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert "heavy: []" in done.stdout, done.stdout + done.stderr
