"""The window on the demo: it says so, and the person's own journal is not touched."""

from PySide6.QtWidgets import QTableWidget

from halfclick_desktop.app import Program
from halfclick_desktop.local import Local
from halfclick_desktop.look import Theme


def test_the_demo_says_it_is_one_and_leaves_the_own_journal_alone(
    qtbot, qapp, words, clock, tmp_path, monkeypatch
):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr(
        "halfclick.store.place.user_state_path", lambda *_, **__: tmp_path / "state"
    )
    own = tmp_path / "journal.db"
    program = Program(
        qapp,
        words=words,
        local=Local(tmp_path),
        journal=own,
        theme=Theme.LIGHT,
        clock=clock,
        demo=True,
    )
    qtbot.addWidget(program.window)
    with qtbot.waitSignal(program.ready, timeout=60_000):
        program.start()
    window = program.window
    assert window.current() == "coffees"
    assert window.windowTitle().startswith("Demo: ")
    assert "demo" in window.notice.text()
    assert window.page("coffees").findChild(QTableWidget).rowCount() == 3
    assert (tmp_path / "state") in program.store.path.parents
    window.open_page("settings")
    assert window.windowTitle().startswith("Demo: ")
    window.close()
    assert not own.exists()
