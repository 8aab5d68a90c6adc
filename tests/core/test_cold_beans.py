"""Beans from the freezer grind finer: said of a bag that lies there, and of no other."""

from datetime import date

from halfclick.service.cold_beans import cold_beans
from halfclick.wording import open_wording


def test_a_bag_in_the_freezer_is_said_to_grind_finer(store, coffee):
    """Uman et al. 2016: the direction only, so the amount is told with all it may be."""
    bag = coffee("Cold", frozen_on=date(2026, 11, 1))
    said = open_wording().sentence(cold_beans(store, bag.id))
    assert "finer" in said
    assert "guess" in said
    assert "4\N{NO-BREAK SPACE}%" in said or "4 %" in said


def test_a_thawed_bag_and_one_never_frozen_are_not(store, coffee):
    thawed = coffee("Warm", frozen_on=date(2026, 11, 1), thawed_on=date(2026, 11, 9))
    assert cold_beans(store, thawed.id) is None
    assert cold_beans(store, coffee("Fresh").id) is None
