"""Blind trials through the real window, by keys: from the start to the verdict, numbers and all."""

import itertools
import json
from math import comb

import pytest
from PySide6.QtCore import Qt
from test_stories import Person
from walk import unnamed, unreached

from halfclick.model.trial_kinds import Finding, TrialKind
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.service.trial_keys import key_file
from halfclick.service.trial_seal import brews_in
from halfclick.service.trial_views import all_trials
from halfclick.store.opening import open_store


class Kitchen(Person):
    """A person at the program who is helper and taster in turn."""

    def open_start(self) -> None:
        self.window.rail.button("trials").click()
        self.type("n")
        assert self.page() == "trial_start"
        self.wait_proposed()

    def wait_proposed(self) -> None:
        page = self.window.page("trial_start")
        self.qtbot.waitUntil(lambda: page.proposed() is not None, timeout=20_000)

    def choose(self, name: str, value: object, *, proposes: bool = True) -> None:
        """Choose in a field as its keys do, and wait for the proposal that follows, if one can."""
        field = getattr(self.window.page("trial_start"), f"_{name}")
        field.combo.setCurrentIndex(field._values.index(value))
        if proposes:
            self.wait_proposed()

    def type_into(self, name: str, text: str) -> None:
        field = getattr(self.window.page("trial_start"), f"_{name}")
        field.setFocus()
        field.line.selectAll()
        self.type(text)

    def begin(self) -> None:
        self.wait_proposed()
        self.window.page("trial_start")._begin.setFocus()
        self.press(Qt.Key.Key_Return)
        assert self.page() == "trial"

    def view(self):
        return all_trials(self.store)[0]

    def key(self) -> str:
        return key_file(self.store, self.view().trial.id).read_text("utf-8").strip()

    def hand_over(self) -> tuple[int, ...]:
        """Prepare the next round as the helper does; return which brew is in which cup."""
        view = self.view()
        brews = brews_in(view.trial, self.key(), view.next.round)
        self.press(Qt.Key.Key_Return)
        covered = self.sees()
        assert not any(f"1: {name}" in covered for name in view.trial.names)
        self.type("s")
        helper = self.sees()
        for place, brew in enumerate(brews, start=1):
            assert f"{place}: {view.trial.names[brew]}" in helper
        self.press(Qt.Key.Key_Return)
        taster = self.sees()
        assert not any(f": {name}" in taster for name in view.trial.names)
        return brews

    def answer(self, keys: str) -> None:
        """Answer by a key each, say that nothing else told, and lock."""
        self.clock.advance(60)
        self.type(f"{keys}n")
        self.press(Qt.Key.Key_Return)

    def pair(self, sureness: str, *, right: bool = True) -> None:
        brews = self.hand_over()
        self.answer(f"{brews.index(0 if right else 1) + 1}{sureness}")

    def verdict(self):
        """Ask for the verdict, file it, and return it."""
        self.type("f")
        assert self.page() == "trial_result"
        return self.filed()

    def filed(self):
        page = self.window.page("trial_result")
        self.qtbot.waitUntil(lambda: page.result() is not None, timeout=20_000)
        told = page.result().told
        if page.result().view.finding is None:
            self.press(Qt.Key.Key_Return)
            self.qtbot.waitUntil(lambda: page.result().view.finding is not None, timeout=20_000)
        return told


@pytest.fixture
def kitchen(qtbot, start, journal, clock):
    """Open the program on a kitchen with a coffee that is six days off its roast."""
    store = open_store(journal, clock=clock, person_name="Ada", device_name="laptop")
    set_up_kitchen(store, KitchenEntry(water_name="filtered"), clock=clock)
    label = CoffeeEntry(
        name="Tarn Hollow",
        lot_code="0417",
        batch_code="B9",
        roasted_on=clock().date().replace(day=19),
    )
    add_coffee(store, label, clock=clock)
    store.close()
    return Kitchen(qtbot, start(), clock)


