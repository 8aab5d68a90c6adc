"""The whole journal as one document: out, in, and everything that may be wrong with it."""

import json
import re
from pathlib import Path
from uuid import UUID, uuid4

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import halfclick_resources
from halfclick.errors import BadInput, CoreError
from halfclick.model.coffee import Coffee
from halfclick.model.person import Device, Person
from halfclick.service.export import export_json
from halfclick.service.import_json import bring_in_journal, look_at_journal
from halfclick.store.exchange import journal_json
from halfclick.store.exchange.journal_json import KINDS, schema
from halfclick.store.exchange.merge import compared
from halfclick.store.exchange.progress import Progress, Stopped
from halfclick.store.opening import open_store
from halfclick.store.rows import TABLES

SCHEMA = Path(halfclick_resources.__path__[0]) / "schemas" / "journal-1.json"


@pytest.fixture
def full(store, clock, records):
    """A journal with records of every kind."""
    with store.writing(clock()) as w:
        for record in records:
            w.add(record)
    return store


@pytest.fixture
def other(tmp_path, clock):
    """Another journal, empty."""
    opened = open_store(tmp_path / "other.db", clock=clock, person_name="Ben", device_name="desk")
    yield opened
    opened.close()


@pytest.fixture
def out(tmp_path, clock):
    """Return what takes a journal out and reads the document as plain JSON."""

    def taken(store, name="out.json"):
        export_json(store, tmp_path / name, clock=clock, progress=Progress())
        return json.loads((tmp_path / name).read_text("utf-8"))

    return taken


@pytest.fixture
def bring(tmp_path, clock):
    """Return what brings a document into a journal and tells what it did, by kind."""

    def brought(store, document):
        path = tmp_path / "in.json"
        path.write_text(document if isinstance(document, str) else json.dumps(document), "utf-8")
        incoming = look_at_journal(store, path, progress=Progress())
        done = bring_in_journal(store, incoming, clock=clock, progress=Progress())
        assert done.value == incoming.tallies
        return {tally.kind: tally for tally in done.value}

    return brought


def without_owner(document, store):
    """Leave out the person and the device that every journal makes for itself."""
    own = {str(store.person.id), str(store.device.id)}
    return {
        name: [line for line in document[name] if line["record"]["id"] not in own] for name in KINDS
    }


def test_every_record_of_every_kind_is_taken_out_with_its_stamps(full, out, records):
    document = out(full)
    ids = {line["record"]["id"] for name in KINDS for line in document[name]}
    assert ids >= {str(record.id) for record in records}
    stamps = document["brews"][0]["stamps"]
    assert stamps["person_id"] == str(full.person.id)
    assert stamps["device_id"] == str(full.device.id)
    assert stamps["written_at"] == "2026-11-25T08:00:00Z"


def test_no_kind_is_left_out():
    assert set(KINDS.values()) == set(TABLES)


def test_the_document_is_what_its_schema_says(full, out):
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(out(full), schema())


def test_the_schema_in_resources_is_the_one_of_these_records():
    assert json.loads(SCHEMA.read_text("utf-8")) == json.loads(json.dumps(schema()))


def test_out_in_and_out_again_is_the_same(full, other, out, bring, clock):
    clock.advance(60)
    with full.writing(clock()) as w:
        w.bury(Coffee, UUID(int=32, version=4))
    first = out(full)
    bring(other, first)
    again = out(other, "again.json")
    left = without_owner(again, other)
    assert left == {name: first[name] for name in KINDS}


def test_a_document_of_before_the_kit_was_measured_is_read(full, other, out, bring):
    document = out(full)
    for name in ("kettle_readings", "sievings", "concentrates", "forecasts"):
        del document[name]
    for line in document["kettles"]:
        for field in ("body_g", "material", "capacity_g"):
            del line["record"][field]
    assert bring(other, document)["kettles"].new == 2


