"""Were the bands right: what was said before a cup is kept, and held against what was seen."""

from datetime import date

import pytest

from halfclick.model.advice import Answer
from halfclick.model.tasting import Marks
from halfclick.service.advise import answer
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.coverage import Checked, coverage_of, tally
from halfclick.service.next_brew import advise_by_cups
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.service.said_before import expects, said_in

TODAY = date(2026, 11, 27)
BANDS = {
    "liking": (4.0, 6.0, 8.0),
    "time_s": (140.0, 150.0, 160.0),
    "strength_pct": (1.2, 1.3, 1.4),
}
MARKS = dict.fromkeys(("sour", "bitter", "thin", "harsh", "sweet"), (1.0, 2.0, 3.0))
SOUR = Marks(sour=7.0, bitter=1.0, thin=4.0, harsh=1.0, sweet=3.0)


def test_bands_go_with_a_reason_and_are_read_back():
    said = said_in([expects(BANDS, MARKS, timed=True)])
    assert said["liking"] == (4.0, 8.0)
    assert said["time_s"] == (140.0, 160.0)
    assert said["strength"] == pytest.approx((0.012, 0.014))
    assert said["harsh"] == (1.0, 3.0)
    assert "time_s" not in said_in([expects(BANDS, MARKS, timed=False)])


def test_the_tally_counts_marks_together():
    one = Checked(
        number=2,
        said=True,
        bands={"liking": ((4.0, 8.0), 9.0), "sour": ((1.0, 3.0), 2.0), "sweet": ((1.0, 3.0), 5.0)},
    )
    assert tally([one]) == {"liking": (0, 1), "marks": (1, 2)}


def test_what_was_said_before_a_cup_is_kept_and_the_rest_is_told_looking_back(
    store, clock, kit, coffee, cup
):
    bag = coffee("Fell Beck")
    cup(bag, "18")
    first = cup(bag, "18")
    record_tasting(store, first.id, TastingEntry(marks=SOUR, liking=4.0), clock=clock)
    advice = advise_by_cups(store, first.id, today=TODAY).advice
    answer(store, first.id, advice, Answer.ACCEPTED, clock=clock)
    planned = next_plan(store, bag.id, today=TODAY)
    brew = record_brew(store, BrewEntry(planned=planned, drained_s=150.0), kit(), clock=clock).value
    record_tasting(store, brew.id, TastingEntry(marks=SOUR, liking=5.0), clock=clock)
    clock.advance(86_400)
    last = cup(bag, "17")
    record_tasting(store, last.id, TastingEntry(liking=6.0), clock=clock)

    found = coverage_of(store, coffee_of_bag(store, bag.id).id, today=TODAY)
    assert [(one.number, one.said) for one in found.cups] == [(2, False), (3, True), (4, False)]
    said = found.cups[1].bands
    assert said["liking"] == (said_in(advice.expect)["liking"], 5.0)
    assert "believed.held_everywhere" in [one.code for one in found.said]
