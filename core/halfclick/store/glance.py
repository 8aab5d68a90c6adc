"""A first glance at the shelf: what the first page can show before the journal is opened.

Read through the standard library alone, since the journal's own libraries take longer to load
than the window takes to be painted. It only reads, and where anything is unusual it shows nothing:
opening the journal says what is wrong.
"""

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from halfclick.store.looking import APPLICATION_ID, NEWEST_REVISION

_SHELF = """
SELECT coffee.name, coffee.process, coffee.roast, count(brew.id)
FROM coffee
LEFT JOIN lot ON lot.coffee_id = coffee.id AND lot.buried_at IS NULL
LEFT JOIN bag ON bag.lot_id = lot.id AND bag.buried_at IS NULL
LEFT JOIN brew ON brew.bag_id = bag.id AND brew.buried_at IS NULL
    AND NOT EXISTS (SELECT 1 FROM brew AS later WHERE later.corrects_id = brew.id)
WHERE coffee.buried_at IS NULL
GROUP BY coffee.id
ORDER BY coffee.written_at DESC, coffee.seq DESC
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glimpse:
    """One coffee as its row tells: the label's words by code, and how many cups."""

    name: str
    process: str | None
    roast: str | None
    cups: int


def glance(path: Path) -> tuple[Glimpse, ...]:
    """Return the coffees of a journal, newest first; none where it cannot be read as it stands."""
    if not path.exists():
        return ()
    try:
        with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
            number = connection.execute("PRAGMA application_id").fetchone()[0]
            revision = connection.execute("SELECT version_num FROM alembic_version").fetchone()[0]
            if number != APPLICATION_ID or revision != NEWEST_REVISION:
                return ()
            rows = connection.execute(_SHELF).fetchall()
    except (sqlite3.Error, OSError, TypeError):
        return ()
    return tuple(
        Glimpse(name=name, process=process, roast=roast, cups=cups)
        for name, process, roast, cups in rows
    )