@pytest.mark.parametrize(
    ("kind", "field", "wanted"),
    [
        ("kettle_readings", "kettle_id", "kettles"),
        ("sievings", "grinder_id", "grinders"),
        ("forecasts", "brew_id", "brews"),
    ],
)
def test_what_was_measured_of_nothing_is_refused(
    full, other, out, bring, words, kind, field, wanted
):
    document = out(full)
    document[kind][0]["record"][field] = str(uuid4())
    assert f"one of the {wanted}" in refused(bring, other, words, document)


def test_twice_is_once(full, other, out, bring):
    document = out(full)
    assert bring(other, document)["brews"].new == 2
    assert all(t.new == t.changed == 0 for t in bring(other, document).values())


def test_into_the_journal_it_came_from_nothing_changes(full, out, bring):
    document = out(full)
    bring(full, document)
    assert without_owner(out(full), full) == without_owner(document, full)


def test_a_record_changed_later_wins_and_one_changed_earlier_does_not(
    full, other, out, bring, clock
):
    coffee_id = UUID(int=32, version=4)
    old = out(full)
    bring(other, old)
    clock.advance(60)
    with full.writing(clock()) as w:
        w.change(Coffee(id=coffee_id, name="newer"))
    assert bring(other, out(full))["coffees"].changed == 1
    bring(other, old)
    with other.reading() as r:
        assert r.get(Coffee, coffee_id).name == "newer"


def test_what_was_deleted_here_does_not_come_back(full, other, out, bring, clock):
    document = out(full)
    bring(other, document)
    clock.advance(60)
    with other.writing(clock()) as w:
        w.bury(Coffee, UUID(int=32, version=4))
    bring(other, document)
    with other.reading() as r:
        assert "x" not in [coffee.name for coffee in r.all(Coffee)]


def test_a_burial_comes_along_and_so_does_a_later_return(full, other, out, bring, clock):
    bring(other, out(full))
    for does, there in (("bury", False), ("unbury", True)):
        clock.advance(60)
        with full.writing(clock()) as w:
            getattr(w, does)(Coffee, UUID(int=32, version=4))
        bring(other, out(full))
        with other.reading() as r:
            assert ("x" in [coffee.name for coffee in r.all(Coffee)]) is there


def test_a_fact_is_never_rewritten(full, other, out, bring):
    document = out(full)
    bring(other, document)
    brew = document["brews"][0]
    brew["record"]["note"] = "not what was written"
    brew["stamps"]["changed_at"] = "2030-01-01T00:00:00Z"
    bring(other, document)
    assert out(other)["brews"][0]["record"]["note"] == "rushed"


def refused(bring, store, words, document) -> str:
    """Bring a bad document in; return the sentence, and see that nothing was written."""
    with store.reading() as r:
        before = [len(r.all(kind)) for kind in KINDS.values()]
    with pytest.raises(BadInput) as caught:
        bring(store, document)
    with store.reading() as r:
        assert [len(r.all(kind)) for kind in KINDS.values()] == before
    return words.sentence(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "not written as JSON"),
        ("not json", "not written as JSON"),
        ('{"format": "halfclick-journal', "ends too early"),
        ('"\\"' * 1000, "not a journal"),
        ("[]", "not a journal"),
        ("{}", "not a journal"),
        ('{"format": 3}', "not a journal"),
        ('{"format": "halfclick-journal", "version": 2}', "newer Halfclick"),
        ('{"format": "halfclick-journal", "version": 1, "coffees": 3}', "lists of records"),
        ("[" * 200_000, "deep"),
        ('{"a":' * 200_000, "deep"),
    ],
)
def test_what_is_no_journal_is_refused_with_a_sentence(other, bring, words, text, said):
    assert said in refused(bring, other, words, text)


# What the library that reads JSON, or Python, says of a value.
LIBRARY = re.compile(r"malformed|invalid|truncat|Expected|got |`|\$|Object|Struct|Pour\(|must be")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"format": "halfclick-journa\tl"}', "byte 28"),
        ('{"a": 01}', "byte 7"),
        ('{"a": 1,,}', "byte 8"),
        ('{"a": 1} x', "byte 10"),
        ('{"a": "\\x"}', "byte 8"),
        ('{"a": [1, 2', "ends too early"),
    ],
)
def test_what_is_no_json_is_told_in_our_own_words(other, bring, words, text, said):
    sentence = refused(bring, other, words, text)
    assert said in sentence
    assert not LIBRARY.search(sentence)


