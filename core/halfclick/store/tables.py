"""The journal's tables as they stand now; migrations never import this."""

from typing import Any

import sqlalchemy as sa

METADATA = sa.MetaData()

# What every row tells: who wrote it, on which device, when, and its place in this journal's own
# order of writing; when it last changed; and, where it was deleted, when: a tombstone, so that two
# journals can be merged later.
STAMPS = ("person_id", "device_id", "written_at", "seq", "changed_at", "buried_at")


def _table(name: str, *columns: sa.schema.SchemaItem) -> sa.Table:
    return sa.Table(
        name,
        METADATA,
        sa.Column("id", sa.Uuid, primary_key=True),
        *columns,
        sa.Column("person_id", sa.Uuid, nullable=False),
        sa.Column("device_id", sa.Uuid, nullable=False),
        sa.Column("written_at", sa.Text, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False, index=True),
        sa.Column("changed_at", sa.Text, nullable=True),
        sa.Column("buried_at", sa.Text, nullable=True),
    )


def _text(name: str, *, optional: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Text, nullable=optional)


def _number(name: str, *, optional: bool = True) -> sa.Column[Any]:
    return sa.Column(name, sa.Float, nullable=optional)


def _json(name: str, *, optional: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.JSON(none_as_null=True), nullable=optional)


def _of(name: str, table: str, *, optional: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Uuid, sa.ForeignKey(f"{table}.id"), nullable=optional, index=True)


def _flag(name: str, *, optional: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Boolean, nullable=optional)


person = _table("person", _text("name"))
device = _table("device", _text("name"))
preference = _table("preference", _text("key"), _text("value"))

coffee = _table(
    "coffee",
    _text("name"),
    _text("roaster"),
    _text("origin"),
    _text("process", optional=True),
    _text("roast", optional=True),
    _number("altitude_m"),
    _flag("decaf"),
    _text("note"),
)
lot = _table(
    "lot",
    _of("coffee_id", "coffee"),
    _text("lot_code"),
    _text("batch_code"),
    _text("roasted_on", optional=True),
)
bag = _table(
    "bag",
    _of("lot_id", "lot"),
    _number("weight_g"),
    _text("opened_on", optional=True),
    _text("frozen_on", optional=True),
    _text("thawed_on", optional=True),
    _json("printed", optional=True),
    _number("left_g"),
    _text("left_said_at", optional=True),
)

grinder = _table(
    "grinder",
    _text("name"),
    _json("numbering"),
    _text("finer"),
    _number("step_um"),
    _number("purge_g", optional=False),
)
zero = _table(
    "zero",
    _of("grinder_id", "grinder"),
    _text("found_on"),
    sa.Column("reading", sa.Integer, nullable=False),
    _text("found"),
    _text("reason"),
    _text("note"),
)
dripper = _table(
    "dripper",
    _text("name"),
    _text("shape"),
    _number("top_m"),
    _number("bottom_m"),
    _number("height_m"),
    _text("material", optional=True),
    _number("mass_g"),
    sa.Column("outlets", sa.Integer, nullable=True),
    _number("outlet_m"),
    _number("bottom_length_m"),
    _flag("ribbed", optional=True),
)
paper = _table("paper", _text("name"), _text("kind"))
kettle = _table(
    "kettle",
    _text("name"),
    _flag("has_thermometer"),
    _number("body_g"),
    _text("material", optional=True),
    _number("capacity_g"),
)
kettle_reading = _table(
    "kettle_reading",
    _of("kettle_id", "kettle"),
    _text("read_at"),
    _number("water_g", optional=False),
    _flag("lid_on"),
    _number("start_c", optional=False),
    _number("end_c", optional=False),
    _number("wait_s", optional=False),
    _number("room_c", optional=False),
    _number("sd_c", optional=False),
)
water = _table(
    "water",
    _text("name"),
    _number("hardness_mg_l"),
    _number("alkalinity_mg_l"),
    _json("minerals", optional=True),
    _number("tds_mg_l"),
    _number("ph"),
)
concentrate = _table(
    "concentrate",
    _text("name"),
    _text("salt"),
    _number("g_per_l", optional=False),
    _flag("food_grade"),
)
server = _table("server", _text("name"), _number("capacity_g"), _number("empty_g"))
kitchen = _table(
    "kitchen",
    _text("name"),
    _of("grinder_id", "grinder"),
    _of("dripper_id", "dripper"),
    _of("paper_id", "paper", optional=True),
    _of("kettle_id", "kettle", optional=True),
    _of("water_id", "water", optional=True),
    _of("server_id", "server", optional=True),
    _number("altitude_m", optional=False),
    _text("scale_carries"),
    _text("drained_rule"),
    _number("barometer_pa"),
    _number("room_c"),
)
sieving = _table(
    "sieving",
    _of("grinder_id", "grinder"),
    _of("zero_id", "zero"),
    _text("sieved_at"),
    _json("setting"),
    _json("openings_um"),
    _json("shares"),
    _number("dose_g"),
    _text("note"),
)

