"""What each command says and keeps: the same as the window's services, for people and scripts."""

from pathlib import Path

import pytest

from halfclick.commands.parser import COMMANDS
from halfclick.model.brew import Brew
from halfclick.model.tasting import Tasting
from halfclick.store.opening import open_store

pytestmark = pytest.mark.usefixtures("shelf")


def test_the_shelf_is_listed_newest_first(run):
    ran = run("coffees")
    assert ran.code == 0
    assert ran.out.splitlines()[0].startswith("Ash Gill")
    assert "Tarn Hollow" in ran.out


def test_a_plan_of_a_new_coffee_says_why_each_number(run):
    ran = run("plan", "ash", "--json")
    assert {one["part"] for one in ran.facts["reasons"]} >= {"dose", "ratio", "grind"}
    assert ran.facts["recipe"]["dose_g"] > 0


def test_a_plan_is_sized_for_a_dose_and_ground_as_asked(run):
    facts = run("plan", "tarn", "--dose-g", "18", "--setting", "16", "--json").facts
    assert facts["recipe"]["dose_g"] == 18
    assert facts["recipe"]["setting"] == "16"
    assert facts["recipe"]["pours"][-1]["until_g"] == facts["recipe"]["water_g"]


def test_planning_writes_nothing(run, journal):
    before = journal.read_bytes()
    run("plan", "tarn", "--setting", "16")
    assert journal.read_bytes() == before


def test_a_brew_is_kept_with_what_departed_from_the_plan(run, opened):
    ran = run(
        "record", "tarn", "--setting", "16", "--dose-g", "15,5", "--drained-s", "2:40", "--slip",
        "late_clock=12", "--why", "too sour", "--note", "radio on",
    )  # fmt: skip
    assert ran.code == 0
    store = opened()
    with store.reading() as r:
        brew = r.all(Brew)[-1]
    store.close()
    assert brew.poured.dose_g.value == 15.5
    assert brew.poured.drained_s.value == 172  # the clock began 12 s late
    assert brew.slips[0].amount == 12
    assert brew.plan.setting.text == "16"
    assert brew.note == "radio on"


def test_a_taste_is_kept_and_a_second_one_corrects_it(run, opened):
    run("record", "tarn")
    first = run("taste", "tarn", "--sour", "6", "--strength-percent", "1,31", "--json").facts
    again = run("taste", "tarn", "--bitter", "6", "--json").facts
    assert first["cup"]["tasting"]["sour_0_to_10"] == 6
    assert first["cup"]["tasting"]["strength_percent"] == 1.31
    assert (first["corrected"], again["corrected"]) == (False, True)
    store = opened()
    with store.reading() as r:
        assert len(r.all(Tasting)) == 2
        assert len(r.all(Tasting, corrected=True)) == 3
    store.close()


def test_an_advice_accepted_is_the_next_plan(run):
    run("record", "tarn", "--setting", "16")
    run("taste", "tarn", "--sour", "7", "--verdict", "change")
    advice = run("advise", "tarn", "--accept", "--json").facts
    plan = run("plan", "tarn", "--json").facts
    assert advice["said"] == "accepted"
    assert plan["recipe"] == advice["recipe"]
    assert plan["changes"] == advice["changes"]


def test_an_advice_refused_leaves_the_plan(run):
    run("record", "tarn", "--setting", "16")
    before = run("plan", "tarn", "--json").facts["recipe"]
    run("taste", "tarn", "--sour", "7", "--verdict", "change")
    run("advise", "tarn", "--refuse", "--reason", "guests")
    assert run("plan", "tarn", "--json").facts["recipe"] == before
    assert run("advise", "tarn", "--json").facts["answered"]


def test_both_voices_speak_where_asked_and_the_one_that_stands_is_accepted(run):
    run("record", "tarn", "--setting", "16", "--drained-s", "2:30")
    run("taste", "tarn", "--sour", "7", "--liking", "4", "--verdict", "change")
    assert run("advise", "tarn", "--json").facts["voices"] is None
    advice = run("advise", "tarn", "--both", "--accept", "--json").facts
    voices = advice["voices"]
    stands = voices[voices["sides_with"]]
    assert (advice["recipe"], advice["changes"]) == (stands["recipe"], stands["changes"])
    assert 0 <= voices["confidence"] <= 1
    low, middle, high = voices["expected"]["liking"]
    assert 1 <= low <= middle <= high <= 9
    assert voices["why"]
    assert run("plan", "tarn", "--json").facts["recipe"] == stands["recipe"]


def test_history_lists_every_cup_with_its_reason(run):
    run("record", "tarn", "--setting", "16")
    run("record", "tarn", "--setting", "14", "--why", "more of it")
    facts = run("history", "tarn", "--json").facts
    assert [cup["number"] for cup in facts["cups"]] == [1, 2, 3]
    assert facts["cups"][2]["changes"][0]["amount"] == -2
    assert facts["cups"][2]["why"] == ["more of it"]


def test_what_was_taken_out_can_be_brought_in_elsewhere_once(run, tmp_path):
    document = tmp_path / "out.json"
    assert run("export", document).code == 0
    other = tmp_path / "other" / "journal.db"
    first = run("import", document, "--journal", other, "--json").facts
    again = run("import", document, "--journal", other, "--json").facts
    assert (first["written"], again["written"]) == (True, False)
    names = [
        [coffee["name"] for coffee in run("coffees", "--json", *where).facts["coffees"]]
        for where in ((), ("--journal", other))
    ]
    assert names[0] == names[1]


