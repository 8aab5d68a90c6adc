import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAction, QShortcut
from PySide6.QtWidgets import QApplication, QLabel, QTableWidget, QWidget
from walk import unnamed, unreached

from halfclick.errors import NotFound
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.guide import begin, under_way
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.store.opening import open_store
from halfclick_desktop import look
from halfclick_desktop.crash import CrashDialog, CrashHook, CrashLog
from halfclick_desktop.keys_dialog import KEYS, KeysDialog
from halfclick_desktop.local import Local
from halfclick_desktop.look import Theme
from halfclick_desktop.pages import PAGES
from halfclick_desktop.taste_fields import MARK_KEYS, STRENGTH_KEYS, VERDICT_KEYS
from halfclick_desktop.widgets.complaint_row import COMPLAINT_KEYS
from halfclick_desktop.widgets.slip_row import KEYS as SLIP_KEYS


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """Say where a journal will be; the program makes it here."""
    return tmp_path / "journal.db"


@pytest.fixture
def a_bag(journal: Path, clock):
    """A journal with a kit and one coffee; returns the bag's identity."""
    store = open_store(journal, clock=clock)
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    store.close()
    return bag.id


def texts(widget: QWidget) -> str:
    shown = (label.text() for label in widget.findChildren(QLabel) if label.isVisible())
    return "\n".join(shown)


def test_an_empty_journal_begins_with_the_first_run_then_the_first_coffee(qtbot, start):
    program = start()
    window = program.window
    assert window.current() == "first_run"
    assert not window.rail.button("coffees").isEnabled()
    for _ in range(4):
        qtbot.keyClick(window.focusWidget(), Qt.Key.Key_Return)
    assert window.current() == "coffee_form"
    qtbot.keyClicks(window.focusWidget(), "Tarn Hollow")
    qtbot.keyClick(window.focusWidget(), Qt.Key.Key_Return)
    assert window.current() == "sheet"
    assert "Tarn Hollow" in texts(window)
    assert window.rail.button("coffees").isEnabled()


def test_a_journal_with_a_kit_opens_on_its_coffees(start, a_bag):
    assert start().window.current() == "coffees"


def test_every_page_of_the_rail_is_opened_by_its_key(qtbot, start, a_bag):
    window = start().window
    opened = ("coffees", "plan", "history", "trials", "water", "kit", "settings")
    for button, page in zip(window.rail.buttons(), opened, strict=True):
        button.click()
        assert window.current() == page
    keys = [button.shortcut().toString() for button in window.rail.buttons()]
    assert keys == ["Ctrl+1", "Ctrl+2", "Ctrl+3", "Ctrl+4", "Ctrl+5", "Ctrl+6", "Ctrl+7"]


def test_escape_goes_back_the_way_one_came(qtbot, start, a_bag):
    window = start().window
    for page in ("history", "kit", "settings"):
        window.open_page(page)
    for page in ("kit", "history", "coffees"):
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        assert window.current() == page


def test_a_brew_under_way_is_offered_at_the_start_and_can_be_gone_on_with(
    qtbot, start, a_bag, journal, clock
):
    store = open_store(journal, clock=clock)
    begin(store, next_plan(store, a_bag, today=clock().date()), kit_in_use(store), clock=clock)
    store.close()
    window = start().window
    assert window.current() == "resume"
    assert "Tarn Hollow" in texts(window)
    qtbot.keyClick(window.page("resume"), Qt.Key.Key_Return)
    assert window.current() == "guide"


def test_a_brew_under_way_can_be_put_by(start, a_bag, journal, clock):
    store = open_store(journal, clock=clock)
    begin(store, next_plan(store, a_bag, today=clock().date()), kit_in_use(store), clock=clock)
    store.close()
    program = start()
    program.window.page("resume")._drop.click()
    assert program.window.current() == "coffees"
    assert under_way(program.store) is None


def test_a_second_brew_cannot_be_begun_over_one_under_way(start, a_bag, clock):
    program = start()
    planned = next_plan(program.store, a_bag, today=clock().date())
    program.ways.begin(planned)
    assert program.window.current() == "guide"
    program.ways.begin(planned)
    assert program.window.current() == "resume"


def test_a_journal_that_is_held_is_said_and_opened_once_it_is_free(
    qtbot, start, a_bag, journal, clock
):
    other = open_store(journal, clock=clock)
    program = start(ready=False)
    opening = program.window.opening
    qtbot.waitUntil(lambda: "already open" in opening.text())
    other.close()
    with qtbot.waitSignal(program.ready, timeout=20_000):
        qtbot.keyClick(opening._again, Qt.Key.Key_Return)
    assert program.window.current() == "coffees"


def test_a_newer_journal_is_refused_with_a_sentence_and_left_alone(qtbot, start, a_bag, journal):
    with sqlite3.connect(journal) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.close()
    before = journal.read_bytes()
    program = start(ready=False)
    qtbot.waitUntil(lambda: "newer Halfclick" in program.window.opening.text())
    assert journal.read_bytes() == before


def test_another_file_is_refused_with_a_sentence_and_left_alone(qtbot, start, journal):
    journal.write_bytes(b"not a journal at all, but long enough to be looked into" * 10)
    program = start(ready=False)
    qtbot.waitUntil(lambda: program.window.opening.text() != "")
    assert program.window.opening._again.isVisible()
    assert journal.read_bytes().startswith(b"not a journal")


def test_a_theme_chosen_is_remembered_for_the_next_start(qapp, start, a_bag, tmp_path):
    program = start(theme=None)
    program.window.page("settings").theme_asked.emit("dark")
    assert look.tokens_of(qapp.palette()) == look.DARK
    assert Local(tmp_path).theme() is Theme.DARK


