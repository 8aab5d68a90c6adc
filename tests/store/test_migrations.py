"""Older journals are backed up, brought up to date and checked; a failure leaves the old file."""

import ast
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from uuid import UUID, uuid4

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from halfclick.errors import StoreDamaged
from halfclick.model.brew import Brew
from halfclick.store import migrations
from halfclick.store.engine import engine_of
from halfclick.store.looking import NEWEST_REVISION, REVISIONS, check, is_there, revision_of
from halfclick.store.opening import open_store
from halfclick.store.rows import TABLES
from halfclick.store.tables import METADATA
from halfclick.store.upgrade import SCRIPTS, create, upgrade

OLD_FILES = Path(__file__).parent / "old_files"
SCRIPTS_FOLDER = Path(next(iter(migrations.__path__)))

MEASURED = (9, 10, 11, 12, 81, 82, 83, 84, 85, 86)
TRIED_BLIND = tuple(range(91, 100))
# Records that came with a later revision, by the revision that lacks them.
ADDED_SINCE = {
    "0001": {UUID(int=number, version=4) for number in (63, 64, 65, 66, *MEASURED, *TRIED_BLIND)},
    "0002": {UUID(int=number, version=4) for number in (*MEASURED, *TRIED_BLIND)},
    "0003": {UUID(int=number, version=4) for number in TRIED_BLIND},
    "0004": set(),
}

LATER = '''
"""A revision of a release to come."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Rebuild a table that others name, then do what the test asks for."""
    with op.batch_alter_table("coffee", recreate="always") as coffee:
        coffee.add_column(sa.Column("variety", sa.Text, nullable=True))
    op.create_table("roaster", sa.Column("id", sa.Uuid, primary_key=True))
    {then}
'''


@pytest.fixture
def old(store, clock, records):
    """The file of a full journal, closed, that is about to be migrated."""
    with store.writing(clock()) as w:
        for record in records:
            w.add(record)
    store.close()
    return store.path


@pytest.fixture
def to_come(tmp_path):
    """Make a folder of revisions with one more than this release knows."""

    def made(then="pass"):
        folder = tmp_path / "to come"
        shutil.copytree(SCRIPTS_FOLDER, folder, ignore=shutil.ignore_patterns("__pycache__"))
        (folder / "versions" / "r0005_later.py").write_text(LATER.format(then=then))
        return str(folder)

    return made


def counted(path):
    """Return how many rows each table of a file has."""
    with closing(sqlite3.connect(path)) as connection:
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        return {
            name: connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]
            for (name,) in names.fetchall()
        }


def revision_in(path):
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT version_num FROM alembic_version").fetchone()[0]


def test_the_revisions_and_the_tables_say_the_same(tmp_path):
    create(tmp_path / "migrated.db")
    engine = engine_of(tmp_path / "migrated.db")
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), METADATA) == []
    engine.dispose()


def shape(path):
    """Return every table's columns, keys and indexes, as the database tells them."""
    engine = engine_of(path)
    told = sa.inspect(engine)
    found = {
        name: (
            # A column that came later stands last: the order says nothing.
            sorted(
                [{**column, "type": str(column["type"])} for column in told.get_columns(name)],
                key=lambda column: column["name"],
            ),
            told.get_pk_constraint(name),
            sorted(told.get_foreign_keys(name), key=str),
            sorted(told.get_unique_constraints(name), key=str),
            sorted(told.get_indexes(name), key=str),
        )
        for name in told.get_table_names()
        if name != "alembic_version"
    }
    engine.dispose()
    return found


def test_the_revisions_make_what_the_tables_would(tmp_path):
    create(tmp_path / "migrated.db")
    engine = engine_of(tmp_path / "direct.db")
    METADATA.create_all(engine)
    engine.dispose()
    assert shape(tmp_path / "migrated.db") == shape(tmp_path / "direct.db")


def test_the_opening_knows_every_revision_in_its_order():
    config = Config()
    config.set_main_option("script_location", SCRIPTS)
    scripts = ScriptDirectory.from_config(config)
    found = [script.revision for script in scripts.walk_revisions()]
    assert tuple(reversed(found)) == REVISIONS
    # The header's number must tell newer from older.
    assert [int(revision) for revision in REVISIONS] == list(range(1, len(REVISIONS) + 1))


def test_no_revision_imports_the_program_as_it_stands_now():
    for path in SCRIPTS_FOLDER.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [alias.name for alias in getattr(node, "names", [])]
            names.append(getattr(node, "module", None) or "")
            if isinstance(node, ast.Import | ast.ImportFrom):
                assert not any(name.startswith("halfclick") for name in names), path


