"""A journal of 20,000 brews: each question beside plain sqlite3 asking the same, in one run.

Run: PYTHONPATH=core:desktop:resources python tests/benchmarks/journal.py [brews]
"""

import json
import sqlite3
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from time import perf_counter
from uuid import UUID, uuid4

from halfclick.model.brew import UNKNOWN, Brew, How, Mode, Poured, Reading
from halfclick.model.grinder import setting_at
from halfclick.model.kit import DrainedRule
from halfclick.model.recipe import Recipe, even_pours
from halfclick.model.tasting import Marks, Tasting, Verdict
from halfclick.model.wanted import Wanted
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import KitchenEntry, KitView, kit_in_use, set_up_kitchen, used
from halfclick.service.plan import Planned
from halfclick.service.record import BrewEntry, record_brew
from halfclick.service.search import search
from halfclick.store.engine import settle, writing_on
from halfclick.store.journal import Store
from halfclick.store.opening import open_store
from halfclick.store.rows import TABLES, moment, to_row
from halfclick.store.tables import STAMPS

BREWS = 20_000
A_COFFEE = 250  # brews of one coffee: some fifteen bags of it
START = datetime(2020, 1, 1, 8, 0, tzinfo=UTC)
ROUNDS = 15


def main() -> None:
    """Build the journal, ask, and print how many times longer ours takes."""
    brews = int(sys.argv[1]) if len(sys.argv) > 1 else BREWS
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.db"
        store = open_store(path, clock=lambda: START, person_name="Ada", device_name="bench")
        kit, coffees = build(store, brews)
        print(f"{brews} brews of {len(coffees)} coffees, {path.stat().st_size / 1e6:.0f} MB")
        plain = sqlite3.connect(path)
        settle(plain)
        coffee_id, bag_id = coffees[len(coffees) // 2]
        report(
            f"open the history of a coffee ({A_COFFEE} brews)",
            lambda: coffee_history(store, coffee_id),
            lambda: plain_history(plain, coffee_id),
        )
        planned = Planned(bag_id=bag_id, recipe=recipe(kit, 18), mode=Mode.EXPERIMENT)
        report(
            "record a brew",
            lambda: record_brew(store, BrewEntry(planned=planned), kit, clock=lambda: START),
            lambda: plain_record(plain),
        )
        for text in ("hollow", "jam", "100%", "hollow jam"):
            wanted = Wanted(words=text)
            report(
                f"search for {text!r}",
                lambda wanted=wanted: search(store, wanted),
                lambda text=text: plain_search(plain, text),
            )
        plain.close()
        store.close()


def report(name: str, ours: Callable[[], object], plain: Callable[[], object]) -> None:
    """Print the medians of a question asked both ways, one after the other."""
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(ROUNDS):
        for kept, asks in zip(times, (ours, plain), strict=True):
            began = perf_counter()
            asks()
            kept.append((perf_counter() - began) * 1000)
    ours_ms, plain_ms = (sorted(kept)[len(kept) // 2] for kept in times)
    print(f"{name}: {ours_ms:.2f} ms, plain {plain_ms:.2f} ms, ratio {ours_ms / plain_ms:.2f}")


def build(store: Store, brews: int) -> tuple[KitView, list[tuple[UUID, UUID]]]:
    """Fill a journal: coffees with one bag each, their brews, and a taste of each brew."""
    random = Random(20_000)
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=lambda: START)
    kit = kit_in_use(store)
    assert kit is not None
    coffees: list[tuple[UUID, UUID]] = []
    drunk: list[Brew] = []
    tasted: list[Tasting] = []
    for number in range(max(brews // A_COFFEE, 1)):
        name = f"{random.choice(('Tarn Hollow', 'Pell Ridge', 'Ash Moor'))} {number}"
        bag = add_coffee(store, CoffeeEntry(name=name, roaster="Own"), clock=lambda: START).value
        with store.reading() as r:
            from halfclick.model.coffee import Lot

            coffees.append((r.get(Lot, bag.lot_id).coffee_id, bag.id))
        for _ in range(A_COFFEE):
            brew = one_brew(kit, bag.id, len(drunk), random)
            drunk.append(brew)
            tasted.append(one_taste(brew, random))
    for records in (drunk, tasted):
        insert(store, records)
    return kit, coffees


def recipe(kit: KitView, steps: int) -> Recipe:
    """Return an ordinary recipe at a setting."""
    setting = setting_at(kit.grinder, kit.zero, steps)
    return Recipe(
        dose_g=15.0,
        water_g=240.0,
        pours=even_pours(15.0, 240.0),
        temperature_c=95.0,
        setting=setting,
    )


def one_brew(kit: KitView, bag_id: UUID, number: int, random: Random) -> Brew:
    """Return a brew as one of many."""
    plan = recipe(kit, random.randint(14, 26))
    measured = Reading(value=240.0, sd=1.0, how=How.MEASURED)
    return Brew(
        id=uuid4(),
        bag_id=bag_id,
        kit=used(kit),
        started_at=START + timedelta(hours=3 * number),
        mode=Mode.EXPERIMENT,
        plan=plan,
        poured=Poured(
            dose_g=replace(measured, value=15.0),
            water_g=measured,
            bloom_g=replace(measured, value=45.0),
            temperature_c=replace(measured, value=95.0),
            beverage_g=UNKNOWN,
            drained_s=replace(measured, value=random.gauss(160.0, 8.0)),
        ),
        drained_rule=DrainedRule.LAST_DROP,
        note=random.choice(("", "", "bed was flat", "100% of the bag", "late pour")),
    )


def one_taste(brew: Brew, random: Random) -> Tasting:
    """Return a taste of a brew."""
    return Tasting(
        id=uuid4(),
        brew_id=brew.id,
        tasted_at=brew.started_at + timedelta(minutes=6),
        marks=Marks(sour=float(random.randint(0, 8)), bitter=float(random.randint(0, 8))),
        liking=float(random.randint(3, 9)),
        words=random.choice(("", "sharp", "plum jam", "tea, a little dry", "jam on toast")),
        verdict=random.choice(list(Verdict)),
    )


def insert(store: Store, records: list[Brew] | list[Tasting]) -> None:
    """Write many records in one block."""
    stamp = {"person_id": store.person.id, "device_id": store.device.id}
    rows = [
        {**to_row(record), **stamp, "written_at": moment(START), "seq": number}
        for number, record in enumerate(records, start=1)
    ]
    with writing_on(store.engine) as connection, connection.begin():
        connection.execute(TABLES[type(records[0])].insert(), rows)


def plain_history(connection: sqlite3.Connection, coffee_id: UUID) -> list[tuple[object, ...]]:
    """Ask for the cups of a coffee and unpack what the history shows of them."""
    cursor = connection.execute(_HISTORY, (coffee_id.hex,))
    names = [column[0] for column in cursor.description]
    packed = [
        number
        for number, name in enumerate(names)
        if name in {"kit", "plan", "poured", "slips", "changes", "why", "marks", "complaints"}
    ]
    found = []
    for row in cursor:
        cells = list(row)
        for number in packed:
            if cells[number] is not None:
                cells[number] = json.loads(cells[number])
        found.append(tuple(cells))
    return found


def plain_record(connection: sqlite3.Connection) -> None:
    """Add a brew just like the newest one, under another identity."""
    cursor = connection.execute("SELECT * FROM brew ORDER BY seq DESC LIMIT 1")
    names = [column[0] for column in cursor.description]
    row = dict(zip(names, cursor.fetchone(), strict=True))
    row["id"] = uuid4().hex
    del row["seq"]
    connection.execute("BEGIN IMMEDIATE")
    columns = ", ".join(row)
    marks = ", ".join("?" * len(row))
    connection.execute(
        f"INSERT INTO brew ({columns}, seq) "
        f"VALUES ({marks}, (SELECT coalesce(max(seq), 0) + 1 FROM brew))",
        tuple(row.values()),
    )
    connection.execute("COMMIT")


def plain_search(connection: sqlite3.Connection, text: str) -> list[tuple[object, ...]]:
    """Ask for the first page of the brews whose words hold every word of a text."""
    words = text.split()
    clause = " AND ".join([_HOLDS] * len(words))
    values = [f"%{word.replace('%', chr(92) + '%')}%" for word in words for _ in range(5)]
    return connection.execute(_SEARCH.format(clause=clause), values).fetchall()


_SHOWN = ", ".join(
    f"brew.{column.name}" for column in TABLES[Brew].columns if column.name not in STAMPS
)
_HISTORY = f"""
SELECT {_SHOWN}, tasting.* FROM lot
JOIN bag ON bag.lot_id = lot.id AND bag.buried_at IS NULL
JOIN brew ON brew.bag_id = bag.id AND brew.buried_at IS NULL
LEFT JOIN tasting ON tasting.brew_id = brew.id AND tasting.buried_at IS NULL
WHERE lot.coffee_id = ? AND lot.buried_at IS NULL
    AND NOT EXISTS (SELECT 1 FROM brew AS later WHERE later.corrects_id = brew.id)
ORDER BY brew.started_at
"""
_HOLDS = " OR ".join(
    rf"{column} LIKE ? ESCAPE '\'"
    for column in ("coffee.name", "coffee.roaster", "coffee.note", "brew.note", "tasting.words")
).join("()")
_SEARCH = """
SELECT brew.id, brew.started_at, coffee.id, coffee.name, tasting.liking, tasting.verdict,
    tasting.words, json_extract(brew.plan, '$.setting.text'),
    json_extract(brew.poured, '$.drained_s.value'), count(*) OVER ()
FROM brew
JOIN bag ON bag.id = brew.bag_id AND bag.buried_at IS NULL
JOIN lot ON lot.id = bag.lot_id AND lot.buried_at IS NULL
JOIN coffee ON coffee.id = lot.coffee_id AND coffee.buried_at IS NULL
LEFT JOIN tasting ON tasting.brew_id = brew.id AND tasting.buried_at IS NULL
WHERE brew.buried_at IS NULL
    AND NOT EXISTS (SELECT 1 FROM brew AS later WHERE later.corrects_id = brew.id)
    AND {clause}
ORDER BY brew.started_at DESC LIMIT 100
"""

if __name__ == "__main__":
    main()
