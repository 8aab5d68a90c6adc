"""Whatever is typed and whatever lies on the disk: a sentence, an exit code, nothing lost."""

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path

import pytest
from hostile_files import FILES, bounded_memory

from halfclick.store.looking import APPLICATION_ID
from halfclick.store.opening import open_store
from halfclick.wording import NO_BREAK

pytestmark = pytest.mark.usefixtures("shelf")

HUGE = "9" * 400
RTL = "\u05e7\u05e4\u05d4 \u0642\u0647\u0648\u0629 \u202egolb"

# What is typed, the exit code, and a word of the sentence that says how to mend it.
TYPED = {
    "no command": ((), 2, "usage"),
    "an unknown command": (("brew",), 2, "invalid choice"),
    "an unknown option": (("coffees", "--loud"), 2, "unrecognized"),
    "an option without its value": (("plan", "--dose-g"), 2, "expected one argument"),
    "a shortened option": (("record", "tarn", "--dose", "15"), 2, "unrecognized"),
    "two sizes at once": (("plan", "--dose-g", "15", "--water-g", "250"), 2, "not allowed"),
    "yes and no": (("advise", "--accept", "--refuse"), 2, "not allowed"),
    "a verdict that is none": (("taste", "--verdict", "fine"), 2, "invalid choice"),
    "a bed that is none": (("taste", "--bed", "volcano"), 2, "invalid choice"),
    "a complaint that is none": (("taste", "--complaint", "🍋"), 2, "invalid choice"),
    "a name that is empty": (("plan", ""), 1, "No coffee on the shelf"),
    "a name of blanks": (("plan", "   "), 1, "No coffee on the shelf"),
    "a name nobody has": (("plan", "Fell Beck"), 1, "Tarn Hollow"),
    "a name of an emoji": (("plan", "🫘☕"), 1, "There is"),
    "a name from right to left": (("plan", RTL), 1, "There is"),
    "a name that two fit": (("plan", "l"), 1, "more than one"),
    "a name of a whole file": (("plan", "x" * 20_000), 1, "10 000"),
    "a name with a NUL": (("plan", "tarn\0hollow"), 1, "not text"),
    "a name that is no Unicode": (("plan", "tarn\udcff"), 1, "not text"),
    "a name that is a query": (("plan", "'; DROP TABLE brew;--"), 1, "There is"),
    "a name that steers the terminal": (("plan", "\x1b[2J\x1b[31m"), 1, "There is"),
    "a dose of words": (("plan", "--dose-g", "fifteen"), 1, "15.5 or 15,5"),
    "a dose of nothing": (("plan", "--dose-g", ""), 1, "Give a number"),
    "a dose of not a number": (("plan", "--dose-g", "NaN"), 1, "Give a number"),
    "an endless dose": (("plan", "--dose-g", "inf"), 1, "Give a number"),
    "a dose below nothing": (("plan", "--dose-g", "-15"), 1, "1 g to 500 g"),
    "a dose of zero": (("plan", "--dose-g", "0"), 1, "1 g to 500 g"),
    "a huge dose": (("plan", "--dose-g", "999999999"), 1, "1 g to 500 g"),
    "a dose of too many digits": (("plan", "--dose-g", HUGE), 1, "Give a number"),
    "a dose with a thousands mark": (("plan", "--dose-g", "1,234.5"), 1, "Give a number"),
    "a dose in other digits": (("plan", "--dose-g", "١٥"), 1, "Give a number"),
    "a dose with its unit": (("plan", "--dose-g", "15 g"), 1, "Give a number"),
    "a dose with an exponent": (("plan", "--dose-g", "1e9"), 1, "Give a number"),
    "water of nothing": (("plan", "--water-g", "0"), 1, "Give"),
    "water below nothing": (("plan", "--water-g", "-1"), 1, "Give"),
    "a cup of nothing": (("plan", "--cup-g", "0"), 1, "20 g to 10000 g"),
    "a cup too large": (("plan", "--cup-g", "9000"), 1, "1 g to 500 g"),
    "a good one where there is none": (("plan", "--good-one"), 1, "--good-one"),
    "a setting of another dial": (("plan", "--setting", "8-E"), 1, "dial"),
    "a setting of rotations": (("plan", "--setting", "2.3.1"), 1, "dial"),
    "an empty setting": (("plan", "--setting", ""), 1, "dial"),
    "a setting below the zero": (("plan", "--setting", "-3"), 1, "dial"),
    "a setting past any dial": (("plan", "--setting", "9" * 30), 1, "dial"),
    "an emoji for a setting": (("plan", "--setting", "☕"), 1, "dial"),
    "poured too hot": (("record", "--temperature-c", "140"), 1, "1 °C to 101 °C"),
    "poured frozen": (("record", "--temperature-c", "-4"), 1, "1 °C to 101 °C"),
    "a dose as poured of a tonne": (("record", "--dose-g", "1000000"), 1, "1 g to 500 g"),
    "water as poured of nothing": (("record", "--water-g", "0"), 1, "5 g to 20000 g"),
    "drained before it began": (("record", "--drained-s", "-30"), 1, "2:40"),
    "drained at no time": (("record", "--drained-s", "2:99"), 1, "2:40"),
    "drained in words": (("record", "--drained-s", "soon"), 1, "2:40"),
    "drained after days": (("record", "--drained-s", "999999"), 1, "2:40"),
    "a beverage of nothing": (("record", "--beverage-g", "0"), 1, "leave it empty"),
    "a slip nobody knows": (("record", "--slip", "sneezed"), 1, "stall"),
    "a slip told by the water": (("record", "--slip", "overshoot=9"), 1, "--water-g"),
    "a slip without its size": (("record", "--slip", "late_clock"), 1, "seconds"),
    "a slip twice": (("record", "--slip", "stall", "--slip", "stall"), 1, "twice"),
    "a slip of minus": (("record", "--slip", "late_clock=-5"), 1, "Give"),
    "a slip of words": (("record", "--slip", "late_clock=much"), 1, "Give a number"),
    "a note of a whole file": (("record", "--note", "x" * 20_000), 1, "10 000"),
    "a note that is no Unicode": (("record", "--note", "\udc80"), 1, "not text"),
    "nothing tasted": (("taste", "tarn"), 1, "at least one thing"),
    "a taste of no cup": (("taste", "ash", "--sour", "3"), 1, "record first"),
    "a mark above ten": (("taste", "tarn", "--sour", "11"), 1, "0 (none) to 10"),
    "a mark below nothing": (("taste", "tarn", "--sour", "-1"), 1, "0 (none) to 10"),
    "a mark that is not a number": (("taste", "tarn", "--sweet", "nan"), 1, "Give a number"),
    "a liking of ten": (("taste", "tarn", "--liking", "10"), 1, "1 to 9"),
    "a strength as a share": (("taste", "tarn", "--strength-percent", "135"), 1, "percent"),
    "a strength of nothing": (("taste", "tarn", "--strength-percent", "0"), 1, "percent"),
    "a cup that is not there": (("taste", "tarn", "--cup", "7", "--sour", "2"), 1, "from 1 to 1"),
    "a cup before the first": (("taste", "tarn", "--cup", "0", "--sour", "2"), 1, "from 1 to 1"),
    "half a cup": (("advise", "tarn", "--cup", "1.5"), 1, "whole number"),
    "advice on no cup": (("advise", "ash"), 1, "record first"),
    "a reason for nothing": (("advise", "tarn", "--reason", "no"), 1, "--accept or --refuse"),
    "a journal begun twice": (("begin",), 1, "already"),
    "a journal of nobody": (("begin", "--person", " "), 1, "name"),
    "a second kit": (("kit", "--grinder", "other"), 1, "already"),
    "rotations of words": (("kit", "--bases", "ten"), 1, "10,5"),
    "a kit of a dial without its base": (("kit", "--scheme", "rotations"), 1, "rotation"),
    "a zero of another dial": (
        ("zero", "--reading", "x", "--found", "first_rub", "--reason", "cleaned"),
        1,
        "dial",
    ),
    "a zero for no reason": (("zero", "--found", "first_rub"), 2, "required"),
    "a coffee without a name": (("add", "  "), 1, "name"),
    "a coffee that is there": (("add", "tarn  HOLLOW"), 1, "--again"),
    "a coffee roasted on no day": (("add", "Fell", "--roasted-on", "2026-02-30"), 1, "2026-11-20"),
    "a coffee of minus grams": (("add", "Fell", "--weight-g", "-1"), 1, ""),
    "a new bag of another roast": (("add", "tarn", "--again", "--roast", "dark"), 1, "--roast"),
    "a new bag of no coffee": (("add", "Fell", "--again"), 1, "Tarn Hollow"),
    "a unit nobody reads": (("settings", "--weight", "stone"), 2, "invalid choice"),
    "a device of no name": (("settings", "--person", "A", "--device", ""), 1, "name"),
    "a document with a mapping": (("import", "/nowhere/a.json", "--write"), 1, "table"),
    "a table that is not there": (("import", "/nowhere/a.csv"), None, ""),
    "looked at and written": (("import", "a.csv", "--look", "--write"), 1, "one of them"),
    "a file that is not there": (("import", "/nowhere/out.json"), None, ""),
    "a folder for a file": (("import", "/"), None, ""),
    "a copy that is not there": (("restore", "/nowhere/copy.db"), 3, "no journal"),
    "a folder for a copy": (("restore", "/"), 3, ""),
    "out to where nothing is": (("export", "/nowhere/else/out.json"), None, ""),
    "a journal whose name has a NUL": (("coffees", "--journal", "a\0b"), 1, "not text"),
    "a journal that is a folder": (("coffees", "--journal", "/"), 3, ""),
    "a journal that is not there": (("coffees", "--journal", "/nowhere/j.db"), 3, "no journal"),
}


