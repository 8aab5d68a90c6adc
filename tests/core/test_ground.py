"""The ground rules that no tool checks: imports of core, sizes, catalogues, what is tracked."""

import ast
import importlib.util
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from halfclick.wording import open_wording

ROOT = Path(__file__).parents[2]
SOURCES = sorted(
    path
    for room in ("core", "desktop", "packaging")
    for path in (ROOT / room).rglob("*.py")
    if "__pycache__" not in path.parts
)
CATALOGUES = ROOT / "resources" / "halfclick_resources" / "catalogues"

HIDES_QT = """
import sys
for name in ("PySide6", "shiboken6", "pyqtgraph", "halfclick_desktop"):
    sys.modules[name] = None
import importlib, pkgutil, halfclick
for found in pkgutil.walk_packages(halfclick.__path__, "halfclick."):
    if not found.name.endswith("migrations.env"):
        importlib.import_module(found.name)
"""

# The one door of background work, and the last door of the command line, which is to a terminal
# what the window's hook is to a screen; nowhere else.
BROAD_IS_ALLOWED = {"commands/dial.py", "halfclick_desktop/work.py", "commands/main.py"}


def test_the_whole_core_imports_where_there_is_no_qt():
    done = subprocess.run(
        [sys.executable, "-c", HIDES_QT], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_file_and_its_functions_stay_small(path):
    text = path.read_text("utf-8")
    assert text.count("\n") <= 500
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef) and "migrations" not in path.parts:
            length = (node.end_lineno or 0) - node.lineno + 1
            assert length <= 60, f"{node.name} has {length} lines"


def test_broad_catches_stand_only_at_the_last_doors():
    broad = re.compile(r"except\s*:|except \(?(Base)?Exception\)?( as \w+)?:")
    for path in SOURCES:
        text = path.read_text("utf-8")
        for match in broad.finditer(text):
            rest = text[match.end() :].split("\n\n")[0]
            # What is let through again after tidying up is not swallowed.
            door = f"{path.parent.name}/{path.name}"
            assert door in BROAD_IS_ALLOWED or re.search(r"\n\s+raise\b", rest), path


def test_a_package_says_what_it_is_and_nothing_else():
    for path in SOURCES:
        if path.name == "__init__.py":
            assert len(ast.parse(path.read_text("utf-8")).body) == 1, path


def test_the_compiled_catalogues_are_what_their_sources_say():
    spec = importlib.util.spec_from_file_location(
        "catalogues", ROOT / "packaging" / "catalogues.py"
    )
    assert spec is not None
    assert spec.loader is not None
    catalogues = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(catalogues)
    language = CATALOGUES / "en"
    assert set(catalogues.COMPILED) == {"halfclick.mo", "command_line.mo"}
    for name, begins in catalogues.COMPILED.items():
        assert (language / name).read_bytes() == catalogues.compiled(language, begins), name


def test_every_code_that_the_source_names_has_a_sentence():
    assert not codes_named() - codes_in_catalogue()


def test_every_text_shaped_like_a_code_is_one_or_begins_one():
    codes = codes_in_catalogue()
    topics = {code.split(".")[0] for code in codes}
    shaped = re.compile(r"[a-z_]+(\.[a-z0-9_]+)+")
    unknown = [
        f"{path.relative_to(ROOT)}: {text}"
        for path in SOURCES
        if "migrations" not in path.parts
        for text in texts_in(path)
        if shaped.fullmatch(text)
        and text.split(".")[0] in topics
        and text not in codes
        # What an f-string begins with is joined to the name of a choice.
        and not (text.endswith("_") and any(code.startswith(text) for code in codes))
    ]
    assert not unknown


def codes_named() -> set[str]:
    """Return every literal that is used as a message code."""
    takers = {"words", "Message", "BadInput", "NotFound", "_words"}
    codes: set[str] = set()
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not node.args:
                continue
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            first = node.args[0]
            if isinstance(first, ast.Constant) and isinstance(first.value, str):
                if name in takers or name.startswith("Store"):
                    codes.add(first.value)
    return {code for code in codes if "." in code}


def texts_in(path: Path) -> list[str]:
    nodes = ast.walk(ast.parse(path.read_text("utf-8")))
    return [
        node.value
        for node in nodes
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]


def codes_in_catalogue() -> set[str]:
    keys = open_wording()._catalogue._catalog
    return {key if isinstance(key, str) else key[0] for key in keys if key}


def test_nothing_is_tracked_that_names_a_host_or_this_machine():
    if shutil.which("git") is None:
        pytest.skip("no git here to say what is tracked")
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode != 0:
        pytest.skip("no git checkout")
    tracked = listed.stdout.split()
    assert not [name for name in tracked if name.endswith("uv.lock")]
    assert "packaging/__init__.py" not in tracked
    for name in tracked:
        if name.startswith("packaging/requirements"):
            assert "://" not in (ROOT / name).read_text("utf-8"), name
    home = str(ROOT)
    for name in tracked:
        if name.endswith((".py", ".md", ".toml", ".po", ".txt")):
            assert home not in (ROOT / name).read_text("utf-8"), name