def test_a_window_kept_off_screen_comes_back_onto_it(qtbot, qapp, start, a_bag, tmp_path):
    program = start()
    program.window.setGeometry(QRect(9000, 9000, 700, 500))
    program.window.close()
    again = start()
    screen = qapp.primaryScreen().availableGeometry()
    assert screen.intersects(again.window.geometry())


def test_every_page_has_names_for_a_screen_reader_and_is_reached_by_tab(qtbot, start, a_bag):
    program = start()
    window = program.window
    program.ways.coffee_saved(a_bag)
    for name in ("coffees", "sheet", "history", "kit", "settings"):
        window.open_page(name)
        QApplication.processEvents()
        assert unnamed(window.page(name)) == [], name
        assert unreached(window.page(name)) == [], name


def test_every_shortcut_of_the_window_is_listed(qtbot, start, a_bag, words):
    window = start().window
    listed = {key for _, keys in KEYS for key, _ in keys}
    pressed = {one.key().toString() for one in window.findChildren(QShortcut)}
    pressed |= {one.shortcut().toString() for one in window.findChildren(QAction)}
    pressed |= {button.shortcut().toString() for button in window.rail.buttons()}
    assert pressed - {""} <= listed
    dialog = KeysDialog(words, None)
    qtbot.addWidget(dialog)
    table = dialog.findChild(QTableWidget)
    assert table.rowCount() == sum(len(keys) for _, keys in KEYS)


def test_every_key_at_the_kettle_and_of_the_marks_is_listed():
    listed = {page: {key for key, _ in keys} for page, keys in KEYS}
    assert {key.upper() for key in SLIP_KEYS} <= listed["guide"]
    said = " ".join(listed["taste"])
    letters = {*MARK_KEYS, *STRENGTH_KEYS, *VERDICT_KEYS} - set("0123456789")
    assert all(key.upper() in said for key in (*letters, *COMPLAINT_KEYS))


def test_a_crash_is_kept_and_shown_before_it_is_copied(qtbot, words, tmp_path):
    log = CrashLog(tmp_path)
    log.close()
    dialog = CrashDialog(words, "Traceback: division by zero", log.path, None)
    qtbot.addWidget(dialog)
    assert "division by zero" in dialog._report.toPlainText()
    assert "What the journal holds is safe" in dialog.findChild(QLabel).text()


def test_what_nobody_caught_is_written_down(qapp, words, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(CrashDialog, "exec", lambda _: 0)
    log = CrashLog(tmp_path)
    hook = CrashHook(log, words, tell=lambda _: None)
    try:
        1 / 0  # noqa: B018 - a mistake of ours, made on purpose
    except ZeroDivisionError as error:
        hook.caught(type(error), error, error.__traceback__)
    log.close()
    assert "ZeroDivisionError" in (tmp_path / "faults.log").read_text("utf-8")
    assert "ZeroDivisionError" in capsys.readouterr().err


def test_what_a_person_can_mend_is_told_and_is_no_crash(qapp, words, tmp_path, monkeypatch):
    shown: list[object] = []
    told: list[str] = []
    monkeypatch.setattr(CrashDialog, "exec", shown.append)
    log = CrashLog(tmp_path)
    hook = CrashHook(log, words, tell=told.append)
    error = NotFound("store.not_found", kind="coffee")
    hook.caught(type(error), error, None)
    log.close()
    assert told == [words.sentence(error)]
    assert shown == []
    assert "NotFound" in (tmp_path / "faults.log").read_text("utf-8")


def test_a_log_of_faults_does_not_grow_for_ever(tmp_path):
    for _ in range(3):
        (tmp_path / "faults.log").write_text("x" * 300_000)
        log = CrashLog(tmp_path)
        log.write("later")
        log.close()
    assert (tmp_path / "faults.log").stat().st_size < 1000
    assert (tmp_path / "faults.2.log").exists()


def run(journal: Path, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "halfclick_desktop", "--journal", str(journal), *options],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


@pytest.fixture
def _path(monkeypatch, tmp_path):
    root = Path(__file__).parents[2]
    rooms = [str(root / room) for room in ("core", "desktop", "resources")]
    monkeypatch.setenv("PYTHONPATH", ":".join(rooms))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


@pytest.mark.usefixtures("_path")
@pytest.mark.parametrize("moment", ["first-paint", "first-page"])
def test_the_program_ends_cleanly_at_a_moment_asked_for(journal, moment):
    assert run(journal, "--until", moment).returncode == 0


@pytest.mark.usefixtures("_path")
def test_every_page_opens_once(journal, a_bag):
    done = run(journal, "--smoke")
    assert (done.returncode, "Traceback" in done.stderr) == (0, False)


@pytest.mark.usefixtures("_path")
def test_the_first_paint_loads_nothing_heavy():
    code = (
        "import sys\n"
        "from PySide6.QtWidgets import QApplication\n"
        "from halfclick.wording import open_wording\n"
        "from halfclick_desktop.app import Program\n"
        "from halfclick_desktop.local import Local, state_folder\n"
        "app = QApplication([])\n"
        "program = Program(app, words=open_wording(), local=Local(state_folder()))\n"
        "program.window.painted.connect(app.quit)\n"
        "program.window.show()\n"
        "app.exec()\n"
        "heavy = {'sqlalchemy', 'alembic', 'numpy', 'scipy', 'pyqtgraph', 'msgspec', 'sqlite3'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout.strip() == "[]"


def test_every_page_is_known_by_name():
    assert {"first_run", "coffees", "sheet", "plan", "guide", "taste", "history"} <= set(PAGES)
