"""A few records of every kind, with fixed identities, that name one another."""

from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

import pytest

from halfclick.model.advice import Answer, Evidence, Outcome, Proposal
from halfclick.model.brew import Brew, How, KitUsed, Mode, Poured, Reading, Slip, SlipKind
from halfclick.model.coffee import Bag, Coffee, Lot, PrintedRecipe, Process, Roast
from halfclick.model.concentrate import Concentrate, Salt
from halfclick.model.forecast import Forecast
from halfclick.model.grinder import Finer, Grinder, Setting, Zero, ZeroFound, ZeroReason
from halfclick.model.kettle_reading import KettleReading
from halfclick.model.kit import (
    DrainedRule,
    Dripper,
    DripperMaterial,
    DripperShape,
    Kettle,
    Kitchen,
    Paper,
    PaperKind,
    ScaleCarries,
    Server,
    Water,
)
from halfclick.model.minerals import Minerals
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.own_rule import OwnRule
from halfclick.model.person import Device, Person
from halfclick.model.photo import Photo, PhotoOf
from halfclick.model.preference import Preference
from halfclick.model.recipe import Change, Lever, Recipe, even_pours
from halfclick.model.sieving import Sieving
from halfclick.model.tasting import Bed, Complaint, Marks, StrengthFelt, Tasting, Verdict
from halfclick.model.trial import Habit, Seal, Trial
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_kinds import Blinding, Finding, Question, Sureness, TrialKind
from halfclick.model.trial_round import (
    TrialAnswer,
    TrialOpening,
    TrialRound,
    TrialServing,
    TrialVoid,
    VoidReason,
)
from halfclick.model.under_way import GuideEvent, GuideEventKind, UnderWay
from halfclick.wording import Message, own_words


def named(number: int) -> UUID:
    """Return an identity that is the same in every run."""
    return UUID(int=number, version=4)


def at(hour: int, minute: int = 0) -> datetime:
    """Return a time on the samples' day."""
    return datetime(2026, 11, 25, hour, minute, tzinfo=UTC)


KIT = KitUsed(
    grinder_id=named(1),
    zero_id=named(2),
    dripper_id=named(3),
    paper_id=named(4),
    kettle_id=named(5),
    water_id=named(6),
    server_id=named(7),
    altitude_m=240.0,
    scale_carries=ScaleCarries.SERVER_ALONE,
)
RECIPE = Recipe(
    dose_g=15.0,
    water_g=250.0,
    pours=even_pours(15.0, 250.0),
    temperature_c=94.0,
    setting=Setting(text="2.0", steps=20, zero_id=named(2)),
    stir_bloom=True,
)
FINER = Change(lever=Lever.GRIND, amount=-2.0)


def kit_records() -> tuple[Any, ...]:
    """Return a kitchen and what stands in it, what is named before what names it."""
    numbering = Numbering(scheme=Scheme.ROTATIONS, bases=(10,), highest="4.0")
    return (
        Person(id=named(21), name="Ada"),
        Device(id=named(22), name="old laptop"),
        Preference(id=named(23), key="theme", value="dark"),
        Grinder(
            id=named(1),
            name="hand grinder",
            numbering=numbering,
            finer=Finer.LOWER,
            step_um=22.5,
            purge_g=1.0,
        ),
        Zero(
            id=named(2),
            grinder_id=named(1),
            found_on=date(2026, 11, 1),
            reading=0,
            found=ZeroFound.FIRST_RUB,
            reason=ZeroReason.CLEANED,
            note="after the brush",
        ),
        Dripper(id=named(3), name="cone", shape=DripperShape.STEEP_CONE, top_m=0.11),
        Dripper(
            id=named(66),
            name="heavy cone",
            shape=DripperShape.STEEP_CONE,
            material=DripperMaterial.CERAMIC,
            mass_g=400.0,
        ),
        Paper(id=named(4), name="white cone", kind=PaperKind.WHITE),
        Kettle(id=named(5), name="gooseneck", has_thermometer=True),
        Water(id=named(6), name="filtered", hardness_mg_l=60.0, alkalinity_mg_l=40.0),
        Server(id=named(7), name="mug", capacity_g=350.0, empty_g=312.0),
        Kitchen(
            id=named(8),
            name="home",
            grinder_id=named(1),
            dripper_id=named(3),
            paper_id=named(4),
            kettle_id=named(5),
            water_id=named(6),
            server_id=named(7),
            altitude_m=240.0,
            scale_carries=ScaleCarries.SERVER_ALONE,
            drained_rule=DrainedRule.BED_VISIBLE,
        ),
    )