def test_a_lone_taster_and_a_helper_find_a_swirl_in_twelve_named_pairs(kitchen):
    ada = kitchen
    ada.open_start()
    seen = ada.sees()
    assert "Named pairs: which cup had it, and how sure" in seen
    assert "24 cups to taste" in seen
    assert "24 brews of 15 g: 360 g of coffee" in seen
    assert "About 6 days" in seen
    # 15 g: 128 to 200 mg a brew (1.0 to 1.4 % of it, 85 to 95 % extracted); a third of four.
    assert "170 to 270 mg" in seen
    assert "does not stop who opens the helper's page" in seen
    ada.begin()
    assert "taste one or two pairs with their names on" in ada.sees()
    answers = [("s", True), ("l", True), ("s", True), ("g", False), *[("l", True)] * 4]
    answers += [("s", True)] * 4
    for sureness, right in answers:
        ada.pair(sureness, right=right)
    assert "12 of 12" in ada.sees()
    assert "All planned answers are given." in ada.sees()
    told = ada.verdict()
    # By hand: a sure hit 1.8, a leaning one 1.5, a guess missed 0.9; counts 1.7 and 0.3.
    evidence = (1.8**6 * 1.5**5 * 0.9 + 1.7**11 * 0.3) / 2
    assert told.main.evidence == pytest.approx(evidence, rel=1e-9)
    assert told.main.finding is Finding.SHOWN
    assert told.main.right == 11
    assert told.main.about_habit
    seen = ada.sees()
    assert "Filed with the habit" in seen
    assert "this is a lever known to matter on this dripper" in seen
    assert "day 6 off roast" in seen
    assert "water: filtered" in seen
    assert not key_file(ada.store, ada.view().trial.id).exists()


def test_the_running_page_tells_the_evidence_pair_by_pair_against_its_bar(kitchen):
    ada = kitchen
    ada.open_start()
    ada.begin()
    ada.pair("s")
    ada.pair("g", right=False)
    assert "Wrong:" in ada.sees()
    picture = ada.window.page("trial")._overview._picture
    ada.qtbot.waitUntil(lambda: len(picture._paths.evidence) == 2, timeout=20_000)
    # (1.8 + 1.7) / 2 after a sure hit; (1.8 x 0.9 + 1.7 x 0.3) / 2 after a guess missed.
    assert picture._paths.evidence == pytest.approx((1.75, 1.065))
    assert picture._paths.bar == 20
    assert "After 2 pairs: evidence 1.06" in picture.told().replace("1.07", "1.06")
    picture.setFocus()
    ada.press(Qt.Key.Key_Left)
    assert "After one pair: evidence 1.75" in picture.told()
    assert "of the 20 that are called shown" in ada.sees()


def test_a_sealed_graded_trial_shows_nothing_before_its_last_pair(kitchen):
    ada = kitchen
    ada.open_start()
    ada.choose("waits", True)
    assert "Graded pairs, sealed to the end" in ada.sees()
    ada.begin()
    scores = [3, 2, 2, 1, -1, 3, 2, 2, 3, 1, 2, -2]
    for number, score in enumerate(scores, start=1):
        brews = ada.hand_over()
        grade = score if brews[1] == 0 else -score
        ada.answer(str(grade + 4))
        seen = ada.sees()
        assert "Evidence" not in seen
        assert "Right" not in seen
        if number < len(scores):
            assert all(one.opening is None for one in ada.view().rounds)
            assert "Nothing is shown until the last planned round" in seen
    told = ada.verdict()
    # The exact sign-flip law, counted here: as large a sum or larger by chance.
    sizes = [abs(score) for score in scores]
    flips = itertools.product((1, -1), repeat=len(sizes))
    sums = [sum(f * s for f, s in zip(flip, sizes, strict=True)) for flip in flips]
    p = sum(one >= sum(scores) for one in sums) / len(sums)
    assert told.main.p == pytest.approx(p, rel=1e-9)
    assert told.main.finding is Finding.SHOWN
    assert [one.answer.grade is not None for one in ada.view().opened] == [True] * 12


