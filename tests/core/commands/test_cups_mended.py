"""Cups corrected, deleted, brought back and found, the kit changed and rules kept, by command."""

import pytest

OWN = """
[[rule]]
id = "mine_thin"
marks = ["thin"]
moves = [{ lever = "ratio", way = "less" }]
causes = ["own_experience"]
evidence = "measured_here"
sources = ["My own cups"]
"""


@pytest.fixture(autouse=True)
def _journal(shelf):
    """Lay the journal with one tasted cup of Tarn Hollow in its place."""


@pytest.fixture
def rule(tmp_path):
    path = tmp_path / "rule.toml"
    path.write_text(OWN, encoding="utf-8")
    return path


def cup(run):
    return run("history", "tarn", "--json").facts["cups"][-1]


def test_a_correction_is_a_new_version_and_keeps_the_rest(run):
    before = cup(run)
    done = run("correct", "tarn", "--water-g", "252", "--drained-s", "2:51", "--json")
    assert done.code == 0
    assert done.facts["corrects_brew_id"] == before["brew_id"]
    now = cup(run)
    assert (now["water_g"], now["drained_s"]) == (252.0, 171.0)
    assert (now["dose_g"], now["tasting"]) == (before["dose_g"], before["tasting"])
    assert run("find", "--corrected", "--json").facts["total"] == 1
    again = run("correct", "tarn", "--water-g", "252", "--json").facts
    assert (again["changed"], again["corrects_brew_id"]) == (False, None)


def test_what_was_not_measured_can_be_said_and_slips_be_set_and_cleared(run):
    run("correct", "tarn", "--drained-s", "unknown", "--slip", "bypass=20")
    assert cup(run)["drained_s"] is None
    assert [one["kind"] for one in cup(run)["slips"]] == ["bypass"]
    assert cup(run)["counts_for"] < 0.8
    run("correct", "tarn", "--no-slip")
    assert cup(run)["slips"] == []


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        ((), "Nothing was said to correct"),
        (("--water-g", "1e9"), "1e9"),
        (("--water-g", "900000"), "cannot be"),
        (("--water-g", "-5"), "cannot be"),
        (("--slip", "stall", "--no-slip"), "say one of them"),
        (("--slip", "hiccup"), "hiccup"),
        (("--cup", "9", "--water-g", "250"), "9"),
    ],
)
def test_a_correction_that_cannot_be_says_why_and_changes_nothing(run, argv, said):
    before = cup(run)
    refused = run("correct", "tarn", *argv)
    assert (refused.code, said in refused.err) == (1, True), refused.err
    assert cup(run) == before


def test_a_deleted_cup_comes_back_whole(run):
    before = cup(run)
    told = run("delete", "tarn", "--cup", "1", "--json").facts
    assert (told["brew_id"], told["records"]) == (before["brew_id"], 2)
    assert run("history", "tarn", "--json").facts["cups"] == []
    assert run("undelete", told["brew_id"]).code == 0
    assert cup(run) == before


def test_without_a_name_the_cup_deleted_last_comes_back(run):
    run("correct", "tarn", "--water-g", "252")
    run("record", "ash")
    for coffee in ("tarn", "ash"):
        run("delete", coffee, "--cup", "1")
    assert run("undelete", "--json").facts["coffee"]["name"] == "Ash Gill"
    whole = run("undelete", "--json").facts
    assert (whole["coffee"]["name"], whole["records"]) == ("Tarn Hollow", 3)
    assert cup(run)["water_g"] == 252.0


def test_what_was_never_deleted_cannot_come_back(run):
    for argv in ((), (cup(run)["brew_id"],)):
        refused = run("undelete", *argv)
        assert refused.code in {1, 3}
        assert "deleted" in refused.err
    refused = run("undelete", "rubbish")
    assert (refused.code, "brew_id" in refused.err) == (1, True)


def test_a_deletion_is_never_guessed(run):
    assert run("delete", "tarn").code == 2
    assert len(run("history", "tarn", "--json").facts["cups"]) == 1


