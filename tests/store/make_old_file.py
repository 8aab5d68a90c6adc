"""Write old_files/REVISION.db with this release: run it once for each revision, then never again.

python tests/store/make_old_file.py
"""

import runpy
from datetime import UTC, datetime, timedelta
from pathlib import Path

from halfclick.store.looking import NEWEST_REVISION
from halfclick.store.opening import open_store

HERE = Path(__file__).parent


def main() -> None:
    """Write the file, unless it lies there: a released file is never written over."""
    target = HERE / "old_files" / f"{NEWEST_REVISION}.db"
    if target.exists():
        raise SystemExit(f"{target} is there already")
    written_at = datetime(2026, 11, 25, 12, tzinfo=UTC)
    store = open_store(
        target, clock=lambda: written_at, person_name="Old owner", device_name="first laptop"
    )
    for number, record in enumerate(runpy.run_path(str(HERE / "conftest.py"))["every_record"]()):
        with store.writing(written_at + timedelta(seconds=number)) as w:
            w.add(record)
    store.close()
    for left_over in target.parent.glob(f"{target.name}.*"):
        left_over.unlink()


if __name__ == "__main__":
    main()
