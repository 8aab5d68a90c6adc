"""The command line is light and whole: no heavy module for its help, no Qt at all, no bad ends."""

import os
import signal
import subprocess
import sys
import textwrap

import pytest

HEAVY = ("sqlalchemy", "numpy", "msgspec", "alembic", "PySide6", "pyqtgraph")
# Light beside those, and yet half of what help once took.
NOT_FOR_HELP = (
    "dataclasses",
    "inspect",
    "pathlib",
    "typing",
    "datetime",
    "shutil",
    "halfclick.wording",
)


def python(*argv: str, **env: str) -> subprocess.CompletedProcess[str]:
    paths = os.pathsep.join(path for path in sys.path if path)
    environment = {**os.environ, "PYTHONPATH": paths, **env}
    encoding = env.get("PYTHONIOENCODING", "utf-8")
    return subprocess.run(
        [sys.executable, *argv],
        capture_output=True,
        encoding=encoding,
        env=environment,
        check=False,
    )


@pytest.fixture(scope="module")
def state(tmp_path_factory) -> str:
    """Return a folder for a program's state, so that the demo is made once for all tests here."""
    return str(tmp_path_factory.mktemp("state"))


@pytest.mark.parametrize("argv", [["--help"], ["plan", "--help"], ["restore", "--help"]])
def test_help_loads_nothing_heavy(argv):
    code = f"""
    import sys
    from halfclick.commands.main import main
    assert main({argv!r}) == 0
    loaded = [name for name in {HEAVY + NOT_FOR_HELP!r} if name in sys.modules]
    assert not loaded, loaded
    """
    done = python("-c", textwrap.dedent(code))
    assert done.returncode == 0, done.stderr
    assert "usage: halfclick-cli" in done.stdout


def test_it_works_where_qt_is_not_installed(state):
    code = """
    import sys
    class Hidden:
        def find_spec(self, name, path=None, target=None):
            if name.split(".")[0] in {"PySide6", "shiboken6", "pyqtgraph", "halfclick_desktop"}:
                raise ModuleNotFoundError(name)
    sys.meta_path.insert(0, Hidden())
    from halfclick.commands.main import main
    for command in (["coffees"], ["plan"], ["history"], ["advise"], ["check"], ["backup"]):
        assert main([*command, "--demo"]) == 0, command
    """
    done = python("-c", textwrap.dedent(code), XDG_STATE_HOME=state)
    assert done.returncode == 0, done.stderr


def test_it_runs_as_a_module():
    done = python("-m", "halfclick", "--help")
    assert done.returncode == 0
    assert "Exit codes" in done.stdout


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "utf-8"])
def test_a_terminal_of_any_encoding_is_written_to(state, encoding):
    done = python(
        "-m", "halfclick", "plan", "--demo",
        XDG_STATE_HOME=state, PYTHONIOENCODING=encoding, PYTHONUTF8="0",
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "15 g of coffee" in done.stdout.replace("\xa0", " ")
    assert "255 g" in done.stdout.replace("\xa0", " ")


@pytest.mark.skipif(os.name != "posix", reason="pipes end so on POSIX only")
def test_a_reader_that_goes_away_is_no_fault(state):
    paths = os.pathsep.join(path for path in sys.path if path)
    env = {**os.environ, "PYTHONPATH": paths, "XDG_STATE_HOME": state}
    argv = [sys.executable, "-m", "halfclick", "history", "saltmarsh", "--demo", "--json"]
    begun = subprocess.Popen(argv, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=env)
    begun.stdout.close()
    err = begun.stderr.read().decode()
    begun.stderr.close()
    assert begun.wait() == 141
    assert err == ""


@pytest.mark.skipif(os.name != "posix", reason="signals are sent so on POSIX only")
def test_ctrl_c_ends_with_a_sentence(state):
    code = """
    import signal
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell may have had it ignored
    from halfclick.commands import main as door
    door._answered = lambda *_: signal.raise_signal(signal.SIGINT)
    raise SystemExit(door.main(["coffees"]))
    """
    done = python("-c", textwrap.dedent(code), XDG_STATE_HOME=state)
    assert done.returncode == 128 + signal.SIGINT
    assert done.stderr.startswith("Interrupted.")
