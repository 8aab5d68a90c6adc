"""What opening a journal makes, holds and refuses."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import textwrap
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from halfclick.errors import (
    StoreBusy,
    StoreDamaged,
    StoreError,
    StoreForeign,
    StoreNewer,
    StoreUnwritable,
)
from halfclick.model.coffee import Coffee
from halfclick.model.person import Device, Person
from halfclick.store.looking import APPLICATION_ID, NEWEST_REVISION
from halfclick.store.opening import open_store
from halfclick.store.place import journal_path


@pytest.fixture
def closed(store, clock, records):
    """The file of a journal that holds the samples and that nobody holds."""
    with store.writing(clock()) as w:
        for record in records:
            w.add(record)
    store.close()
    return store.path


def said(connection, pragma):
    return connection.exec_driver_sql(f"PRAGMA {pragma}").scalar_one()


def test_the_settings_are_in_force(store):
    with store.engine.connect() as connection:
        assert said(connection, "journal_mode") == "delete"
        assert said(connection, "synchronous") == 3  # EXTRA
        assert said(connection, "foreign_keys") == 1
        assert said(connection, "busy_timeout") == 5000
        assert said(connection, "trusted_schema") == 0
        assert said(connection, "application_id") == APPLICATION_ID
        assert said(connection, "user_version") == int(NEWEST_REVISION)


def test_a_writing_block_holds_the_file_from_its_first_line(store, clock):
    with (
        store.writing(clock()),
        closing(sqlite3.connect(store.path, timeout=0)) as other,
        pytest.raises(sqlite3.OperationalError, match="locked"),
    ):
        other.execute("BEGIN IMMEDIATE")


def test_a_new_journal_is_one_file_and_knows_its_person_and_device(tmp_path, clock):
    path = tmp_path / "a new folder" / "what? 100 % é#.db"
    store = open_store(path, clock=clock, person_name="Ada", device_name="laptop")
    store.close()
    assert [each.name for each in path.parent.iterdir() if each.suffix != ".lock"] == [path.name]
    again = open_store(path, clock=clock, device_name="laptop")
    assert (again.person, again.device) == (store.person, store.device)
    assert again.person.name == "Ada"
    with again.reading() as r:
        assert (r.all(Person), r.all(Device)) == ([store.person], [store.device])
    again.close()


def test_without_names_the_login_and_the_machine_stand_in(tmp_path, clock):
    store = open_store(tmp_path / "j.db", clock=clock)
    assert store.person.name
    assert store.device.name
    store.close()


def test_a_second_machine_is_another_device_of_the_same_person(closed, store, clock):
    other = open_store(closed, clock=clock, device_name="desk computer")
    assert other.person == store.person
    assert other.device != store.device
    other.close()


def test_an_empty_file_becomes_a_journal(tmp_path, clock):
    path = tmp_path / "journal.db"
    path.touch()
    store = open_store(path, clock=clock)
    store.close()
    assert path.stat().st_size > 0


@contextmanager
def untouched(path):
    """Assert that a file and its folder are afterwards as they were."""
    before, beside = path.read_bytes(), sorted(path.parent.iterdir())
    yield
    assert path.read_bytes() == before
    assert [each for each in sorted(path.parent.iterdir()) if each.suffix != ".lock"] == [
        each for each in beside if each.suffix != ".lock"
    ]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE alembic_version SET version_num = '9999'",
        "UPDATE alembic_version SET version_num = 'f00d'",
        "PRAGMA user_version = 9999",
    ],
)
@pytest.mark.parametrize("read_only", [False, True])
def test_a_newer_journal_is_refused_and_untouched(closed, clock, words, statement, read_only):
    with closing(sqlite3.connect(closed)) as connection:
        connection.execute(statement)
        connection.commit()
    with untouched(closed), pytest.raises(StoreNewer) as caught:
        open_store(closed, clock=clock, read_only=read_only)
    assert "newer Halfclick" in words.sentence(caught.value)


def foreign_database(path):
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE coffee (id)")


@pytest.mark.parametrize(
    "make",
    [
        foreign_database,
        lambda path: path.write_text("shopping"),
        lambda p: p.write_bytes(b"\0" * 9),
    ],
)
def test_a_foreign_file_is_refused_and_untouched(tmp_path, clock, words, make):
    path = tmp_path / "something.db"
    make(path)
    with untouched(path), pytest.raises(StoreForeign) as caught:
        open_store(path, clock=clock)
    assert words.sentence(caught.value).startswith(f"{path} is not a Halfclick journal")


def test_a_folder_in_the_journals_place_is_refused(tmp_path, clock, words):
    (tmp_path / "journal.db").mkdir()
    with pytest.raises(StoreUnwritable) as caught:
        open_store(tmp_path / "journal.db", clock=clock)
    assert "cannot be opened" in words.sentence(caught.value)


def overwrite_pages(path):
    size = path.stat().st_size
    with path.open("r+b") as stream:
        stream.seek(4096 * 3)
        stream.write(os.urandom(size - 4096 * 4))


def cut_short(path):
    with path.open("r+b") as stream:
        stream.truncate(path.stat().st_size // 2)


def forget_revision(path):
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TABLE alembic_version")


@pytest.mark.parametrize("damage", [overwrite_pages, cut_short, forget_revision])
def test_a_damaged_journal_is_refused_and_untouched(closed, clock, words, damage):
    damage(closed)
    with untouched(closed), pytest.raises(StoreDamaged) as caught:
        open_store(closed, clock=clock)
    assert "is damaged" in words.sentence(caught.value)


def half_upgraded(path):
    """Leave a file that says an older revision, with a table of a newer one in it."""
    shutil.copy(Path(__file__).parent / "old_files" / "0001.db", path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE photo (id)")


def half_there(path):
    """Leave a file that says the newest revision, without one of its tables."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TABLE photo")