@pytest.mark.parametrize("case", TYPED)
def test_what_cannot_be_is_refused_with_a_sentence(run, journal, case):
    argv, code, word = TYPED[case]
    before = journal.read_bytes()
    ran = run(*argv)
    assert ran.code == code if code else ran.code in {1, 3}
    assert word in ran.err.replace(NO_BREAK, " ")
    assert ran.err.strip()
    assert not ran.out
    assert "Traceback" not in ran.err
    assert "\x1b" not in ran.err
    assert journal.read_bytes() == before


@pytest.mark.parametrize("case", [case for case in TYPED if TYPED[case][1] in {1, 3}])
def test_a_script_gets_the_refusal_as_an_object(run, case):
    argv, code, _ = TYPED[case]
    ran = run(*argv, "--json")
    assert ran.facts["error"]["exit_code"] == code
    assert ran.facts["error"]["sentence"]


@pytest.mark.parametrize("name", ["🫘 Ünïcode", RTL, "a\tb", "\x1b]0;x\x07red", "%s {0} {name}"])
def test_any_name_is_shown_and_found(run, opened, clock, name):
    from halfclick.service.coffees import CoffeeEntry, add_coffee

    store = opened()
    add_coffee(store, CoffeeEntry(name=name), clock=clock)
    store.close()
    plain, told = run("coffees"), run("coffees", "--json")
    assert plain.code == 0
    assert "\x1b" not in plain.out
    assert "\u202e" not in plain.out
    assert name in [coffee["name"] for coffee in told.facts["coffees"]]
    assert run("record", name, "--note", name, "--why", name, "--setting", "16").code == 0
    assert run("taste", name, "--words", name).code == 0
    assert run("history", name).code == 0


