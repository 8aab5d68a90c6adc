"""Both voices on a cup, from the journal; the service asks what the door would be asked."""

from dataclasses import asdict
from datetime import date

import pytest

from halfclick.commands.dial import reply_to
from halfclick.dialling.request import Settings
from halfclick.model.advice import Outcome
from halfclick.model.brew import Mode
from halfclick.model.coffee import Roast
from halfclick.model.grinder import ZeroFound, ZeroReason, read_setting
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.recipe import Recipe, even_pours
from halfclick.model.tasting import Marks, Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.cup_request import asked_of
from halfclick.service.grinders import take_zero
from halfclick.service.kitchens import KitchenEntry, kit_in_use, kit_of, set_up_kitchen
from halfclick.service.next_brew import Side, advise_by_cups
from halfclick.service.plan import Planned
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting

TODAY = date(2026, 11, 25)
SOUR = Marks(sour=7.0, bitter=1.0, thin=4.0, harsh=1.0, sweet=3.0)


class Home:
    """A kitchen with a journal whose cups are brewed a day apart."""

    def __init__(self, store, clock):
        self.store, self.clock = store, clock
        entry = KitchenEntry(numbering=Numbering(scheme=Scheme.CLICKS), step_um=25.0)
        set_up_kitchen(store, entry, clock=clock)
        self.kit = kit_in_use(store)

    def bag(self, name):
        entry = CoffeeEntry(name=name, roast=Roast.LIGHT)
        return add_coffee(self.store, entry, clock=self.clock).value

    def cup(self, bag, text="18", drained_s=150.0, water_g=240.0, **taste):
        self.clock.advance(86_400)
        kit = kit_in_use(self.store)
        recipe = Recipe(
            dose_g=15.0,
            water_g=240.0,
            temperature_c=93.0,
            setting=read_setting(kit.grinder, kit.zero, text),
            pours=even_pours(15.0, 240.0),
        )
        planned = Planned(bag_id=bag.id, recipe=recipe, mode=Mode.EXPERIMENT)
        entry = BrewEntry(planned=planned, water_g=water_g, drained_s=drained_s)
        brew = record_brew(self.store, entry, kit, clock=self.clock).value
        if taste:
            record_tasting(self.store, brew.id, TastingEntry(**taste), clock=self.clock)
        return brew

    def asked(self, brew):
        kit = kit_of(self.store, brew.kit)
        voices = advise_by_cups(self.store, brew.id, today=TODAY)
        with self.store.reading() as r:
            from halfclick.service.cups import cups_of_bag

            tasting = cups_of_bag(r, brew.bag_id)[-1].tasting
        return asked_of(self.store, brew, kit, tasting, today=TODAY), voices


@pytest.fixture
def home(store, clock):
    return Home(store, clock)


def test_the_door_and_the_window_propose_the_same(home, words):
    first = home.bag("Fell Beck")
    home.cup(first, marks=SOUR, liking=4.0)
    home.cup(first, "15", 175.0, marks=Marks(sour=3.0, sweet=6.0), liking=7.0)
    second = home.bag("Tarn Hollow")
    home.cup(second, "16", 140.0, marks=SOUR, liking=4.0)
    last = home.cup(second, "14", 160.0, marks=Marks(sour=5.0, thin=2.0), liking=5.0)
    asked, voices = home.asked(last)
    assert len(asked.request.context.earlier) == 1
    line = msgspec_json(asked.request)
    reply = reply_to(line, words)
    assert reply["next"] == asdict(voices.proposal.settings)
    assert reply["best"] == asdict(voices.proposal.best)
    assert reply["confidence"] == pytest.approx(voices.proposal.confidence, abs=1e-4)
    assert reply["id"] == str(last.id)


def msgspec_json(request) -> bytes:
    import msgspec

    return msgspec.json.encode(request)


def test_a_law_comes_before_whatever_the_cups_say(home):
    bag = home.bag("Fell Beck")
    brew = home.cup(bag, water_g=290.0, marks=SOUR, liking=4.0)  # not what was planned
    voices = advise_by_cups(home.store, brew.id, today=TODAY)
    assert voices.side is Side.RULES
    assert voices.is_bound
    assert voices.advice.outcome is Outcome.REPEAT


def test_a_cup_that_is_kept_is_not_changed(home):
    brew = home.cup(home.bag("Fell Beck"), marks=Marks(sour=1.0), liking=8.0, verdict=Verdict.KEEP)
    voices = advise_by_cups(home.store, brew.id, today=TODAY)
    assert voices.advice.outcome is Outcome.CONFIRM


def test_both_voices_say_why_one_has_it(home):
    bag = home.bag("Fell Beck")
    home.cup(bag, marks=SOUR, liking=4.0)
    brew = home.cup(bag, "17", 155.0, marks=SOUR, liking=4.0)
    voices = advise_by_cups(home.store, brew.id, today=TODAY)
    assert voices.cups is not None
    assert voices.why
    chances = voices.why[0].values
    assert 0.0 <= chances["cups_share"] <= 1.0
    assert voices.advice.why[-1] == voices.why[0]


def test_an_untasted_cup_has_no_voice(home):
    assert advise_by_cups(home.store, home.cup(home.bag("Fell Beck")).id, today=TODAY) is None


def test_cups_of_older_burrs_do_not_speak(home):
    bag = home.bag("Fell Beck")
    home.cup(bag, marks=SOUR, liking=4.0)
    home.clock.advance(86_400)
    take_zero(
        home.store,
        home.kit.grinder.id,
        reading_text="",
        found=ZeroFound.BURRS_LOCK,
        reason=ZeroReason.NEW_BURRS,
        clock=home.clock,
    )
    brew = home.cup(bag, "17", 150.0, marks=SOUR, liking=4.0)
    asked, _ = home.asked(brew)
    assert [one.id for one in asked.brews] == [brew.id]


def test_settings_are_steps_from_the_zero_in_force(home):
    brew = home.cup(home.bag("Fell Beck"), marks=SOUR)
    asked, _ = home.asked(brew)
    cup = asked.request.history[0]
    assert cup.settings == Settings(
        setting=18.0, ratio=16.0, water_c=93.0, pour_g_s=5.0, bloom_x=3.0, bloom_s=45.0, swirl=0.0
    )
    assert cup.seen.time_s == 150.0
    assert asked.request.context.dial.finer == "lower"