def without_a_column(path):
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("ALTER TABLE tasting DROP COLUMN complaints")


def without_the_newest_table(path):
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TABLE kettle_reading")


@pytest.mark.parametrize(
    "half", [half_upgraded, half_there, without_a_column, without_the_newest_table]
)
def test_a_half_migrated_journal_is_refused_and_untouched(closed, clock, words, half):
    half(closed)
    before = closed.read_bytes()
    with pytest.raises(StoreDamaged) as caught:
        open_store(closed, clock=clock)
    assert closed.read_bytes() == before
    assert "half one release and half another" in words.sentence(caught.value)


def test_a_second_opener_is_refused_and_told_who_holds_the_journal(store, clock, words):
    with pytest.raises(StoreBusy) as caught:
        open_store(store.path, clock=clock)
    sentence = words.sentence(caught.value)
    assert f"number {os.getpid()} on" in sentence
    assert "already open" in sentence


def test_closing_lets_the_next_opener_in(store, clock):
    store.close()
    open_store(store.path, clock=clock).close()


HOLDER = """
    import sys, time
    from datetime import UTC, datetime
    from pathlib import Path
    from halfclick.store.opening import open_store
    store = open_store(Path(sys.argv[1]), clock=lambda: datetime.now(UTC))
    sys.stdout.write("open\\n")
    sys.stdout.flush()
    time.sleep(60)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="kill -9 is a thing of Unix")
def test_a_killed_holder_lets_the_next_opener_in_at_once(closed, clock):
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    command = [sys.executable, "-c", textwrap.dedent(HOLDER), str(closed)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, env=environment) as holder:
        assert holder.stdout.readline() == b"open\n"
        with pytest.raises(StoreBusy) as caught:
            open_store(closed, clock=clock)
        assert caught.value.values["pid"] == str(holder.pid)
        holder.kill()
    open_store(closed, clock=clock).close()


def test_a_held_journal_can_be_opened_to_read_only(store, clock, words):
    with store.writing(clock()) as w:
        w.add(Coffee(id=store.person.id, name="Hill farm"))
    reader = open_store(store.path, clock=clock, device_name="another", read_only=True)
    with reader.reading() as r:
        assert [each.name for each in r.all(Coffee)] == ["Hill farm"]
    with pytest.raises(StoreUnwritable) as caught, reader.writing(clock()):
        pass
    assert "read only" in words.sentence(caught.value)
    reader.close()
    with pytest.raises(StoreBusy):
        open_store(store.path, clock=clock)


def test_no_journal_is_made_by_one_who_only_reads(tmp_path, clock, words):
    with pytest.raises(StoreUnwritable) as caught:
        open_store(tmp_path / "none.db", clock=clock, read_only=True)
    assert "no journal" in words.sentence(caught.value)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="permissions of Unix")
def test_a_read_only_folder_is_refused_for_writing_and_can_be_read(clock, words, as_nobody):
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "journal.db"
        open_store(path, clock=clock).close()
        Path(f"{path}.lock").unlink(missing_ok=True)
        path.chmod(0o444)
        path.parent.chmod(0o555)
        try:
            with as_nobody():
                with untouched(path), pytest.raises(StoreUnwritable) as caught:
                    open_store(path, clock=clock)
                reader = open_store(path, clock=clock, read_only=True)
                with reader.reading() as r:
                    assert len(r.all(Person)) == 1
                reader.close()
        finally:
            path.parent.chmod(0o755)
    assert "read-only for you" in words.sentence(caught.value)


def test_a_full_disk_keeps_what_was_kept_and_says_so(closed, clock, words):
    store = open_store(closed, clock=clock)
    with store.engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    with store.reading() as r:
        before = r.all(Coffee)
    big = Coffee(id=store.person.id, name="too much", note="x" * 100_000)
    with pytest.raises(StoreUnwritable) as caught, store.writing(clock()) as w:
        w.add(big)
    assert "is full" in words.sentence(caught.value)
    with store.reading() as r:
        assert r.all(Coffee) == before
    with store.engine.connect() as connection:
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages * 10}")
    with store.writing(clock()) as w:
        w.add(big)
    with store.reading() as r:
        assert r.all(Coffee) == [*before, big]
    store.close()


def test_every_refusal_is_an_error_that_a_person_can_mend():
    for kind in (StoreBusy, StoreDamaged, StoreForeign, StoreNewer, StoreUnwritable):
        assert issubclass(kind, StoreError)


def test_the_option_outranks_the_variable_and_the_variable_the_usual_place(monkeypatch, tmp_path):
    monkeypatch.setenv("HALFCLICK_JOURNAL", str(tmp_path / "from the variable.db"))
    assert journal_path(str(tmp_path / "option.db")) == tmp_path / "option.db"
    assert journal_path() == tmp_path / "from the variable.db"
    monkeypatch.delenv("HALFCLICK_JOURNAL")
    usual = journal_path()
    assert usual.is_absolute()
    assert usual.name == "journal.db"
    assert "halfclick" in usual.parts


def test_opening_imports_neither_the_migrations_nor_the_mapper_nor_arrays(closed):
    script = """
        import sys
        from datetime import UTC, datetime
        from pathlib import Path
        from halfclick.store.opening import open_store
        open_store(Path(sys.argv[1]), clock=lambda: datetime.now(UTC), device_name="x").close()
        heavy = {"alembic", "sqlalchemy.orm", "numpy"} & set(sys.modules)
        sys.exit(f"imported {heavy}" if heavy else 0)
    """
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    command = [sys.executable, "-c", textwrap.dedent(script), str(closed)]
    subprocess.run(command, check=True, env=environment, timeout=60)