def damaged(path: Path) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[:4096] + b"\xff" * 8192 + whole[12288:])


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:6000])


def newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 9999")


def newer_revision(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")


def half_migrated(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("ALTER TABLE tasting DROP COLUMN complaints")


def without_a_revision(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("DROP TABLE alembic_version")


def foreign_text(path: Path) -> None:
    path.write_text("dose,water\n15,250\n", "utf-8")


def foreign_database(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("CREATE TABLE brew (id)")


def unreadable_record(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE coffee SET roast = 'burnt to ash'")


def dangling_key(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("UPDATE lot SET coffee_id = zeroblob(16)")


BROKEN = (
    damaged,
    cut,
    newer,
    newer_revision,
    half_migrated,
    without_a_revision,
    foreign_text,
    foreign_database,
    unreadable_record,
)


@pytest.mark.parametrize("broken", BROKEN)
@pytest.mark.parametrize("argv", [("coffees",), ("record", "tarn"), ("check",)])
def test_a_broken_journal_is_left_as_it_is(run, journal, broken, argv):
    broken(journal)
    before = journal.read_bytes()
    ran = run(*argv)
    assert ran.code == 3
    assert str(journal) in ran.err
    assert "Traceback" not in ran.err
    assert journal.read_bytes() == before


@pytest.mark.parametrize("broken", [*BROKEN, dangling_key])
def test_a_broken_copy_is_not_put_in_place(run, journal, tmp_path, broken):
    copy = tmp_path / "copy.db"
    shutil.copy(journal, copy)
    broken(copy)
    before = journal.read_bytes()
    assert run("restore", copy).code == 3
    assert journal.read_bytes() == before
    assert not list(tmp_path.glob("*.restoring*"))


@pytest.mark.parametrize("broken", [newer, foreign_text, foreign_database])
def test_no_copy_is_put_over_what_is_not_this_release_s(run, journal, broken):
    copy = run("backup", "--json").facts["copy"]
    broken(journal)
    before = journal.read_bytes()
    assert run("restore", copy).code == 3
    assert journal.read_bytes() == before


def test_a_key_to_nowhere_is_found(run, journal):
    dangling_key(journal)
    assert run("check").code == 3


def test_a_copy_is_not_put_over_a_journal_in_use(run, opened, journal):
    copy = run("backup", "--json").facts["copy"]
    store = opened()
    before = journal.read_bytes()
    assert run("restore", copy).code == 3
    assert journal.read_bytes() == before
    store.close()


def test_the_journal_is_not_a_copy_of_itself(run, journal):
    ran = run("restore", journal)
    assert ran.code == 1
    assert "itself" in ran.err


@pytest.mark.parametrize(
    "content", [b"", b"{", b"\xff\xfe", b"[1, 2]", b'{"form": 1}', b"dose,water\n15,250\n"]
)
def test_no_journal_is_made_for_a_file_that_is_none(run, tmp_path, content):
    file, there = tmp_path / "in.json", tmp_path / "new" / "journal.db"
    file.write_bytes(content)
    ran = run("import", file, "--journal", there)
    assert ran.code == 1
    assert "Traceback" not in ran.err
    assert not there.parent.exists()


@pytest.mark.parametrize("content", [b"", b"{", b"\xff\xfe", b'{"form": 1}'])
def test_a_file_that_is_none_changes_nothing(run, tmp_path, journal, content):
    file = tmp_path / "in.json"
    file.write_bytes(content)
    before = journal.read_bytes()
    assert run("import", file).code == 1
    assert journal.read_bytes() == before


@pytest.mark.parametrize("case", FILES)
def test_a_file_nobody_should_bring_in_is_refused_within_bounded_memory(
    run, tmp_path, journal, case
):
    ending, content, word = FILES[case]
    file = tmp_path / f"in.{ending}"
    file.write_bytes(content())
    before = journal.read_bytes()
    with bounded_memory():
        ran = run("import", file, *(["--write"] if ending == "csv" else []))
    assert ran.code == 1
    assert word in ran.err.replace(NO_BREAK, " ")
    assert "Traceback" not in ran.err
    assert journal.read_bytes() == before


def test_a_mistake_of_ours_is_told_as_such(run, monkeypatch):
    def broken(*_: object) -> None:
        raise RuntimeError("ours")

    monkeypatch.setattr("halfclick.commands.main._answered", broken)
    ran = run("coffees")
    assert ran.code == 4
    assert "mistake of this program" in ran.err


def test_a_journal_without_a_kit_says_what_to_do(run, tmp_path, clock):
    empty = tmp_path / "empty.db"
    open_store(empty, clock=clock).close()
    assert run("coffees", "--journal", empty).code == 0
    for argv in (("plan",), ("record",), ("history",)):
        ran = run(*argv, "--journal", empty)
        assert ran.code == 1
        assert "import" in ran.err


def test_a_full_disk_keeps_nothing_of_the_brew_and_all_before_it(run, journal, monkeypatch):
    from halfclick.store import engine

    settle = engine.settle

    def narrow(connection: sqlite3.Connection, **kwargs: bool) -> None:
        settle(connection, **kwargs)
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")

    before = run("history", "tarn", "--json").facts["cups"]
    monkeypatch.setattr(engine, "settle", narrow)
    codes = [run("record", "tarn", "--note", "n" * 9_000) for _ in range(4)]
    assert codes[-1].code == 3
    assert "full" in codes[-1].err
    monkeypatch.undo()
    monkeypatch.setenv("HALFCLICK_JOURNAL", str(journal))
    assert run("check").code == 0
    kept = sum(ran.code == 0 for ran in codes)
    assert len(run("history", "tarn", "--json").facts["cups"]) == len(before) + kept


def test_a_small_disk_that_fills_loses_nothing(run, journal, small_disk):
    there = Path(shutil.copy(journal, small_disk.place / "journal.db"))
    small_disk.fill(but=16 * 1024)
    codes = [run("record", "tarn", "--note", "n" * 9_000, "--journal", there) for _ in range(4)]
    assert codes[-1].code == 3
    assert "Traceback" not in codes[-1].err
    assert run("backup", "--journal", there).code == 3
    small_disk.empty()
    assert run("check", "--journal", there).code == 0
    kept = sum(ran.code == 0 for ran in codes)
    facts = run("history", "tarn", "--journal", there, "--json").facts
    assert len(facts["cups"]) == 1 + kept


# Loads everything first: an unprivileged user may not reach this checkout or its Python.
UNPRIVILEGED = """
import os, sys
from importlib import import_module
import halfclick.store.upgrade
from halfclick.commands import main as door
from halfclick.commands.parser import COMMANDS
for name in COMMANDS:
    import_module("halfclick.commands." + ("bring_in" if name == "import" else name))
words = door._wording()
door._wording = lambda: words
if os.geteuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
sys.exit(door.main(sys.argv[1:]))
"""


@pytest.mark.skipif(os.name != "posix", reason="folders are made read-only so on POSIX only")
def test_a_read_only_folder_is_read_and_not_written(journal):
    place = Path(tempfile.mkdtemp())
    there = place / "journal.db"
    shutil.copy(journal, there)
    before = there.read_bytes()
    there.chmod(0o444)
    place.chmod(0o555)
    paths = os.pathsep.join(path for path in sys.path if path)
    env = {**os.environ, "PYTHONPATH": paths}

    def ran(*argv: str) -> subprocess.CompletedProcess[str]:
        whole = [sys.executable, "-c", UNPRIVILEGED, *argv, "--journal", str(there)]
        return subprocess.run(whole, capture_output=True, text=True, env=env, check=False)

    try:
        reading = ran("coffees")
        refused = [ran(*argv) for argv in (("record", "tarn"), ("backup",), ("restore", "/x"))]
        assert there.read_bytes() == before
        assert [one.name for one in place.iterdir()] == ["journal.db"]
    finally:
        place.chmod(0o755)
        shutil.rmtree(place)
    assert reading.returncode == 0, reading.stderr
    assert "Tarn Hollow" in reading.stdout
    for one in refused:
        assert one.returncode == 3, one.stderr
        assert "Traceback" not in one.stderr
    assert "read-only" in refused[0].stderr


def test_a_journal_of_ours_is_known_by_its_number(journal):
    with closing(sqlite3.connect(journal)) as connection:
        assert connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
