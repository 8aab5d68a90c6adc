"""The door for outsiders: a line in, a line out."""

import io
import json
import subprocess
import sys
from dataclasses import asdict

import pytest
from dial_cups import CONTEXT, START, sour_cup
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from halfclick.commands.dial import LONGEST_LINE, reply_to, serve
from halfclick.dialling.request import LEVERS

DOOR_SETTINGS = asdict(START)


def context(**other: object) -> dict[str, object]:
    return {**asdict(CONTEXT), "start": DOOR_SETTINGS, "earlier": [], **other}


def cup(setting: float, **seen: object) -> dict[str, object]:
    return asdict(sour_cup(setting, **seen))


def line(**other: object) -> bytes:
    request = {"id": 1, "context": context(), "history": [], "changes_at_most": 1, "seed": 7}
    return json.dumps({**request, **other}).encode()


def test_an_empty_history_is_answered_with_the_start(words):
    reply = reply_to(line(id={"any": [1]}), words)
    assert reply["id"] == {"any": [1]}
    assert reply["next"] == reply["best"] == DOOR_SETTINGS
    assert reply["status"] == "searching"


def test_a_reply_has_everything_the_door_promises(words):
    reply = reply_to(line(history=[cup(20), cup(17)]), words)
    assert set(reply) == {
        "id", "action", "next", "from", "best", "status", "confidence", "why", "expected",
    }  # fmt: skip
    assert reply["action"] in {"change", "repeat", "hold", "immersion"}
    assert 0.0 <= reply["confidence"] <= 1.0
    assert all(isinstance(sentence, str) and sentence.endswith(".") for sentence in reply["why"])
    bands = reply["expected"]
    for band in (bands["time_s"], bands["strength_pct"], bands["liking"], *bands["marks"].values()):
        assert len(band) == 3
        assert band == sorted(band)
    assert set(bands["marks"]) == {"sour", "bitter", "thin", "harsh", "sweet"}


def test_the_same_request_and_seed_give_the_same_reply(words):
    asked = line(history=[cup(20), cup(17)])
    assert reply_to(asked, words) == reply_to(asked, words)


def test_what_is_not_known_may_be_left_out(words):
    bare = {
        "dial": {"min": 0, "max": 40, "step": 1},
        "start": {"setting": 20},
    }
    history = [{"settings": {"setting": 20}, "seen": {"words": ["sour"]}, "mood": "new key"}]
    reply = reply_to(json.dumps({"context": bare, "history": history}).encode(), words)
    assert "error" not in reply
    assert set(reply["next"]) == set(LEVERS)
    # No lever but the dial may move.
    assert {name for name in LEVERS if reply["next"][name] != reply["best"][name]} <= {"setting"}


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (b"nonsense", "no JSON"),
        (b'{"id": 3', "no JSON"),
        (b"[1]", "JSON object"),
        (b'{"id": NaN}', "no JSON"),
        (b"\xff\xfe{}", "no JSON"),
        (b"[" * 100_000, "no JSON"),
        (line(context={}), "dial"),
        (line(context=context(dose_g="much")), "dose_g"),
        (line(context=context(dose_g=-1)), "dose_g"),
        (line(context=context(dial={"min": 5, "max": 1, "step": 1})), "dial"),
        (line(context=context(dial={"min": 0, "max": 40, "step": 0})), "step"),
        (line(context=context(levers={"ratio": [18, 13, 0.1]})), "ratio"),
        (line(history=[{"settings": {}, "seen": {"liking": 30}}]), "liking"),
        (line(history=[{"settings": {"setting": "fine"}, "seen": {}}]), "setting"),
        (line(history=[{"seen": {}}]), "settings"),
        (line(history=7), "history"),
        (line(history=[{"settings": {}, "seen": {"words": ["muddy"]}}]), "words"),
        (line(history=[{"settings": {}, "seen": {"marks": {"sour": 99}}}]), "sour"),
        (line(changes_at_most=-1), "changes_at_most"),
        (line(context=context(levers={"pour_g_s": [0, 9, 0.5]})), "pour_g_s"),
        (line(context=context(levers={"ratio": [-5, 18, 1]})), "ratio"),
        (line(context=context(levers={"ratio": [13, 1e300, 1]})), "ratio"),
        (line(context=context(dial={"min": -1e308, "max": 1e308, "step": 1})), "dial"),
        (line(context=context(dial={"min": 0, "max": 40, "step": 1e-300})), "step"),
        (line(context=context(boiling_c=-1e308)), "boiling_c"),
        (line(history=[{"settings": {"ratio": 1e6}, "seen": {}}]), "ratio"),
        (line(history=[{"settings": {"pour_g_s": 1e-300}, "seen": {}}]), "pour_g_s"),
        (line(history=[{"settings": {"swirl": 1e6}, "seen": {}}]), "swirl"),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_answered_gets_its_reason_and_the_next_is_served(sent, said, words):
    lines = io.BytesIO(sent + b"\n\n" + line(id="next") + b"\n")
    out = io.BytesIO()
    serve(lines, out, words)
    first, second = (json.loads(one) for one in out.getvalue().splitlines())
    assert said in first["error"]
    assert second["id"] == "next"
    assert "error" not in second


