"""Which cup was which is not in the journal's file, nor in what is taken out, before it opens."""

import gzip
import itertools
import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC

import pytest
from some_trials import SWIRL, answered, begun, said

from halfclick.model.trial_kinds import TrialKind
from halfclick.service.export import export_json, export_tables
from halfclick.service.trial_seal import brews_in
from halfclick.service.trials import serve
from halfclick.store.exchange.csv_out import CsvForm
from halfclick.store.exchange.progress import Progress

KINDS = (TrialKind.NAMED_PAIR, TrialKind.GROUPING, TrialKind.TRIANGLE)


def everything(store, clock, words, tmp_path) -> bytes:
    """Return every byte of the journal's file, of its export and of its tables."""
    progress = Progress()
    export_json(store, tmp_path / "out.json", clock=clock, progress=progress)
    folder = export_tables(
        store, tmp_path, CsvForm(), words.sentences, clock=clock, progress=progress, zone=UTC
    )
    tables = b"\n".join(path.read_bytes() for path in sorted(folder.rglob("*.csv")))
    return store.path.read_bytes() + (tmp_path / "out.json").read_bytes() + tables


def spelled(brews: tuple[int, ...]) -> set[bytes]:
    """Return the ways in which an assignment might be written."""
    numbers = [str(brew) for brew in brews]
    forms = {f"[{sign.join(numbers)}]" for sign in (",", ", ")}
    return {form.encode() for form in forms}


@pytest.mark.parametrize("kind", KINDS)
def test_no_file_holds_which_cup_was_which_before_it_is_opened(store, clock, words, tmp_path, kind):
    made = begun(store, clock, replace(SWIRL, kind=kind, rounds_planned=6))
    given = {"weights_g": tuple(211.125 + at for at in range(made.view.trial.cups))}
    serve(store, made.view, made.key, clock=clock, **given)
    chosen = (0, 1) if kind is TrialKind.GROUPING else (0,)
    view = said(store, clock, made.view, made.key, opens=False, chosen=chosen)
    raw = everything(store, clock, words, tmp_path)
    assert made.key.encode() not in raw
    assert made.key.replace("-", "").encode() not in raw
    assert b"211.125" not in raw
    for one in view.rounds:
        for form in spelled(brews_in(view.trial, made.key, one.round)):
            assert form not in raw.replace(json.dumps(list(chosen)).encode(), b"")
        for code, brew in zip(
            one.round.codes, brews_in(view.trial, made.key, one.round), strict=True
        ):
            assert f"{code} {view.trial.names[brew]}".encode() not in raw


def test_two_trials_with_opposite_cups_leave_the_same_file_but_for_what_is_random(
    store, clock, words, tmp_path
):
    """Whatever the key, the rows of an unopened trial have the same shape and the same length."""
    one = begun(store, clock, seed=3)
    other = begun(store, clock, seed=4)
    with closing(sqlite3.connect(store.path)) as connection:
        rounds = connection.execute(
            "SELECT length(codes), number, sitting, taster FROM trial_round ORDER BY seq"
        ).fetchall()
        openings = connection.execute("SELECT count(*) FROM trial_opening").fetchone()
    assert rounds[:12] == rounds[12:]
    assert openings == (0,)
    firsts = [
        [brews_in(made.view.trial, made.key, each.round) for each in made.view.rounds]
        for made in (one, other)
    ]
    assert firsts[0] != firsts[1]


def test_what_cannot_be_foretold_does_not_compress_into_the_file(store, clock):
    """The sealed measurements of a round look like noise: they are as long as they were."""
    made = begun(store, clock)
    done = serve(store, made.view, made.key, clock=clock, weights_g=(218.0, 221.0))
    sealed = bytes.fromhex(done.value.sealed.removeprefix("s:"))
    assert len(gzip.compress(sealed)) >= len(sealed)
    assert b"218" not in sealed


def test_what_was_opened_is_in_the_file_and_in_what_is_taken_out(store, clock, words, tmp_path):
    made = begun(store, clock)
    view = answered(store, clock, made.view, made.key)
    raw = everything(store, clock, words, tmp_path)
    form = json.dumps(list(view.opened[0].opening.brews)).encode()
    assert form in raw
    told = json.loads((tmp_path / "out.json").read_text("utf-8"))
    assert len(told["trial_openings"]) == 1
    names = set(itertools.chain.from_iterable(one["record"] for one in told["trial_rounds"]))
    assert "brews" not in names