def measured_records() -> tuple[Any, ...]:
    """Return kit that was measured, and what was measured of it."""
    return (
        Dripper(
            id=named(9),
            name="wedge",
            shape=DripperShape.WEDGE,
            bottom_m=0.012,
            outlets=3,
            outlet_m=0.004,
            bottom_length_m=0.05,
            ribbed=True,
        ),
        Kettle(
            id=named(10),
            name="steel kettle",
            body_g=620.0,
            material=DripperMaterial.STEEL,
            capacity_g=900.0,
        ),
        Water(
            id=named(11),
            name="bottled",
            minerals=Minerals(calcium_mg_l=40.0, bicarbonate_mg_l=122.5, sulfate_mg_l=0.0),
            tds_mg_l=180.0,
            ph=7.4,
        ),
        Kitchen(
            id=named(12),
            name="by the window",
            grinder_id=named(1),
            dripper_id=named(9),
            kettle_id=named(10),
            water_id=named(11),
            barometer_pa=98_250.0,
            room_c=21.5,
        ),
        KettleReading(
            id=named(81),
            kettle_id=named(10),
            read_at=at(7),
            water_g=700.0,
            lid_on=True,
            start_c=96.0,
            end_c=93.5,
            wait_s=120.0,
            room_c=21.0,
            sd_c=0.2,
        ),
        Sieving(
            id=named(82),
            grinder_id=named(1),
            zero_id=named(2),
            sieved_at=at(7, 10),
            setting=Setting(text="2.0", steps=20, zero_id=named(2)),
            openings_um=(1400.0, 1000.0, 710.0, 500.0),
            shares=(0.05, 0.2, 0.4, 0.2, 0.15),
            dose_g=20.0,
            note="five minutes by hand",
        ),
        Concentrate(
            id=named(83),
            name="hardness",
            salt=Salt.MAGNESIUM_SULFATE_7H2O,
            g_per_l=24.65,
            food_grade=True,
        ),
        Concentrate(id=named(84), name="buffer", salt=Salt.SODIUM_BICARBONATE, g_per_l=8.4),
    )


def coffee_records() -> tuple[Any, ...]:
    """Return a coffee with everything known, and one with nothing known but its name."""
    printed = PrintedRecipe(dose_g=16.0, water_g=256.0, temperature_c=93.0, grind_words="medium")
    return (
        Coffee(
            id=named(31),
            name="Hill farm, “top” – lot № 7",
            roaster="a roaster in town",
            origin="Huila",
            process=Process.WASHED,
            roast=Roast.LIGHT,
            altitude_m=1850.0,
            decaf=True,
            note="plums\nand tea",
        ),
        Coffee(id=named(32), name="x"),
        Lot(
            id=named(33),
            coffee_id=named(31),
            lot_code="L7",
            batch_code="B2",
            roasted_on=date(2026, 11, 10),
        ),
        Lot(id=named(34), coffee_id=named(32)),
        Bag(
            id=named(35),
            lot_id=named(33),
            weight_g=250.0,
            opened_on=date(2026, 11, 20),
            frozen_on=date(2026, 11, 12),
            thawed_on=date(2026, 11, 19),
            printed=printed,
            left_g=120.5,
            left_said_at=at(7, 30),
        ),
        Bag(id=named(36), lot_id=named(34)),
    )