def test_null_is_not_known_and_unknown_names_are_ignored_wherever_they_stand(words):
    seen = {"liking": 5.0, "marks": {"sour": 6.0}}
    plain = {
        "context": {
            "dial": {"min": 0, "max": 40, "step": 1},
            "start": {"setting": 20},
            "levers": {"ratio": [13, 18, 0.1]},
        },
        "history": [{"settings": {"setting": 20}, "seen": seen}],
    }
    other = {
        "seed": 0.0,
        "changes_at_most": None,
        "context": {
            "dial": {"min": 0, "max": 40, "step": 1, "finer": None},
            "start": {"setting": 20, "ratio": None},
            "levers": {"ratio": [13, 18, 0.1], "water_c": None, "agitation": [0, 1, 1]},
            "dose_g": None,
            "roast": None,
            "shown": None,
        },
        "history": [
            {
                "settings": {"setting": 20, "water_c": None},
                "seen": {
                    **seen,
                    "marks": {"sour": 6.0, "body": "good", "thin": None},
                    "words": None,
                },
            },
        ],
    }
    replies = [reply_to(json.dumps(one).encode(), words) for one in (plain, other)]
    assert "error" not in replies[0]
    assert replies[0] == replies[1]


def test_a_line_without_an_end_is_not_held_whole(words):
    lines = io.BytesIO(b"x" * (2 * LONGEST_LINE + 5) + b"\n" + line(id="next") + b"\n")
    out = io.BytesIO()
    serve(lines, out, words)
    first, second = (json.loads(one) for one in out.getvalue().splitlines())
    assert "longer" in first["error"]
    assert second["id"] == "next"


def test_the_program_answers_line_by_line_and_loads_no_qt():
    script = (
        "import sys; from halfclick.commands.main import main; code = main(['dial']);"
        " sys.stderr.write(' '.join(sorted(m for m in sys.modules if 'PySide6' in m)));"
        " sys.exit(code)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", script],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as door:  # fmt: skip
        for number in (1, 2):
            door.stdin.write(line(id=number, history=[cup(20)]) + b"\n")
            door.stdin.flush()
            assert json.loads(door.stdout.readline())["id"] == number
        door.stdin.close()
        assert door.stdout.read() == b""
        assert door.stderr.read() == b""
        assert door.wait(timeout=30) == 0


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner),
    max_leaves=8,
)
PARTS = st.sampled_from([*json.loads(line()), *json.loads(line())["context"], "cup", "dial"])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=80) | JSON.map(lambda told: json.dumps(told).encode()))
def test_any_line_gets_one_line_back(words, told):
    out = io.BytesIO()
    serve(io.BytesIO(told.replace(b"\n", b" ") + b"\n"), out, words)
    replies = out.getvalue().splitlines()
    assert len(replies) == bool(told.strip())
    for reply in replies:
        assert json.loads(reply)["error"]


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@example(part="seed", told=-1)
@example(part="seed", told=2**63)
@given(part=PARTS, told=JSON)
def test_a_request_with_any_part_gone_wrong_gets_one_line_back(words, capsys, part, told):
    request = json.loads(line())
    (request if part in request else request["context"])[part] = told
    out = io.BytesIO()
    serve(io.BytesIO(json.dumps(request).encode() + b"\n"), out, words)
    reply = json.loads(out.getvalue())
    assert ("error" in reply) != ("next" in reply)
    assert capsys.readouterr().err == ""  # none is a mistake of ours


@pytest.mark.parametrize("number", [b"1e999", b"-1e999", b"9" * 5_000])
def test_a_number_past_all_numbers_is_answered_and_the_next_is_served(words, number):
    out = io.BytesIO()
    serve(io.BytesIO(b'{"id": ' + number + b'}\n{"id": 2}\n'), out, words)
    first, second = (json.loads(reply) for reply in out.getvalue().splitlines())
    assert first["error"]
    assert second["id"] == 2