def coffee_line(**changed):
    record = {"id": str(uuid4()), "name": "a coffee", **changed}
    stamps = {
        "person_id": str(uuid4()),
        "device_id": str(uuid4()),
        "written_at": "2026-11-25T08:00:00Z",
    }
    return {"record": record, "stamps": stamps}


def document_of(**kinds):
    return {
        "format": "halfclick-journal",
        "version": 1,
        "exported_at": "2026-11-25T08:00:00Z",
        **kinds,
    }


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"name": " "}, "record 2 cannot be"),
        ({"name": 3}, "record 2 cannot be"),
        ({"id": "x"}, "record 2 cannot be"),
        ({"altitude_m": "high"}, "record 2 cannot be"),
        ({"altitude_m": 9000}, "record 2 cannot be"),
        ({"process": "magic"}, "record 2 cannot be"),
    ],
)
def test_a_record_that_cannot_be_is_named_by_its_place(other, bring, words, changed, said):
    document = document_of(coffees=[coffee_line(), coffee_line(**changed)])
    sentence = refused(bring, other, words, document)
    assert said in sentence
    assert "coffees" in sentence
    assert ".." not in sentence
    assert not LIBRARY.search(sentence)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ({"record": {}}, "stamps"),
        ({"record": {"name": "x"}, "stamps": coffee_line()["stamps"]}, "“id” is missing"),
        ({**coffee_line(), "more": 1}, "lists of records"),
        (coffee_line(altitude_m="high"), "“altitude_m” is not what"),
        ([], "lists of records"),
        (None, "lists of records"),
    ],
)
def test_a_line_of_the_wrong_shape_is_told_in_our_own_words(other, bring, words, line, said):
    sentence = refused(bring, other, words, document_of(coffees=[line]))
    assert said in sentence
    assert not LIBRARY.search(sentence)


def test_a_number_that_no_journal_keeps_is_refused(full, other, out, bring, words):
    document = out(full)
    document["zeros"][0]["record"]["reading"] = 10**30
    assert "zeros" in refused(bring, other, words, document)


def test_a_stamp_without_a_zone_is_refused(other, bring, words):
    line = coffee_line()
    line["stamps"]["written_at"] = "2026-11-25T08:00:00"
    assert "record 1 cannot be" in refused(bring, other, words, document_of(coffees=[line]))


def test_a_time_before_all_times_is_refused(full, other, out, bring, words):
    document = out(full)
    document["brews"][0]["record"]["started_at"] = "0001-01-01T00:00:00+14:00"
    assert "brews" in refused(bring, other, words, document)


def test_an_identity_that_stands_twice_is_refused(other, bring, words):
    line = coffee_line()
    sentence = refused(bring, other, words, document_of(coffees=[line, line]))
    assert "identity that stood there before" in sentence


@pytest.mark.parametrize("missing", ["coffees", "lots", "bags", "grinders", "zeros", "drippers"])
def test_a_record_that_names_what_is_nowhere_is_refused(full, other, out, bring, words, missing):
    document = out(full)
    document[missing] = []
    assert f"one of the {missing}" in refused(bring, other, words, document)


def test_brews_that_come_from_one_another_in_a_ring_are_refused(full, other, out, bring, words):
    document = out(full)
    first, second = document["brews"]
    first["record"]["parent_id"] = second["record"]["id"]
    assert "in a ring" in refused(bring, other, words, document)


def test_brews_in_any_order_are_brought_in(full, other, out, bring):
    document = out(full)
    document["brews"].reverse()
    assert bring(other, document)["brews"].new == 2


def test_a_file_beyond_the_limit_is_refused(other, bring, words, monkeypatch):
    monkeypatch.setattr(journal_json, "MOST_BYTES", 1_000_000)
    assert "larger than 1 MB" in refused(bring, other, words, " " * 1_000_001)


def test_more_things_than_the_limit_are_refused(other, bring, words, monkeypatch):
    monkeypatch.setattr(journal_json, "MOST_THINGS", 10)
    assert "more than 10 things" in refused(bring, other, words, document_of(coffees=[{}] * 20))