@pytest.mark.parametrize(
    ("argv", "total"),
    [
        ((), 1),
        (("TARN",), 1),
        (("nowhere",), 0),
        (("--mark", "sour", "--verdict", "change"), 1),
        (("--verdict", "keep"), 0),
        (("--since", "2026-11-25", "--until", "2026-11-25"), 1),
        (("--until", "2026-11-20"), 0),
        (("--slipped",), 0),
        (("--dripper", "my DRIPPER"), 1),
        (("--first", "9"), 1),
    ],
)
def test_brews_are_found_by_words_and_filters(run, argv, total):
    found = run("find", *argv, "--json").facts
    assert found["total"] == total
    assert len(found["brews"]) == (0 if "--first" in argv else total)


@pytest.mark.parametrize(
    "argv",
    [
        ("--since", "2026-11-26", "--until", "2026-11-25"),
        ("--since", "yesterday"),
        ("--liking-from", "40"),
        ("--dripper", "bucket"),
        ("--first", "-3"),
        ("--first", "0"),
        ("a",) * 40,
    ],
)
def test_a_search_that_cannot_be_says_why(run, argv):
    refused = run("find", *argv)
    assert refused.code == 1
    assert refused.err.strip()
    assert "Traceback" not in refused.err


def test_what_is_in_use_is_changed_and_the_rest_stays(run):
    before = run("kit", "--json").facts
    after = run("kit", "--change", "--grinder", "Blue mill", "--altitude-m", "300", "--json").facts
    assert (after["grinder"], after["altitude_m"]) == ("Blue mill", 300.0)
    assert (after["changed"], after["made"]) == (True, False)
    changed = {"grinder", "altitude_m", "changed"}
    assert {k: v for k, v in after.items() if k not in changed} == {
        k: v for k, v in before.items() if k not in changed
    }
    assert run("kit", "--change", "--altitude-m", "300", "--json").facts["changed"] is False


def test_a_change_that_cannot_be_changes_nothing_at_all(run):
    before = run("kit", "--json").facts
    assert run("kit", "--change", "--grinder", "Blue", "--altitude-m", "99999").code == 1
    assert run("kit", "--change").code == 1
    assert run("kit", "--grinder", "Blue").code == 1
    assert run("kit", "--json").facts == before


def test_a_rule_is_switched_off_and_on(run):
    name = run("rules", "bitter", "--json").facts["rules"][0]["name"]
    off = run("rules", "--off", name, "--json").facts
    assert (off["did"], off["rules"][0]["is_on"]) == ("off", False)
    assert run("rules", "--on", name, "--json").facts["rules"][0]["is_on"] is True
    assert run("rules", "--off", "no_such_rule").code == 1


def test_an_own_rule_is_added_changed_and_removed(run, rule):
    added = run("rules", "--add", rule, "--json").facts
    assert (added["rule"], added["rules"][0]["is_own"]) == ("mine_thin", True)
    assert added["rules"][0]["text"] == OWN
    assert run("rules", "--add", rule).code == 1  # its name is taken
    rule.write_text(OWN.replace('"thin"', '"sour"'), encoding="utf-8")
    assert "sour" in run("rules", "--change", rule, "--json").facts["rules"][0]["title"]
    assert run("rules", "--remove", "mine_thin").code == 0
    assert run("rules", "mine_thin", "--json").facts["rules"] == []
    assert run("rules", "--remove", "mine_thin").code == 1


@pytest.mark.parametrize(
    "text", [b"", b"rubbish [", b"\xff\xfe", OWN.encode() * 2, b"[[rule]]\n", b" " * 200_000]
)
def test_a_rule_that_cannot_be_read_is_refused(run, rule, text):
    rule.write_bytes(text)
    for what in ("--add", "--change"):
        refused = run("rules", what, rule)
        assert refused.code == 1, refused.err
        assert "Traceback" not in refused.err
    assert run("rules", "--add", rule.parent).code == 1
    assert not [one for one in run("rules", "--json").facts["rules"] if one["is_own"]]


def test_water_added_as_planned_is_kept_with_the_brew(run, opened):
    assert run("record", "ash", "--bypass-g", "60").code == 0
    store = opened()
    with store.reading() as r:
        from halfclick.model.brew import Brew

        assert r.all(Brew)[-1].poured.bypass_g.value == 60.0
    store.close()
