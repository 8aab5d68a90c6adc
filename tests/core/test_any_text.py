"""Whatever is typed or lies in a small file: read, or refused with a sentence, and nothing else."""

import argparse
import json
import math
from datetime import date
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from some_trials import begun

from halfclick.commands.mapping import matching_meant
from halfclick.commands.record import slips_said
from halfclick.commands.typed import date_of, number_of, seconds_of, whole_of
from halfclick.errors import BadInput
from halfclick.model.brew import SlipKind
from halfclick.service.rule_book import read_own
from halfclick.service.trial_seal import checked_key
from halfclick.store.exchange.table_in import Table
from halfclick.wording import open_wording

TYPED = st.one_of(
    st.text(max_size=60),
    st.text("0123456789.,:-+ eE_\u0663", max_size=20),
)
NAMES = [*(kind.value for kind in SlipKind), "", "sneezed"]
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["columns", "units", "decimal_comma", "dose", "x"]), inner, max_size=4
        )
    ),
    max_leaves=12,
)
WORDS = open_wording()


def said(refused: BadInput) -> None:
    """Hold a refusal to being a sentence."""
    assert WORDS.sentence(refused).strip()


@pytest.mark.parametrize("read", [number_of, whole_of, seconds_of])
@given(text=TYPED)
def test_any_text_of_an_option_is_a_finite_number_or_a_refusal(read, text: str):
    try:
        value = read("--dose-g", text)
    except BadInput as refused:
        said(refused)
    else:
        assert value is not None
        assert math.isfinite(value)


@given(TYPED)
def test_any_text_of_an_option_is_a_day_or_a_refusal(text: str):
    try:
        assert isinstance(date_of("--roasted-on", text), date)
    except BadInput as refused:
        said(refused)


@given(st.lists(st.tuples(st.sampled_from(NAMES), st.none() | TYPED), max_size=3))
def test_any_slips_are_kept_once_each_or_refused(typed):
    texts = [name if size is None else f"{name}={size}" for name, size in typed]
    try:
        slips = slips_said(texts)
    except BadInput as refused:
        said(refused)
    else:
        assert len({slip.kind for slip in slips}) == len(texts)
        assert all(slip.amount is None or math.isfinite(slip.amount) for slip in slips)


@cache
def rule_lines() -> list[str]:
    """Return lines as rules of one's own are written in, good and bad."""
    rules = files("halfclick_resources").joinpath("rules")
    texts = [one.read_text("utf-8") for one in rules.iterdir()]
    return sorted({line for text in texts for line in text.splitlines()})


LINES = st.deferred(lambda: st.lists(st.sampled_from(rule_lines()), max_size=8))


@given(st.text(max_size=200) | LINES.map(lambda lines: "\n".join(["[[rule]]", *lines])))
def test_any_text_is_a_rule_or_a_refusal(text: str):
    try:
        rule = read_own(text)
    except BadInput as refused:
        said(refused)
    else:
        assert rule.own
        assert rule.evidence


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 20_000, "a = " + "9" * 9_000, "[[rule]]\nage_min = inf"]
)
def test_a_rule_nested_past_all_sense_is_refused(text):
    with pytest.raises(BadInput):
        read_own(text)


TABLE = Table(
    path=Path("cups.csv"),
    encoding="utf-8",
    guessed_encoding=False,
    delimiter=",",
    header=("Dose", "water", "water"),
    sample=(),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    told=st.binary(max_size=60) | JSON.map(lambda told: json.dumps(told).encode()),
    pairs=st.lists(
        TYPED | st.sampled_from(["dose=1", "dose=", "dose=Dose", "water=2"]), max_size=3
    ),
)
def test_any_mapping_is_followed_or_refused(tmp_path, told: bytes, pairs: list[str]):
    file = tmp_path / "mapping.json"
    file.write_bytes(told)
    options = argparse.Namespace(mapping=str(file), match=pairs, unit=pairs[:1])
    try:
        matching = matching_meant(TABLE, options)
    except BadInput as refused:
        said(refused)
    else:
        assert all(0 <= place < len(TABLE.header) for place in matching.columns.values())


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(typed=st.text(max_size=40), loose=st.sampled_from(["{}", " {} ", "{}-", "\u2013{}"]))
def test_any_text_is_the_helper_s_key_or_a_refusal(store, clock, kept, typed, loose):
    if not kept:
        kept.append(begun(store, clock))
    trial, key = kept[0].view.trial, kept[0].key
    assert checked_key(trial, loose.format(key.lower())) == key
    try:
        assert checked_key(trial, typed) == key
    except BadInput as refused:
        said(refused)


@pytest.fixture
def kept() -> list:
    return []
