"""Where the journal lies."""

import os
from datetime import datetime
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


def demo_path(now: datetime, folder: Path | None = None) -> Path:
    """Return the file of a day's demo journal: with what this machine remembers, never ours."""
    place = folder or user_state_path("halfclick", appauthor=False) / "demo"
    return place / f"demo-{now:%Y%m%d}.db"