def cup_records() -> tuple[Any, ...]:
    """Return two brews, their tastings with a correction, an answer, and a brew under way."""
    measured = Reading(value=250.4, sd=0.1, how=How.MEASURED)
    planned = Reading(value=15.0, sd=0.3, how=How.PLANNED)
    told = (
        Message("change.grind_less", {"count": 2}),
        Message("x", {"strength": 0.0135, "text": "É"}),
    )
    first = Brew(
        id=named(41),
        bag_id=named(35),
        kit=KIT,
        started_at=at(8),
        mode=Mode.EXPERIMENT,
        plan=RECIPE,
        poured=Poured(dose_g=planned, water_g=measured, drained_s=measured, latest_pour_s=4.0),
        drained_rule=DrainedRule.BED_VISIBLE,
        slips=(
            Slip(kind=SlipKind.OVERSHOOT, at_s=61.5, amount=8.0),
            Slip(kind=SlipKind.LOST_CLOCK),
        ),
        weight=0.5,
        note="rushed",
    )
    proposal = Proposal(
        id=named(51),
        brew_id=named(41),
        answered_at=at(8, 20),
        answer=Answer.REFUSED,
        outcome=Outcome.CHANGE,
        rule="sour_fast",
        changes=(FINER,),
        recipe=RECIPE,
        evidence=Evidence.CONTESTED,
        why=told,
        answer_reason="guests",
    )
    second = Brew(
        id=named(42),
        bag_id=named(35),
        kit=KIT,
        started_at=at(9),
        mode=Mode.GOOD_ONE,
        plan=RECIPE,
        poured=Poured(dose_g=planned, water_g=measured),
        drained_rule=DrainedRule.LAST_DROP,
        parent_id=named(41),
        changes=(FINER,),
        proposal_id=named(51),
        why=own_words("because"),
    )
    tasted = Tasting(
        id=named(61),
        brew_id=named(41),
        tasted_at=at(8, 10),
        marks=Marks(sour=6.0, sweet=2.5),
        strength_felt=StrengthFelt.WEAK,
        liking=4.0,
        words="lemon",
        verdict=Verdict.CHANGE,
        beverage_g=218.2,
        strength=0.0131,
        bed=Bed.FLAT,
    )
    better = Tasting(
        id=named(62),
        brew_id=named(41),
        tasted_at=at(8, 10),
        marks=Marks(bitter=7.0),
        corrects_id=named(61),
    )
    fuller = Tasting(
        id=named(63),
        brew_id=named(42),
        tasted_at=at(9, 10),
        marks=Marks(),
        complaints=(Complaint.PAPERY, Complaint.NOT_SWEET),
    )
    finely = Tasting(
        id=named(85),
        brew_id=named(42),
        tasted_at=at(9, 30),
        marks=Marks(),
        strength=0.0135,
        strength_sd=0.0003,
        dose_moisture=0.03,
        sample_c=24.0,
    )
    forecast = Forecast(
        id=named(86),
        brew_id=named(42),
        made_at=at(8, 55),
        engine="1",
        brews_behind=4,
        bands={"time_s": (140.0, 165.5, 201.0), "strength": (0.0121, 0.0136, 0.015)},
    )
    photo = Photo(id=named(64), brew_id=named(42), file="bed.png", of_what=PhotoOf.BED, note="É")
    own_rule = OwnRule(id=named(65), name="mine", text='[[rule]]\nid = "mine"\n')
    under_way = UnderWay(
        id=named(71),
        bag_id=named(36),
        kit=KIT,
        plan=RECIPE,
        mode=Mode.EXPERIMENT,
        drained_rule=DrainedRule.STREAM_BREAKS,
        begun_at=at(10),
        parent_id=named(42),
        changes=(FINER,),
        proposal_id=named(51),
        why=told,
    )
    events = (
        GuideEvent(
            id=named(72),
            under_way_id=named(71),
            number=1,
            at=at(10, 1),
            kind=GuideEventKind.CLOCK_STARTED,
        ),
        GuideEvent(
            id=named(73),
            under_way_id=named(71),
            number=2,
            at=at(10, 2),
            kind=GuideEventKind.OVERSHOOT,
            value=63.5,
        ),
    )
    tastes = (tasted, better, fuller, finely)
    return first, proposal, second, *tastes, forecast, photo, own_rule, under_way, *events


def trial_records() -> tuple[Any, ...]:
    """Return a trial of a habit with two rounds, one of them void, and one that paper told."""
    begun = Trial(
        id=named(91),
        begun_at=at(11),
        kind=TrialKind.NAMED_PAIR,
        question=Question.THE_HABIT,
        names=("with the swirl", "without"),
        tasters=("Ada", "Bo"),
        rounds_planned=12,
        smaller_than_d=1.5,
        blinding=Blinding.SERVED,
        habit=Habit.SWIRL,
        bag_id=named(35),
        kit=KIT,
        seal=Seal(salt="00ff", fingerprint="a1b2"),
        note="after breakfast",
    )
    paper = Trial(
        id=named(92),
        begun_at=at(12),
        kind=TrialKind.TRIANGLE,
        question=Question.THESE_BREWS,
        names=("A", "B"),
        tasters=("the panel",),
        rounds_planned=10,
        smaller_than_d=1.0,
        blinding=Blinding.SHUFFLED,
        brew_ids=(named(41), named(42)),
        split=True,
        asks_liking=True,
    )
    rounds = tuple(
        TrialRound(
            id=named(93 + place),
            trial_id=named(91),
            number=place + 1,
            sitting=1,
            taster=place,
            codes=codes,
        )
        for place, codes in enumerate((("417", "582"), ("236", "904")))
    )
    return (
        begun,
        paper,
        *rounds,
        TrialServing(
            id=named(95), round_id=named(93), served_at=at(11, 5), temperature_c=58.0, sealed="0a"
        ),
        TrialAnswer(
            id=named(96),
            round_id=named(93),
            locked_at=at(11, 10),
            chosen=(1,),
            sureness=Sureness.LEANING,
            grade=-2,
            liked=0,
            note="rounder",
        ),
        TrialVoid(
            id=named(97),
            round_id=named(94),
            voided_at=at(11, 12),
            reason=VoidReason.TOLD,
            note="heard it",
        ),
        TrialOpening(
            id=named(98),
            round_id=named(93),
            opened_at=at(11, 11),
            brews=(1, 0),
            weights_g=(218.0, None),
            strengths=(0.0131, 0.0134),
        ),
        TrialFinding(
            id=named(99),
            trial_id=named(92),
            filed_at=at(12, 30),
            finding=Finding.SHOWN,
            about_habit=False,
            numbers={"right": 7.0, "rounds": 10.0, "p": 0.0197},
        ),
    )


def every_record() -> tuple[Any, ...]:
    """Return a few records of every kind, in an order in which they can be written."""
    return kit_records() + measured_records() + coffee_records() + cup_records() + trial_records()


@pytest.fixture
def records() -> tuple[Any, ...]:
    return every_record()
