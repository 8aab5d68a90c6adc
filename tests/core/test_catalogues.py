"""The catalogues hold every sentence the program may say, and none it never says."""

import ast
import re
from functools import cache
from pathlib import Path

import halfclick_resources
from halfclick.pseudo import GROWTH, pseudo_wording, strange
from halfclick.wording import languages, open_wording

ROOT = Path(__file__).parents[2]
SOURCES = [*(ROOT / "core").rglob("*.py"), *(ROOT / "desktop").rglob("*.py")]
# What is put together like a code, and names a choice kept in the journal.
KEYS_OF_PREFERENCES = (r"caution\.seen\.",)
DATA = list(Path(halfclick_resources.__path__[0]).rglob("*.toml"))


@cache
def sentences() -> dict[str, str]:
    """Return every sentence of the English catalogue by its code; plurals by their code too."""
    found: dict[str, str] = {}
    for key, said in open_wording()._catalogue._catalog.items():
        code = key if isinstance(key, str) else key[0]
        found[code] = f"{found.get(code, '')} {said}"
    return {code: said for code, said in found.items() if code}


@cache
def named_in_sources() -> tuple[set[str], list[re.Pattern[str]]]:
    """Return the texts that stand in the sources, and the patterns of those that are put together.

    A pattern is an f-string whose own part says the room of the catalogue: up to its first point.
    """
    texts: set[str] = set()
    patterns: set[str] = set()
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                texts.add(node.value)
            if isinstance(node, ast.JoinedStr):
                patterns.add("".join(pattern_of(part) for part in node.values))
    for path in DATA:
        texts |= set(re.findall(r'"([\w.]+)"', path.read_text("utf-8")))
    return texts, [re.compile(one) for one in patterns if re.match(r"\w+\\\.", one)]


def pattern_of(part: ast.expr) -> str:
    return re.escape(str(part.value)) if isinstance(part, ast.Constant) else r"[\w.]+"


def test_no_sentence_of_the_catalogues_is_one_that_nothing_says():
    texts, patterns = named_in_sources()
    unused = [
        code
        for code in sentences()
        if code not in texts and not any(one.fullmatch(code) for one in patterns)
    ]
    assert not unused, "\n".join(unused)


def test_every_pattern_of_codes_in_the_sources_names_at_least_one_sentence():
    codes = sentences()
    topics = {code.split(".")[0] for code in codes}
    _, patterns = named_in_sources()
    empty = [
        one.pattern
        for one in patterns
        if one.pattern.split("\\.")[0] in topics
        and not one.pattern.startswith(KEYS_OF_PREFERENCES)
        and not any(one.fullmatch(code) for code in codes)
    ]
    assert not empty, "\n".join(empty)


def test_each_language_says_its_own_name():
    assert dict(languages())["en"] == "English"


def test_the_language_for_tests_is_no_language_a_person_can_choose():
    assert "pseudo" not in dict(languages())


def test_every_sentence_of_the_language_for_tests_keeps_its_placeholders():
    def placeholders(said: str) -> list[str]:
        return re.findall(r"\{[^}]*\}", said)

    lost = [
        code
        for code, said in sentences().items()
        if placeholders(strange(said)) != placeholders(said)
    ]
    assert not lost, "\n".join(lost)


def test_the_language_for_tests_is_longer_and_strange_in_every_letter(words):
    plain, odd = words("settings.no_copies"), pseudo_wording()("settings.no_copies")
    assert not re.search("[A-Za-z]", odd)
    assert len(odd) >= len(plain) * (1 + GROWTH) * 0.85


def test_the_language_for_tests_prints_values_as_english_does(words):
    assert "203" in pseudo_wording()("plan_page.heat", water_c=203.0)
