"""The bootstrap: what is missing, what is said, what is installed again and what is not."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest

PACKAGING = Path(__file__).parents[2] / "packaging"


def loaded(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, PACKAGING / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def run() -> ModuleType:
    return loaded("run")


def test_where_every_library_loads_nothing_is_missing():
    libraries = loaded("linux_libraries")
    assert libraries.missing_packages(for_screen=True, loads=lambda _: True) == []


def test_a_screen_wants_its_own_libraries_besides():
    libraries = loaded("linux_libraries")
    without = libraries.missing_packages(for_screen=False, loads=lambda _: False)
    with_screen = libraries.missing_packages(for_screen=True, loads=lambda _: False)
    assert "libxcb-cursor0" not in without
    assert "libxcb-cursor0" in with_screen
    assert set(without) < set(with_screen)
    assert len(with_screen) == len(set(with_screen))


def test_who_is_not_root_is_told_the_one_line_to_type(run, monkeypatch):
    monkeypatch.setattr(run, "succeeds", lambda _: True)
    monkeypatch.setattr(run.os, "geteuid", lambda: 1000, raising=False)
    with pytest.raises(run.SetupFailed, match="sudo apt-get install --yes libgl1 libegl1"):
        run.provide_packages(["libgl1", "libegl1"], "Missing.")


def test_another_system_is_told_the_names(run, monkeypatch):
    monkeypatch.setattr(run, "succeeds", lambda _: False)
    with pytest.raises(run.SetupFailed, match="Install what your system calls: libgl1"):
        run.provide_packages(["libgl1"], "Missing.")


def test_pins_are_installed_again_only_when_they_changed(run, monkeypatch, tmp_path):
    calls: list[list[str]] = []

    def noted(command: list[str], **_: object) -> SimpleNamespace:
        calls.append(command)
        return SimpleNamespace(returncode=0, stdout=str(tmp_path))

    monkeypatch.setattr(run.subprocess, "run", noted)
    monkeypatch.setattr(run, "ROOT", tmp_path)
    (tmp_path / "packaging").mkdir()
    pins = tmp_path / "packaging" / "pins.txt"
    pins.write_text("one")
    run.install("pins.txt", done=tmp_path)
    first = len(calls)
    run.install("pins.txt", done=tmp_path)
    assert len(calls) == first
    pins.write_text("two")
    run.install("pins.txt", done=tmp_path)
    assert len(calls) == 2 * first
    assert any("--require-hashes" in command for command in calls)


def test_a_failed_installation_is_not_remembered_as_done(run, monkeypatch, tmp_path):
    failed = SimpleNamespace(returncode=1, stdout="")
    monkeypatch.setattr(run.subprocess, "run", lambda *_, **__: failed)
    monkeypatch.setattr(run, "ROOT", tmp_path)
    (tmp_path / "packaging").mkdir()
    (tmp_path / "packaging" / "pins.txt").write_text("one")
    with pytest.raises(run.SetupFailed, match="could not be installed"):
        run.install("pins.txt", done=tmp_path)
    assert not (tmp_path / "pins.txt").exists()


def test_an_old_python_is_refused_with_a_sentence(run, monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 10, 13))
    assert run.main([]) == 2
    assert "Halfclick needs Python 3.11 or newer" in capsys.readouterr().err


def test_an_environment_that_was_moved_is_made_anew(run, monkeypatch, tmp_path):
    venv = tmp_path / ".venv"
    venv.mkdir()
    made: list[list[str]] = []

    def noted(command: list[str], **_: object) -> SimpleNamespace:
        made.append(command)
        return SimpleNamespace(returncode=0)

    monkeypatch.setattr(run, "VENV", venv)
    monkeypatch.setattr(run, "succeeds", lambda _: True)
    monkeypatch.setattr(run.subprocess, "run", noted)
    (venv / "made-here").write_text("/somewhere/else/.venv")
    run.make_environment()
    assert len(made) == 1
    assert "--clear" in made[0]
    run.make_environment()
    assert len(made) == 1


def test_without_any_screen_there_is_a_sentence_and_no_abort(run, monkeypatch):
    libraries = loaded("linux_libraries")
    monkeypatch.setattr(libraries, "missing_packages", lambda **_: [])
    monkeypatch.setitem(sys.modules, "linux_libraries", libraries)
    monkeypatch.setattr(run.sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    with pytest.raises(run.SetupFailed, match="No screen answers here"):
        run.provide_libraries(for_screen=True)
    run.provide_libraries(for_screen=False)


@pytest.mark.parametrize(
    ("platform", "wants"),
    [("", True), ("xcb", True), ("offscreen", False), ("minimal:size=1x1", False)],
)
def test_what_qt_draws_on_decides_whether_a_screen_is_wanted(run, platform, wants):
    assert run.wants_screen({"QT_QPA_PLATFORM": platform}) is wants
    assert run.wants_screen({})