brew = _table(
    "brew",
    _of("bag_id", "bag"),
    _json("kit"),
    sa.Column("started_at", sa.Text, nullable=False, index=True),
    _text("mode"),
    _json("plan"),
    _json("poured"),
    _text("drained_rule"),
    _json("slips"),
    _number("weight", optional=False),
    _of("parent_id", "brew", optional=True),
    _json("changes"),
    # No foreign key: proposals name brews, and a ring of tables cannot be made in one order.
    sa.Column("proposal_id", sa.Uuid, nullable=True),
    _json("why"),
    _text("note"),
    _of("corrects_id", "brew", optional=True),
)
tasting = _table(
    "tasting",
    _of("brew_id", "brew"),
    sa.Column("tasted_at", sa.Text, nullable=False, index=True),
    _json("marks"),
    _text("strength_felt", optional=True),
    _number("liking"),
    _text("words"),
    _text("verdict", optional=True),
    _number("beverage_g"),
    _number("strength"),
    _text("bed", optional=True),
    _of("corrects_id", "tasting", optional=True),
    sa.Column("complaints", sa.JSON, nullable=False, server_default=sa.text("'[]'")),
    _number("strength_sd"),
    _number("dose_moisture"),
    _number("sample_c"),
)
forecast = _table(
    "forecast",
    _of("brew_id", "brew"),
    _text("made_at"),
    _text("engine"),
    sa.Column("brews_behind", sa.Integer, nullable=False),
    _json("bands"),
)
photo = _table("photo", _of("brew_id", "brew"), _text("file"), _text("of_what"), _text("note"))
own_rule = _table("own_rule", _text("name"), _text("text"))
proposal = _table(
    "proposal",
    _of("brew_id", "brew"),
    _text("answered_at"),
    _text("answer"),
    _text("outcome"),
    _text("rule"),
    _json("changes"),
    _json("recipe"),
    _text("evidence"),
    _json("why"),
    _text("answer_reason"),
)

under_way = _table(
    "under_way",
    _of("bag_id", "bag"),
    _json("kit"),
    _json("plan"),
    _text("mode"),
    _text("drained_rule"),
    _text("begun_at"),
    _of("parent_id", "brew", optional=True),
    _json("changes"),
    _of("proposal_id", "proposal", optional=True),
    _json("why"),
    _text("closed_at", optional=True),
)
guide_event = _table(
    "guide_event",
    _of("under_way_id", "under_way"),
    sa.Column("number", sa.Integer, nullable=False),
    _text("at"),
    _text("kind"),
    _number("value"),
    sa.UniqueConstraint("under_way_id", "number"),
)

trial = _table(
    "trial",
    _text("begun_at"),
    _text("kind"),
    _text("question"),
    _json("names"),
    _json("tasters"),
    sa.Column("rounds_planned", sa.Integer, nullable=False),
    _number("smaller_than_d", optional=False),
    _text("blinding"),
    _text("habit", optional=True),
    _json("brew_ids"),
    _of("bag_id", "bag", optional=True),
    _json("kit", optional=True),
    _flag("split"),
    _flag("asks_liking"),
    _flag("predicted"),
    _json("seal", optional=True),
    _text("note"),
)
trial_round = _table(
    "trial_round",
    _of("trial_id", "trial"),
    sa.Column("number", sa.Integer, nullable=False),
    sa.Column("sitting", sa.Integer, nullable=False),
    sa.Column("taster", sa.Integer, nullable=False),
    _json("codes"),
)
trial_serving = _table(
    "trial_serving",
    _of("round_id", "trial_round"),
    _text("served_at"),
    _number("temperature_c"),
    _text("sealed"),
)
trial_answer = _table(
    "trial_answer",
    _of("round_id", "trial_round"),
    _text("locked_at"),
    _json("chosen"),
    _text("sureness", optional=True),
    sa.Column("grade", sa.Integer, nullable=True),
    sa.Column("liked", sa.Integer, nullable=True),
    _text("note"),
)
trial_void = _table(
    "trial_void",
    _of("round_id", "trial_round"),
    _text("voided_at"),
    _text("reason"),
    _text("note"),
)
trial_opening = _table(
    "trial_opening",
    _of("round_id", "trial_round"),
    _text("opened_at"),
    _json("brews"),
    _json("weights_g"),
    _json("strengths"),
)
trial_finding = _table(
    "trial_finding",
    _of("trial_id", "trial"),
    _text("filed_at"),
    _text("finding"),
    _flag("about_habit"),
    _json("numbers"),
)
