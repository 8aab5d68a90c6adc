"""The demo: what it holds, that it looks like life, and that nobody's own journal is touched."""

from datetime import timedelta
from pathlib import Path
from statistics import linear_regression, mode

import pytest

from halfclick.model.advice import Answer, Outcome, Proposal
from halfclick.model.brew import Brew, SlipKind
from halfclick.model.changes import is_one_idea
from halfclick.model.grinder import Zero, ZeroReason
from halfclick.model.tasting import Tasting
from halfclick.service.coffees import shelf
from halfclick.service.compare import compare
from halfclick.service.cups import Status
from halfclick.service.demo import build_demo, demo_journal
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import kit_in_use
from halfclick.service.plan import boiling_c
from halfclick.store.care import check_journal
from halfclick.store.journal import Store
from halfclick.store.opening import open_store


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> Store:
    from datetime import UTC, datetime

    path = tmp_path_factory.mktemp("demo") / "demo.db"
    now = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
    build_demo(path, now=now)
    store = open_store(path, clock=lambda: now)
    yield store
    store.close()


@pytest.fixture
def rows(demo, clock):
    return {row.coffee.name: row for row in shelf(demo, clock().date())}


def every(demo, kind, **kwargs):
    with demo.reading() as r:
        return r.all(kind, **kwargs)


def test_it_holds_three_coffees_forty_brews_and_one_break(demo, rows):
    assert len(rows) == 3
    assert len(every(demo, Brew)) == 40
    breaks = [zero for zero in every(demo, Zero) if zero.reason is not ZeroReason.FIRST]
    assert len(breaks) == 1


def test_the_break_is_seen_in_one_coffee_s_history(demo, rows):
    broken = [
        point.break_before
        for row in rows.values()
        for point in coffee_history(demo, row.coffee.id).points
        if point.break_before is not None
    ]
    assert broken == [ZeroReason.CLEANED]


def test_one_bag_drains_sooner_with_age(demo, rows):
    points = coffee_history(demo, rows["Saltmarsh Gate"].coffee.id).points
    usual = mode(point.steps for point in points)
    same = [point for point in points if point.steps == usual and not point.cup.brew.slips]
    assert len(same) >= 6
    slope, _ = linear_regression(
        [float(point.age_days) for point in same], [point.drained_s for point in same]
    )
    assert slope < -1.0


def test_one_bag_is_nearly_out_and_one_is_frozen(rows):
    assert 0 < rows["Lantern Hollow"].brews_left <= 3
    frozen = rows["Evening Ferry"]
    assert frozen.bag.frozen_on is not None
    assert frozen.bag.thawed_on is None


def test_it_has_slips_corrections_words_and_both_answers(demo):
    brews, tastings = every(demo, Brew), every(demo, Tasting)
    assert len(every(demo, Brew, corrected=True)) == 42
    assert len(every(demo, Tasting, corrected=True)) == 42
    assert sum(bool(brew.slips) for brew in brews) == 4
    assert all(tasting.words for tasting in tastings)
    said = {proposal.answer for proposal in every(demo, Proposal)}
    assert said == {Answer.ACCEPTED, Answer.REFUSED}


def test_the_kit_is_complete(demo):
    kit = kit_in_use(demo)
    assert all((kit.paper, kit.kettle, kit.water, kit.server))
    assert kit.server.capacity_g
    assert kit.dripper.mass_g
    assert kit.grinder.step_um


def test_the_laws_of_advice_hold_in_it(demo):
    kit = kit_in_use(demo)
    for brew in every(demo, Brew):
        assert is_one_idea(brew.changes), brew.changes
        assert brew.plan.temperature_c <= boiling_c(kit)
    for proposal in every(demo, Proposal):
        changed = proposal.outcome in {Outcome.CHANGE, Outcome.IMMERSION}
        assert changed or not proposal.changes
    # A stall is the named exception: its own rule may grind coarser.
    slipped = {
        brew.id
        for brew in every(demo, Brew, corrected=True)
        if any(slip.kind is not SlipKind.STALL for slip in brew.slips)
    }
    after_slip = [one for one in every(demo, Proposal) if one.brew_id in slipped]
    assert all(change.lever != "grind" for one in after_slip for change in one.changes)


def test_every_coffee_comes_to_a_cup_that_is_kept(rows):
    assert all(row.status is Status.REPEATED for row in rows.values())


def test_it_ends_yesterday(demo, clock):
    newest = max(brew.started_at for brew in every(demo, Brew))
    assert clock().date() - newest.date() == timedelta(days=1)


def test_it_is_a_sound_journal(demo):
    assert check_journal(demo.path).records["brew"] == 42


def test_the_same_seed_tells_the_same_story(demo, tmp_path, clock):
    build_demo(tmp_path / "again.db", now=clock())
    again = open_store(tmp_path / "again.db", clock=clock)

    def story(store):
        return [(one.started_at, one.plan.setting.text, one.poured) for one in every(store, Brew)]

    assert story(again) == story(demo)
    again.close()


def test_a_day_s_demo_is_made_once_and_another_day_s_replaces_it(tmp_path: Path, clock):
    first = demo_journal(clock=clock, folder=tmp_path)
    changed = first.stat().st_mtime_ns
    assert demo_journal(clock=clock, folder=tmp_path) == first
    assert first.stat().st_mtime_ns == changed
    clock.advance(86_400)
    second = demo_journal(clock=clock, folder=tmp_path)
    assert second != first
    assert [one.name for one in tmp_path.glob("*.db")] == [second.name]


def test_any_two_cups_of_a_lived_in_journal_can_be_compared_and_differ_from_others(demo, words):
    brews = every(demo, Brew)
    for one, other in zip(brews, brews[1:] + brews[:1], strict=True):
        found = compare(demo, one.id, other.id)
        assert found.lines
        assert words.sentence(found.said)
        told = compare(demo, one.id, one.id)
        assert not any(line.differs for line in told.lines)


@pytest.mark.usefixtures("shelf")
def test_the_command_line_s_demo_leaves_the_person_s_journal_alone(run, journal):
    before = journal.read_bytes()
    assert run("record", "lantern", "--demo", "--journal", journal).code == 0
    assert run("taste", "lantern", "--demo", "--sweet", "7").code == 0
    assert journal.read_bytes() == before