def test_every_revision_has_its_old_file():
    assert sorted(path.stem for path in OLD_FILES.glob("*.db")) == list(REVISIONS)


@pytest.mark.parametrize("revision", REVISIONS)
def test_an_old_journal_is_brought_up_to_date_read_and_written(revision, tmp_path, clock):
    path = tmp_path / "journal.db"
    shutil.copy(OLD_FILES / f"{revision}.db", path)
    before = counted(path)
    store = open_store(path, clock=clock, device_name="first laptop")
    assert revision_in(path) == NEWEST_REVISION
    assert store.person.name == "Old owner"
    with store.reading() as r:
        # Every row becomes a record again, which checks what it holds; nothing was lost.
        for kind, table in TABLES.items():
            if table.name in before:
                assert len(r.all(kind, corrected=True)) == before[table.name], kind
        brew = r.all(Brew)[-1]
    again = replace(brew, id=uuid4(), parent_id=brew.id, note="brewed by a newer release")
    with store.writing(clock.advance(60)) as w:
        w.add(again)
    with store.reading() as r:
        assert r.get(Brew, again.id) == again
    store.close()
    check(path)
    assert (len(store.notices) == 1) == (revision != NEWEST_REVISION)


@pytest.mark.parametrize("revision", REVISIONS)
def test_an_old_journal_holds_what_was_put_in(revision, tmp_path, clock, records):
    path = tmp_path / "journal.db"
    shutil.copy(OLD_FILES / f"{revision}.db", path)
    store = open_store(path, clock=clock, device_name="first laptop")
    there = [one for one in records if one.id not in ADDED_SINCE[revision]]
    with store.reading() as r:
        for record in there:
            assert r.get(type(record), record.id) == record
    store.close()


def test_a_migration_backs_up_first_keeps_every_row_and_says_where(old, to_come, clock, words):
    before = counted(old)
    notices = upgrade(old, now=clock(), scripts=to_come(), newest="0005")
    after = counted(old)
    assert after.pop("roaster") == 0
    assert after == before
    assert revision_in(old) == "0005"
    [kept] = (old.parent / "backups").iterdir()
    assert kept.name == "journal-20261125-080000-before-0005.db"
    check(kept)
    assert is_there(kept)
    assert revision_of(kept) == "0004"
    assert counted(kept) == before
    assert words.sentences(notices).endswith(f"lies at {kept}.")


def test_a_backup_can_be_opened_as_a_journal(old, to_come, clock, records):
    upgrade(old, now=clock(), scripts=to_come(), newest="0005")
    [kept] = (old.parent / "backups").iterdir()
    store = open_store(kept, clock=clock)
    with store.reading() as r:
        assert r.get(type(records[-1]), records[-1].id) == records[-1]
    store.close()


def test_a_migration_that_fails_leaves_the_old_file(old, to_come, clock):
    before = old.read_bytes()
    with pytest.raises(RuntimeError, match="half way"):
        upgrade(old, now=clock(), scripts=to_come("raise RuntimeError('half way')"), newest="0005")
    assert old.read_bytes() == before
    open_store(old, clock=clock).close()


def test_a_migration_that_loses_what_others_name_is_taken_back(old, to_come, clock):
    before = old.read_bytes()
    with pytest.raises(StoreDamaged):
        upgrade(old, now=clock(), scripts=to_come("op.execute('DELETE FROM bag')"), newest="0005")
    assert old.read_bytes() == before


def test_a_backup_that_fails_leaves_no_half_copy_and_no_migration(old, to_come, clock, monkeypatch):
    def refused(path):
        raise StoreDamaged("store.damaged", path=str(path))

    monkeypatch.setattr("halfclick.store.upgrade.check", refused)
    before = old.read_bytes()
    with pytest.raises(StoreDamaged):
        upgrade(old, now=clock(), scripts=to_come(), newest="0005")
    assert old.read_bytes() == before
    assert list((old.parent / "backups").iterdir()) == []


def test_what_a_killed_creation_left_does_no_harm(tmp_path, clock):
    (tmp_path / "journal.db.new").write_bytes(b"half a page")
    (tmp_path / "journal.db.new-journal").write_bytes(b"half a page")
    store = open_store(tmp_path / "journal.db", clock=clock)
    store.close()
    assert not list(tmp_path.glob("*.new*"))