def test_a_record_beyond_the_limit_is_refused(other, bring, words, monkeypatch):
    monkeypatch.setattr(journal_json, "MOST_IN_A_RECORD", 1000)
    line = coffee_line(note="x" * 1001)
    assert "larger than 1000 bytes" in refused(bring, other, words, document_of(coffees=[line]))


def test_brackets_and_quotes_in_a_text_are_text(other, bring):
    texts = ["[" * 100, '{"', '"}', "\\", '\\"[', "\\\\]", "]]", '""', "\n[\t{"]
    lines = [coffee_line(note=text * 3, name=f"n{text}") for text in texts]
    assert bring(other, document_of(coffees=lines))["coffees"].new == len(texts)


def test_a_stop_while_it_is_written_keeps_nothing(full, other, out, tmp_path, clock):
    out(full)
    incoming = look_at_journal(other, tmp_path / "out.json", progress=Progress())
    progress = Progress()
    progress.stop()
    with pytest.raises(Stopped):
        bring_in_journal(other, incoming, clock=clock, progress=progress)
    with other.reading() as r:
        assert r.all(Coffee) == []
        assert len(r.all(Person)) == len(r.all(Device)) == 1


def test_a_stop_is_obeyed_while_a_document_is_compared(full, other, out, tmp_path):
    out(full)
    lines = journal_json.read_journal(tmp_path / "out.json", progress=Progress())
    progress = Progress()
    progress.stop()
    with pytest.raises(Stopped), other.reading() as r:
        compared(r.connection, lines, progress=progress)


def test_a_file_that_cannot_be_written_leaves_what_was_there(full, tmp_path, clock):
    path = tmp_path / "there.json"
    path.write_text("before")
    progress = Progress()
    progress.stop()
    with pytest.raises(Stopped):
        export_json(full, path, clock=clock, progress=progress)
    assert path.read_text() == "before"
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []
    with pytest.raises(CoreError):
        export_json(full, tmp_path / "none" / "x.json", clock=clock, progress=Progress())


def look_or_be_refused(store, path, words):
    """Look at a file; whatever is wrong with it is said in a sentence."""
    try:
        look_at_journal(store, path, progress=Progress())
    except CoreError as error:
        words.sentence(error)  # raises where no catalogue has the words


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["record", "stamps", "id", "name", "written_at", "kit", "x"]), inner
        )
    ),
    max_leaves=12,
)


@settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    kinds=st.dictionaries(st.sampled_from(list(KINDS)), JSON, max_size=4),
    data=st.binary(max_size=60),
)
def test_no_content_ends_in_anything_but_a_sentence(store, tmp_path, words, kinds, data):
    path = tmp_path / "any.json"
    for content in (json.dumps(document_of(**kinds)).encode(), data):
        path.write_bytes(content)
        look_or_be_refused(store, path, words)


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(where=st.integers(0, 10**6), what=st.binary(min_size=1, max_size=3))
def test_a_damaged_document_ends_in_a_sentence_or_is_read(
    full, tmp_path, words, clock, where, what
):
    path = tmp_path / "whole.json"
    if not path.exists():
        export_json(full, path, clock=clock, progress=Progress())
    content = bytearray(path.read_bytes())
    at = where % len(content)
    content[at : at + len(what)] = what
    damaged = tmp_path / "damaged.json"
    damaged.write_bytes(content)
    look_or_be_refused(full, damaged, words)


@pytest.mark.parametrize("piece", [1, 2, 3, 7])
@pytest.mark.parametrize(
    "text", ['{"a": "\\\\\\\\\\" [[[ {"}', '["\\\\", "\\"[{", []]', '"\\\\\\\\\\\\']
)
def test_pieces_part_no_escaped_sign(monkeypatch, text, piece):
    monkeypatch.setattr(journal_json, "PIECE", piece)
    data = text.encode()
    pieces = list(journal_json._pieces(data))
    assert b"".join(pieces) == data
    assert b"".join(map(journal_json._marks_in, pieces)) == journal_json._marks_in(data)