def test_a_panel_of_four_groups_two_and_two(kitchen):
    ada = kitchen
    ada.open_start()
    ada.type_into("tasters", "Ada, Bo, Cy, Di")
    ada.wait_proposed()
    assert "Four cups into two groups of two" in ada.sees()
    assert "It will tell whether these brews differ." in ada.sees()
    ada.begin()
    pairs = [(0, 1), (0, 2), (0, 3)]
    rights = [True, True, False, True] * 2 + [True, False, True, True] * 2
    for number, right in enumerate(rights):
        name = ("Ada", "Bo", "Cy", "Di")[number % 4]
        assert f"{name} tastes" in ada.sees() or f"{name} goes out" in ada.sees()
        brews = ada.hand_over()
        assert "make two groups of two" in ada.sees()
        way = next(at for at, (a, b) in enumerate(pairs) if (brews[a] == brews[b]) is right)
        ada.answer(str(way + 1))
    told = ada.verdict()
    # 12 of 16 right where a third is right by chance: the exact binomial tail.
    p = sum(comb(16, k) * 2 ** (16 - k) for k in range(12, 17)) / 3**16
    assert told.main.right == 12
    assert told.main.p == pytest.approx(p, rel=1e-9)
    assert told.main.finding is Finding.SHOWN
    # Two cups of a round hold one brew, which is told from any other brew, habit or none.
    assert not told.main.about_habit
    seen = ada.sees()
    assert "Shown: these two brews differ in taste." in seen
    assert "It takes 6 tasters with 4 answers each" in seen


def triangles(person, rights: int) -> None:
    """Serve ten triangles to three people, so many named rightly; A is liked six times of ten."""
    person.open_start()
    person.choose("what", "names", proposes=False)  # nothing is named yet
    person.type_into("names", "profile A, profile B")
    person.type_into("tasters", "Una, Vic, Wyn")
    person.wait_proposed()
    person.choose("other_kind", TrialKind.TRIANGLE)
    person.type_into("rounds", "10")
    person.wait_proposed()
    person.window.page("trial_start")._liking.box.click()
    person.begin()
    for number in range(10):
        brews = person.hand_over()
        odd = next(at for at, brew in enumerate(brews) if brews.count(brew) == 1)
        named = odd if number < rights else (odd + 1) % 3
        liked = brews.index(0 if number < 6 else 1)
        person.answer(f"{named + 1}{liked + 1}")


def test_two_roast_profiles_are_told_apart_and_none_is_preferred(kitchen):
    # The counts are those of an invented roastery; p by the exact binomial, computed by hand.
    triangles(kitchen, 7)
    told = kitchen.verdict()
    assert told.main.right == 7
    # 1/3 by chance: P(X >= 7 of 10) = 1161 / 59049 = 0.0197.
    assert told.main.p == pytest.approx(1161 / 59049, rel=1e-9)
    assert told.main.finding is Finding.SHOWN
    # Six and four, two-sided: 2 P(X >= 6 of 10) = 772 / 1024 = 0.754.
    assert told.liking.p == pytest.approx(772 / 1024, rel=1e-9)
    assert told.liking.finding is Finding.NOT_SETTLED
    seen = kitchen.sees()
    for fact in ("lot 0417", "batch B9", "day 6 off roast", "water: filtered"):
        assert fact in seen
    assert "0.02" in seen
    assert "0.75" in seen
    assert "no preference is shown" in seen


def test_five_of_ten_triangles_settle_nothing_and_are_never_called_the_same(kitchen):
    triangles(kitchen, 5)
    told = kitchen.verdict()
    # P(X >= 5 of 10) = 12585 / 59049 = 0.2131.
    assert told.main.p == pytest.approx(12585 / 59049, rel=1e-9)
    assert told.main.finding is not Finding.SHOWN
    seen = kitchen.sees().casefold()
    assert "a difference is not shown" in seen
    for claim in ("no difference", "the same brew", "are the same", "identical"):
        assert claim not in seen


