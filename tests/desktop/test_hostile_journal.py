"""A journal that cannot be opened or written: the window says so, and nothing is lost."""

import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from halfclick.model.coffee import Coffee
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.store.opening import open_store

OLD_FILES = Path(__file__).parents[1] / "store" / "old_files"


@pytest.fixture
def kept(journal, clock):
    """A journal with a kit and one coffee."""
    store = open_store(journal, clock=clock)
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock)
    store.close()
    return journal


def overwritten(path):
    with path.open("r+b") as stream:
        stream.seek(4096 * 3)
        stream.write(b"\xa5" * (path.stat().st_size - 4096 * 4))


def cut_short(path):
    with path.open("r+b") as stream:
        stream.truncate(path.stat().st_size // 2)


def cut_in_the_header(path):
    path.write_bytes(path.read_bytes()[:60])


def said(statement):
    def ran(path):
        with closing(sqlite3.connect(path)) as connection:
            connection.execute(statement)
            connection.commit()

    return ran


def half_migrated(path):
    shutil.copy(OLD_FILES / "0001.db", path)
    said("CREATE TABLE photo (id)")(path)


def a_picture(path):
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + os.urandom(4000))


def a_folder(path):
    path.unlink()
    path.mkdir()


BROKEN = {
    "overwritten pages": (overwritten, "is damaged"),
    "cut short": (cut_short, "is damaged"),
    "cut in the header": (cut_in_the_header, "is not a Halfclick journal"),
    "no revision": (said("DROP TABLE alembic_version"), "is damaged"),
    "two revisions": (said("INSERT INTO alembic_version VALUES ('0001')"), "is damaged"),
    "a newer revision": (said("UPDATE alembic_version SET version_num='9999'"), "newer Halfclick"),
    "a newer header": (said("PRAGMA user_version = 9999"), "newer Halfclick"),
    "half migrated": (half_migrated, "half one release"),
    "a table missing": (said("DROP TABLE photo"), "half one release"),
    "another program's": (said("PRAGMA application_id = 7"), "is not a Halfclick journal"),
    "a picture": (a_picture, "is not a Halfclick journal"),
    "a folder": (a_folder, "cannot be opened"),
}


@pytest.mark.parametrize(("ruin", "sentence"), BROKEN.values(), ids=BROKEN)
def test_a_journal_that_cannot_be_opened_is_said_and_left_alone(qtbot, start, kept, ruin, sentence):
    ruin(kept)
    before = None if kept.is_dir() else kept.read_bytes()
    opening = start(ready=False).window.opening
    qtbot.waitUntil(lambda: sentence in opening.text(), timeout=10_000)
    assert opening._again.isVisible()
    assert before is None or kept.read_bytes() == before


def test_what_was_mended_meanwhile_is_opened_by_one_key(qtbot, start, kept):
    whole = kept.read_bytes()
    overwritten(kept)
    program = start(ready=False)
    opening = program.window.opening
    qtbot.waitUntil(lambda: "is damaged" in opening.text(), timeout=10_000)
    kept.write_bytes(whole)
    with qtbot.waitSignal(program.ready, timeout=20_000):
        qtbot.keyClick(opening._again, Qt.Key.Key_Return)
    assert program.window.current() == "coffees"


def test_a_full_disk_refuses_a_coffee_with_a_sentence_and_keeps_what_was_typed(
    qtbot, start, kept, clock
):
    program = start()
    # The limit is one connection's: none that a job used may be there to be taken instead.
    with qtbot.waitSignal(program.jobs.run(int).done):
        pass
    program.store.engine.dispose()
    limit = _limit_pages(program.store, by=0)
    program.ways._new_coffee()
    form = program.window.page("coffee_form")
    form._fields["name"].show_text("Pell Ridge")
    form._fields["note"].show_text("x" * 200_000)
    form.save()
    assert "is full" in _said(form)
    assert form._fields["name"].text() == "Pell Ridge"
    with program.store.reading() as r:
        assert [coffee.name for coffee in r.all(Coffee)] == ["Tarn Hollow"]
    _limit_pages(program.store, by=limit)
    form.save()
    with program.store.reading() as r:
        assert [coffee.name for coffee in r.all(Coffee)] == ["Tarn Hollow", "Pell Ridge"]


def test_a_small_disk_that_fills_keeps_what_was_typed_until_there_is_room(
    qtbot, start, kept, small_disk
):
    program = start(at=Path(shutil.copy(kept, small_disk.place / "journal.db")))
    program.ways._new_coffee()
    form = program.window.page("coffee_form")
    form._fields["name"].show_text("Pell Ridge")
    form._fields["note"].show_text("x" * 200_000)
    small_disk.fill(but=16 * 1024)
    form.save()
    assert "is full" in _said(form)
    assert form._fields["name"].text() == "Pell Ridge"
    small_disk.empty()
    form.save()
    assert not _said(form)
    with program.store.reading() as r:
        assert [coffee.name for coffee in r.all(Coffee)] == ["Tarn Hollow", "Pell Ridge"]


@pytest.mark.skipif(os.name != "posix", reason="permissions of Unix")
def test_a_folder_one_may_not_write_in_is_said(qtbot, start, kept, as_nobody):
    # A folder that anyone may look into; pytest's own is its user's alone.
    with tempfile.TemporaryDirectory() as name:
        journal = Path(shutil.copy(kept, Path(name) / "journal.db"))
        journal.chmod(0o444)
        journal.parent.chmod(0o555)
        try:
            with as_nobody():
                opening = start(ready=False, at=journal).window.opening
                qtbot.waitUntil(lambda: "read-only for you" in opening.text(), timeout=10_000)
        finally:
            journal.parent.chmod(0o755)
        assert journal.read_bytes() == kept.read_bytes()


def _limit_pages(store, *, by: int) -> int:
    """Let the journal grow by so many pages and no more; return plenty for later."""
    with store.engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages + by}")
    return 1000


def _said(page) -> str:
    return "\n".join(
        label.text()
        for label in page.findChildren(QLabel)
        if label.property("role") == "caution" and not label.isHidden()
    )
