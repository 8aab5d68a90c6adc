"""The journal read ahead of a person: what the kit and a plan ask of it, asked once before."""

from datetime import date
from typing import get_args

from halfclick.model.coffee import Bag
from halfclick.service.grinders import zeros_of
from halfclick.service.kettle_readings import readings_of
from halfclick.service.kitchens import Thing, kit_in_use
from halfclick.service.plan import good_one, next_plan
from halfclick.service.rule_book import rule_book
from halfclick.service.sievings import sievings_of
from halfclick.store.journal import Store


def read_ahead(store: Store, *, today: date) -> None:
    """Ask what pages ask when they are first opened, and let go of the answers.

    The journal words a question when it is first asked, which takes longer than answering it;
    a person who opens the page then waits for the answer alone.
    """
    rule_book(store)
    with store.reading() as r:
        for kind in get_args(Thing):
            r.all(kind)
        bags = r.all(Bag)
    kit = kit_in_use(store)
    if kit is None:
        return
    zeros_of(store, kit.grinder.id)
    sievings_of(store, kit.grinder.id)
    if kit.kettle is not None:
        readings_of(store, kit.kettle.id)
    if bags:
        next_plan(store, bags[-1].id, today=today)
        good_one(store, bags[-1].id)
