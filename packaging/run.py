"""Set up and run Halfclick, or its tests, from a bare checkout with nothing but Python.

    python3 packaging/run.py [options of the program]
    python3 packaging/run.py test [options of pytest]
    python3 packaging/run.py check

The environment is made in .venv beside this folder; what the pins say is installed only when they
changed since the last time. Only the standard library is used here, so that it can be.
"""

from __future__ import annotations  # so that an old Python gets as far as the sentence for it

import hashlib
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST_PYTHON = (3, 11)
SOURCES = ("core", "desktop", "resources")
PINS = {
    "run": "requirements.txt",
    "test": "requirements-test.txt",
    "check": "requirements-check.txt",
}
CHECKS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    ("lint-imports",),
)


def main(arguments: list[str]) -> int:
    """Do what was asked and return the exit code."""
    if sys.version_info < OLDEST_PYTHON:
        wanted, found = ".".join(map(str, OLDEST_PYTHON)), sys.version.split()[0]
        return refused(f"Halfclick needs Python {wanted} or newer; this is {found}.")
    task, rest = "run", arguments
    if arguments and arguments[0] in {"test", "check"}:
        task, rest = arguments[0], arguments[1:]
    try:
        make_environment()
        install(PINS[task], done=environment_stamps())
        if task != "check":
            provide_libraries(for_screen=task == "run" and wants_screen(os.environ))
    except SetupFailed as failed:
        return refused(str(failed))
    return {"run": run_program, "test": run_tests, "check": run_checks}[task](rest)


class SetupFailed(Exception):
    """Setting up cannot go on; the text says what to do."""


def refused(sentence: str) -> int:
    """Print a sentence where errors go, and return the exit code for it."""
    print(sentence, file=sys.stderr)
    return 2


def python_of_environment() -> Path:
    """Return the environment's own Python."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def make_environment() -> None:
    """Make .venv where there is none that works; on Debian its tools may have to come first."""
    home = VENV / "made-here"  # an environment that was moved points at where it was
    there = home.exists() and home.read_text("utf-8") == str(VENV)
    if there and succeeds([str(python_of_environment()), "-c", "import pip"]):
        return
    say("Making the environment in .venv.")
    if not can_make_environments():
        package = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
        provide_packages([package], "Python here cannot make an environment.")
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", str(VENV)], capture_output=True, text=True
    )
    if made.returncode != 0:
        raise SetupFailed(f"The environment could not be made:\n{made.stdout}{made.stderr}")
    home.write_text(str(VENV), "utf-8")


def can_make_environments() -> bool:
    """Return whether this Python has what `venv` needs; Debian packs it apart."""
    return succeeds([sys.executable, "-c", "import ensurepip, venv"])


def environment_stamps() -> Path:
    """Return the folder that remembers which pins were installed."""
    stamps = VENV / "installed"
    stamps.mkdir(exist_ok=True)
    return stamps


def install(pins: str, *, done: Path) -> None:
    """Install what a pin file says, checked by its hashes, unless that was done already."""
    path = ROOT / "packaging" / pins
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    stamp = done / pins
    if not (stamp.exists() and stamp.read_text() == digest):
        say(f"Installing what {pins} says.")
        command = [str(python_of_environment()), "-m", "pip", "install", "--quiet"]
        command += ["--disable-pip-version-check", "--require-hashes", "-r", str(path)]
        if subprocess.run(command).returncode != 0:
            raise SetupFailed(
                "The libraries could not be installed. They come over the network the first "
                "time: check the connection and start again; what was loaded is kept."
            )
        point_at_sources()
        compile_all()
        stamp.write_text(digest)


def point_at_sources() -> None:
    """Let the environment import the packages from this checkout, with no build step."""
    query = "import sysconfig; print(sysconfig.get_path('purelib'))"
    found = subprocess.run(
        [str(python_of_environment()), "-c", query], capture_output=True, text=True, check=True
    )
    paths = "\n".join(str(ROOT / source) for source in SOURCES)
    (Path(found.stdout.strip()) / "halfclick-checkout.pth").write_text(paths + "\n", "utf-8")


def compile_all() -> None:
    """Compile to bytecode, so that every start is a fast one."""
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": ""}
    command = [str(python_of_environment()), "-m", "compileall", "-q", "-j", "0"]
    command += [str(VENV), *(str(ROOT / source) for source in SOURCES)]
    subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def provide_libraries(*, for_screen: bool) -> None:
    """Look for the system libraries Qt wants before Qt does: it aborts where one is missing."""
    if not sys.platform.startswith("linux"):
        return
    import linux_libraries

    missing = linux_libraries.missing_packages(for_screen=for_screen)
    if missing:
        provide_packages(missing, "Some system libraries that the window needs are missing.")
        still = linux_libraries.missing_packages(for_screen=for_screen)
        if still:
            raise SetupFailed(f"These are still missing: {' '.join(still)}.")
    if for_screen and not linux_libraries.screen_answers(os.environ):
        raise SetupFailed(
            "No screen answers here, so no window can be shown. Start this from a desktop."
        )


def wants_screen(environment: Mapping[str, str]) -> bool:
    """Return whether Qt will look for a screen; it can be told to draw elsewhere."""
    return environment.get("QT_QPA_PLATFORM", "").split(":")[0] not in {"offscreen", "minimal"}


def provide_packages(packages: list[str], because: str) -> None:
    """Install Debian packages as root, saying so; else say the one line to type."""
    command = ["apt-get", "install", "--yes", *packages]
    line = " ".join(command)
    if not succeeds(["apt-get", "--version"]):
        raise SetupFailed(f"{because} Install what your system calls: {' '.join(packages)}.")
    if os.geteuid() != 0:
        raise SetupFailed(f"{because} Type this once, then start again:\n  sudo {line}")
    say(f"{because} Installing: {' '.join(packages)}.")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for step in (["apt-get", "update"], command):
        done = subprocess.run(step, stdout=subprocess.DEVNULL, env=environment)
    if done.returncode != 0:
        raise SetupFailed(f"That did not work. Type this, and see what it says:\n  {line}")


def run_program(arguments: list[str]) -> int:
    """Start the program in place of this script."""
    return handed_over([str(python_of_environment()), "-m", "halfclick_desktop", *arguments])


def run_tests(arguments: list[str]) -> int:
    """Run the tests without a screen, one process a core; who is done early takes from the others.

    Tests of a file stay together so, and what is made once for a file is made once.
    """
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.chdir(ROOT)
    command = [str(python_of_environment()), "-m", "pytest", "-n", "auto", "--dist", "worksteal"]
    return handed_over([*command, *arguments])


def run_checks(_arguments: list[str]) -> int:
    """Run lint, types and import contracts; return the first exit code that is not 0."""
    os.chdir(ROOT)
    tools = python_of_environment().parent
    for tool, *arguments in CHECKS:
        print("+", tool, *arguments, flush=True)
        code = subprocess.run([str(tools / tool), *arguments]).returncode
        if code != 0:
            return code
    return 0


def handed_over(command: list[str]) -> int:
    """Run a command in place of this process where the system can, else wait for it."""
    if os.name == "posix":
        sys.stdout.flush()
        os.execv(command[0], command)
    return subprocess.run(command).returncode


def succeeds(command: list[str]) -> bool:
    """Return whether a command can be run and ends well; what it prints is thrown away."""
    try:
        done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except OSError:
        return False
    return done.returncode == 0


def say(sentence: str) -> None:
    """Tell what is being done, at once."""
    print(sentence, flush=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