def test_a_pair_that_something_else_gave_away_is_set_aside_before_it_opens(kitchen):
    ada = kitchen
    ada.open_start()
    ada.begin()
    ada.hand_over()
    ada.type("1sy")
    ada.press(Qt.Key.Key_Return)
    view = ada.view()
    assert view.voided == 1
    assert view.answered == 0
    assert view.rounds[0].opening is None
    assert "Round 1 was set aside" in ada.sees()
    assert len(view.rounds) == 13


def test_two_tasters_see_nothing_of_each_other_until_both_have_answered(kitchen):
    ada = kitchen
    ada.open_start()
    ada.type_into("tasters", "Ada, Bo")
    ada.wait_proposed()
    ada.begin()
    ada.pair("s")
    seen = ada.sees()
    assert "It is opened when every taster of this sitting has answered." in seen
    assert "Right" not in seen
    assert "Wrong" not in seen
    assert "Bo tastes" in seen
    ada.pair("l", right=False)
    assert len(ada.view().opened) == 2
    assert "Wrong:" in ada.sees()


def test_an_interrupted_trial_is_taken_up_where_it_was_left(kitchen):
    ada = kitchen
    ada.open_start()
    ada.begin()
    ada.pair("s")
    key = ada.key()
    key_file(ada.store, ada.view().trial.id).unlink()
    ada.window.rail.button("coffees").click()
    ada.window.rail.button("trials").click()
    assert "1 of 12" in ada.window.page("trials")._table.text(0, 3)
    ada.press(Qt.Key.Key_Return)
    assert ada.page() == "trial"
    page = ada.window.page("trial")
    assert "Type the key from the helper's sheet" in ada.sees()
    page._overview._key.setFocus()
    ada.type("ABCD")
    ada.press(Qt.Key.Key_Return)
    assert "That is not the key of this trial" in ada.sees()
    page._overview._key.line.selectAll()
    ada.type(key.lower())
    ada.press(Qt.Key.Key_Return)
    page._overview._buttons["prepare"].setFocus()
    ada.press(Qt.Key.Key_Return)
    ada.type("s")
    ada.press(Qt.Key.Key_Return)
    ada.answer("1g")
    assert len(ada.view().opened) == 2


def test_a_result_is_saved_as_json_and_printed_and_asked_again_at_equal_strength(kitchen, tmp_path):
    ada = kitchen
    ada.open_start()
    ada.begin()
    brews = brews_in(ada.view().trial, ada.key(), ada.view().next.round)
    ada.press(Qt.Key.Key_Return)
    ada.type("s")
    for brew, field in zip(brews, ada.window.page("trial")._helper._weights, strict=False):
        field.show_value((200.0, 250.0)[brew])
    ada.press(Qt.Key.Key_Return)
    ada.answer(f"{brews.index(0) + 1}s")
    ada.verdict()
    # 15 g at 20 % into 200 g and 250 g: 1.5 and 1.2 %.
    assert "By their weights, the two sides lie 0.3 % apart in strength" in ada.sees()
    page = ada.window.page("trial_result")
    page.write_json(tmp_path / "trial.json")
    told = json.loads((tmp_path / "trial.json").read_text("utf-8"))
    assert told["format"] == "halfclick-trial"
    assert told["verdict"]["asked"] == 1
    assert told["verdict"]["dprime_within"]["high"] is None
    assert [bool(one["opening"]) for one in told["rounds"]] == [True] + [False] * 11
    assert "Written to" in ada.sees()

    from halfclick_desktop.print_dialog import result_sheet
    from halfclick_desktop.printing import write_pdf

    sheet = result_sheet(ada.window.page("trial")._desk, page.result())
    write_pdf(sheet, tmp_path / "trial.pdf", "a4", ada.window._words)
    assert (tmp_path / "trial.pdf").read_bytes().startswith(b"%PDF")
    assert "with the swirl" in sheet.html
    assert list(sheet.pictures) == ["interval", "evidence"]
    assert all(f'<img src="{name}"' in sheet.html for name in sheet.pictures)
    ada.type("q")
    ada.wait_proposed()
    assert "At equal strength: water the stronger brew down" in ada.sees()