def test_tables_are_written_into_a_new_folder(run, tmp_path):
    written = run("export", tmp_path, "--tables", "--json").facts["written"]
    assert (tmp_path / written / "cups.csv").is_file()


def test_a_sound_journal_is_said_to_be_sound(run):
    facts = run("check", "--json").facts
    assert facts["sound"]
    assert facts["records"]["brew"] == 1
    assert facts["records"]["coffee"] == 2


def test_a_copy_put_back_brings_the_day_back_and_keeps_the_later_one(run):
    copy = run("backup", "--json").facts["copy"]
    run("record", "tarn")
    done = run("restore", copy, "--json").facts
    assert len(run("history", "tarn", "--json").facts["cups"]) == 1
    assert len(run("history", "tarn", "--journal", done["kept"], "--json").facts["cups"]) == 2


def test_a_damaged_journal_is_kept_byte_for_byte_when_a_copy_is_put_back(run, journal):
    copy = run("backup", "--json").facts["copy"]
    whole = journal.read_bytes()
    damaged = whole[:4096] + b"\xff" * 8192 + whole[12288:]
    journal.write_bytes(damaged)
    assert run("check").code == 3
    done = run("restore", copy, "--json").facts
    assert run("check").code == 0
    with open(done["kept"], "rb") as kept:
        assert kept.read() == damaged


def test_a_damaged_copy_is_not_put_in_place(run, journal, tmp_path):
    bad = tmp_path / "bad.db"
    whole = journal.read_bytes()
    bad.write_bytes(whole[:4096] + b"\xff" * 8192 + whole[12288:])
    assert run("restore", bad).code == 3
    assert journal.read_bytes() == whole


def test_reading_goes_on_beside_the_window_and_writing_is_refused(run, opened):
    store = opened()
    assert run("coffees").code == 0
    assert run("plan", "tarn").code == 0
    assert run("backup").code == 0
    ran = run("record", "tarn")
    assert ran.code == 3
    assert "already open" in ran.err
    store.close()


def test_the_journal_is_the_option_else_the_variable(run, tmp_path, monkeypatch, journal):
    monkeypatch.setenv("HALFCLICK_JOURNAL", str(tmp_path / "none.db"))
    assert run("coffees").code == 3
    assert run("coffees", "--journal", journal).code == 0


EXAMPLES = {
    "begin": ("--journal", "{folder}/new.db", "--person", "Ida", "--device", "shed"),
    "kit": (),
    "zero": ("--found", "first_rub", "--reason", "cleaned"),
    "add": ("Fell Beck",),
    "settings": (),
    "coffees": (),
    "plan": ("tarn",),
    "record": ("tarn",),
    "taste": ("tarn", "--sour", "3"),
    "advise": ("tarn",),
    "correct": ("tarn", "--water-g", "252"),
    "delete": ("tarn", "--cup", "1"),
    "undelete": (),
    "history": ("tarn",),
    "find": ("tarn",),
    "rules": ("bitter",),
    "trials": (),
    "export": ("{folder}/out.json",),
    "import": ("{folder}/out.json",),
    "check": (),
    "backup": (),
    "restore": ("{folder}/copy.db",),
}


@pytest.mark.parametrize("name", COMMANDS)
def test_each_object_has_the_names_its_help_lists(run, name, words, tmp_path, journal):
    run("export", tmp_path / "out.json")
    if name == "undelete":
        run("delete", "tarn", "--cup", "1")
    (tmp_path / "copy.db").write_bytes(journal.read_bytes())
    argv = [part.format(folder=tmp_path) for part in EXAMPLES[name]]
    facts = run(name, *argv, "--json").facts
    listed = words(f"commands.{name}_json").removeprefix("With --json: ").removesuffix(".")
    assert set(facts) == {"form", "command", *listed.split(", ")}


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_speaks_plainly_too(run, name, tmp_path, journal):
    run("export", tmp_path / "out.json")
    if name == "undelete":
        run("delete", "tarn", "--cup", "1")
    (tmp_path / "copy.db").write_bytes(journal.read_bytes())
    ran = run(name, *(part.format(folder=tmp_path) for part in EXAMPLES[name]))
    assert ran.code == 0
    assert ran.out.strip()
    assert "{" not in ran.out
    assert not ran.err


def test_every_choice_the_command_line_offers_is_the_model_s():
    from halfclick.brewing.logged import LOGGED
    from halfclick.commands import parser_cups as parser
    from halfclick.model.tasting import Bed, Complaint, Mark, StrengthFelt, Verdict

    for offered, kind in (
        (parser.SLIPS, LOGGED),
        (parser.MARKS, Mark),
        (parser.STRENGTHS, StrengthFelt),
        (parser.VERDICTS, Verdict),
        (parser.BEDS, Bed),
        (parser.COMPLAINTS, Complaint),
    ):
        assert offered == tuple(one.value for one in kind)


def test_an_older_journal_is_checked_and_brought_up_to_date_when_read(run, tmp_path, clock):
    old = Path(__file__).parents[2] / "store" / "old_files" / "0001.db"
    copy = tmp_path / "old.db"
    copy.write_bytes(old.read_bytes())
    assert run("check", "--journal", copy, "--json").facts["revision"] == "0001"
    assert run("coffees", "--journal", copy).code == 0
    assert run("check", "--journal", copy, "--json").facts["revision"] != "0001"
    open_store(copy, clock=clock).close()
