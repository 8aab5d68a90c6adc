"""Where the journal lies."""

import os
from pathlib import Path

from platformdirs import user_data_path, user_state_path

VARIABLE = "HALFCLICK_JOURNAL"
FILE_NAME = "journal.db"


def journal_path(option: str | None = None) -> Path:
    """Return the journal's file: the option, else the environment variable, else the usual place.

    The usual place is the platform's folder for a program's data.
    """
    given = option or os.environ.get(VARIABLE)
    if given:
        return Path(given).expanduser().absolute()
    return user_data_path("halfclick", appauthor=False) / FILE_NAME


def demo_folder() -> Path:
    """Return where the demo journal is made: beside what this machine remembers, away from ours."""
    return user_state_path("halfclick", appauthor=False) / "demo"