def test_the_helpers_sheet_and_the_tasters_page_never_show_the_same(kitchen, words, clock):
    from halfclick_desktop.trial_sheets import helper_on_paper, taster_on_paper

    ada = kitchen
    ada.open_start()
    ada.begin()
    view = ada.view()
    sheet = helper_on_paper(view, ada.key(), words, clock().date())
    for one in view.rounds:
        for code, brew in zip(
            one.round.codes, brews_in(view.trial, ada.key(), one.round), strict=True
        ):
            assert f"{code}  {view.trial.names[brew]}" in sheet.html
    assert ada.key() in sheet.html
    tasters = taster_on_paper(view, words, clock().date())
    assert ada.key() not in tasters.html
    assert "without the swirl" not in tasters.html.partition("<table")[2]
    for one in view.rounds:
        assert all(code in tasters.html for code in one.round.codes)
    ada.hand_over()
    assert ada.key() not in ada.sees()


def test_a_result_from_paper_is_entered_and_judged(kitchen):
    ada = kitchen
    ada.window.rail.button("trials").click()
    ada.type("p")
    page = ada.window.page("trial_paper")
    page._kind.combo.setCurrentIndex(page._kind._values.index(TrialKind.DUO_TRIO))
    for field, text in (
        (page._first, "A"),
        (page._second, "B"),
        (page._asked, "20"),
        (page._right, "15"),
    ):
        field.setFocus()
        ada.type(text)
    ada.press(Qt.Key.Key_Return)
    assert ada.page() == "trial_result"
    told = ada.filed()
    # Fifteen of twenty at one half: 21700 / 2^20 = 0.0207.
    assert told.main.p == pytest.approx(21700 / 2**20, rel=1e-9)
    # The worked example of the manual of sensR 1.5-3: d' 2.02003919 (30 digits, computed).
    assert told.main.dprime == pytest.approx(2.02003919, abs=1e-7)
    assert "The counts were taken from paper." in ada.sees()


def test_what_cannot_be_counted_is_refused_with_a_sentence(kitchen):
    ada = kitchen
    ada.window.rail.button("trials").click()
    ada.type("p")
    page = ada.window.page("trial_paper")
    ada.press(Qt.Key.Key_Return)
    assert "Name two brews" in ada.sees()
    page._first.show_text("A")
    page._second.show_text("B")
    page._asked.show_value(10.0)
    page._right.show_value(12.0)
    ada.press(Qt.Key.Key_Return)
    assert "Say how many of the 10 answers were right" in ada.sees()


def test_everything_of_a_trial_has_a_name_and_is_reached_by_tab(kitchen):
    ada = kitchen
    ada.window.activateWindow()
    ada.open_start()
    found = []
    for name in ("trial_start", "trial_paper", "trials"):
        ada.window.open_page(name)
        page = ada.window.page(name)
        found += [f"{name} {one}" for one in (*unnamed(page), *unreached(page))]
    ada.open_start()
    ada.begin()
    page = ada.window.page("trial")
    for part in ("overview", "helper", "taster"):
        if part == "helper":
            ada.press(Qt.Key.Key_Return)
            ada.type("s")
        elif part == "taster":
            ada.press(Qt.Key.Key_Return)
        found += [f"{part} {one}" for one in (*unnamed(page), *unreached(page))]
        if part == "overview":
            page._overview._buttons["prepare"].setFocus()
        elif part == "helper":
            page._helper._hand_over.setFocus()
    assert found == []
