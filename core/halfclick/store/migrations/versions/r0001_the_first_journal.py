"""The first journal: coffee and kit, brews and tastings, proposals, and a brew under way."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def _stamps() -> list[sa.Column[object]]:
    return [
        sa.Column("person_id", sa.Uuid, nullable=False),
        sa.Column("device_id", sa.Uuid, nullable=False),
        sa.Column("written_at", sa.Text, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("changed_at", sa.Text, nullable=True),
        sa.Column("buried_at", sa.Text, nullable=True),
    ]


def upgrade() -> None:
    """Make every table."""
    op.create_table(
        "coffee",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("roaster", sa.Text, nullable=False),
        sa.Column("origin", sa.Text, nullable=False),
        sa.Column("process", sa.Text, nullable=True),
        sa.Column("roast", sa.Text, nullable=True),
        sa.Column("altitude_m", sa.Float, nullable=True),
        sa.Column("decaf", sa.Boolean, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_coffee_seq", "coffee", ["seq"])
    op.create_table(
        "device",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_device_seq", "device", ["seq"])
    op.create_table(
        "dripper",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("shape", sa.Text, nullable=False),
        sa.Column("top_m", sa.Float, nullable=True),
        sa.Column("bottom_m", sa.Float, nullable=True),
        sa.Column("height_m", sa.Float, nullable=True),
        *_stamps(),
    )
    op.create_index("ix_dripper_seq", "dripper", ["seq"])
    op.create_table(
        "grinder",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("numbering", sa.JSON, nullable=False),
        sa.Column("finer", sa.Text, nullable=False),
        sa.Column("step_um", sa.Float, nullable=True),
        sa.Column("purge_g", sa.Float, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_grinder_seq", "grinder", ["seq"])
    op.create_table(
        "kettle",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("has_thermometer", sa.Boolean, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_kettle_seq", "kettle", ["seq"])
    op.create_table(
        "paper",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_paper_seq", "paper", ["seq"])
    op.create_table(
        "person",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_person_seq", "person", ["seq"])
    op.create_table(
        "preference",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("value", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_preference_seq", "preference", ["seq"])
    op.create_table(
        "server",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("capacity_g", sa.Float, nullable=True),
        sa.Column("empty_g", sa.Float, nullable=True),
        *_stamps(),
    )
    op.create_index("ix_server_seq", "server", ["seq"])
    op.create_table(
        "water",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("hardness_mg_l", sa.Float, nullable=True),
        sa.Column("alkalinity_mg_l", sa.Float, nullable=True),
        *_stamps(),
    )
    op.create_index("ix_water_seq", "water", ["seq"])
    op.create_table(
        "kitchen",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("grinder_id", sa.Uuid, sa.ForeignKey("grinder.id"), nullable=False),
        sa.Column("dripper_id", sa.Uuid, sa.ForeignKey("dripper.id"), nullable=False),
        sa.Column("paper_id", sa.Uuid, sa.ForeignKey("paper.id"), nullable=True),
        sa.Column("kettle_id", sa.Uuid, sa.ForeignKey("kettle.id"), nullable=True),
        sa.Column("water_id", sa.Uuid, sa.ForeignKey("water.id"), nullable=True),
        sa.Column("server_id", sa.Uuid, sa.ForeignKey("server.id"), nullable=True),
        sa.Column("altitude_m", sa.Float, nullable=False),
        sa.Column("scale_carries", sa.Text, nullable=False),
        sa.Column("drained_rule", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_kitchen_seq", "kitchen", ["seq"])
    op.create_index("ix_kitchen_dripper_id", "kitchen", ["dripper_id"])
    op.create_index("ix_kitchen_grinder_id", "kitchen", ["grinder_id"])
    op.create_index("ix_kitchen_kettle_id", "kitchen", ["kettle_id"])
    op.create_index("ix_kitchen_paper_id", "kitchen", ["paper_id"])
    op.create_index("ix_kitchen_server_id", "kitchen", ["server_id"])
    op.create_index("ix_kitchen_water_id", "kitchen", ["water_id"])
    op.create_table(
        "lot",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("coffee_id", sa.Uuid, sa.ForeignKey("coffee.id"), nullable=False),
        sa.Column("lot_code", sa.Text, nullable=False),
        sa.Column("batch_code", sa.Text, nullable=False),
        sa.Column("roasted_on", sa.Text, nullable=True),
        *_stamps(),
    )
    op.create_index("ix_lot_seq", "lot", ["seq"])
    op.create_index("ix_lot_coffee_id", "lot", ["coffee_id"])
    op.create_table(
        "zero",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("grinder_id", sa.Uuid, sa.ForeignKey("grinder.id"), nullable=False),
        sa.Column("found_on", sa.Text, nullable=False),
        sa.Column("reading", sa.Integer, nullable=False),
        sa.Column("found", sa.Text, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_zero_seq", "zero", ["seq"])
    op.create_index("ix_zero_grinder_id", "zero", ["grinder_id"])
    op.create_table(
        "bag",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("lot_id", sa.Uuid, sa.ForeignKey("lot.id"), nullable=False),
        sa.Column("weight_g", sa.Float, nullable=True),
        sa.Column("opened_on", sa.Text, nullable=True),
        sa.Column("frozen_on", sa.Text, nullable=True),
        sa.Column("thawed_on", sa.Text, nullable=True),
        sa.Column("printed", sa.JSON, nullable=True),
        sa.Column("left_g", sa.Float, nullable=True),
        sa.Column("left_said_at", sa.Text, nullable=True),
        *_stamps(),
    )
    op.create_index("ix_bag_seq", "bag", ["seq"])
    op.create_index("ix_bag_lot_id", "bag", ["lot_id"])
    op.create_table(
        "brew",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("bag_id", sa.Uuid, sa.ForeignKey("bag.id"), nullable=False),
        sa.Column("kit", sa.JSON, nullable=False),
        sa.Column("started_at", sa.Text, nullable=False),
        sa.Column("mode", sa.Text, nullable=False),
        sa.Column("plan", sa.JSON, nullable=False),
        sa.Column("poured", sa.JSON, nullable=False),
        sa.Column("drained_rule", sa.Text, nullable=False),
        sa.Column("slips", sa.JSON, nullable=False),
        sa.Column("weight", sa.Float, nullable=False),
        sa.Column("parent_id", sa.Uuid, sa.ForeignKey("brew.id"), nullable=True),
        sa.Column("changes", sa.JSON, nullable=False),
        sa.Column("proposal_id", sa.Uuid, nullable=True),
        sa.Column("why", sa.JSON, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("corrects_id", sa.Uuid, sa.ForeignKey("brew.id"), nullable=True),
        *_stamps(),
    )
    op.create_index("ix_brew_seq", "brew", ["seq"])
    op.create_index("ix_brew_bag_id", "brew", ["bag_id"])
    op.create_index("ix_brew_corrects_id", "brew", ["corrects_id"])
    op.create_index("ix_brew_parent_id", "brew", ["parent_id"])
    op.create_table(
        "proposal",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("brew_id", sa.Uuid, sa.ForeignKey("brew.id"), nullable=False),
        sa.Column("answered_at", sa.Text, nullable=False),
        sa.Column("answer", sa.Text, nullable=False),
        sa.Column("outcome", sa.Text, nullable=False),
        sa.Column("rule", sa.Text, nullable=False),
        sa.Column("changes", sa.JSON, nullable=False),
        sa.Column("recipe", sa.JSON, nullable=False),
        sa.Column("evidence", sa.Text, nullable=False),
        sa.Column("why", sa.JSON, nullable=False),
        sa.Column("answer_reason", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_proposal_seq", "proposal", ["seq"])
    op.create_index("ix_proposal_brew_id", "proposal", ["brew_id"])
    op.create_table(
        "tasting",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("brew_id", sa.Uuid, sa.ForeignKey("brew.id"), nullable=False),
        sa.Column("tasted_at", sa.Text, nullable=False),
        sa.Column("marks", sa.JSON, nullable=False),
        sa.Column("strength_felt", sa.Text, nullable=True),
        sa.Column("liking", sa.Float, nullable=True),
        sa.Column("words", sa.Text, nullable=False),
        sa.Column("verdict", sa.Text, nullable=True),
        sa.Column("beverage_g", sa.Float, nullable=True),
        sa.Column("strength", sa.Float, nullable=True),
        sa.Column("bed", sa.Text, nullable=True),
        sa.Column("corrects_id", sa.Uuid, sa.ForeignKey("tasting.id"), nullable=True),
        *_stamps(),
    )
    op.create_index("ix_tasting_seq", "tasting", ["seq"])
    op.create_index("ix_tasting_brew_id", "tasting", ["brew_id"])
    op.create_index("ix_tasting_corrects_id", "tasting", ["corrects_id"])
    op.create_table(
        "under_way",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("bag_id", sa.Uuid, sa.ForeignKey("bag.id"), nullable=False),
        sa.Column("kit", sa.JSON, nullable=False),
        sa.Column("plan", sa.JSON, nullable=False),
        sa.Column("mode", sa.Text, nullable=False),
        sa.Column("drained_rule", sa.Text, nullable=False),
        sa.Column("begun_at", sa.Text, nullable=False),
        sa.Column("parent_id", sa.Uuid, sa.ForeignKey("brew.id"), nullable=True),
        sa.Column("changes", sa.JSON, nullable=False),
        sa.Column("proposal_id", sa.Uuid, sa.ForeignKey("proposal.id"), nullable=True),
        sa.Column("why", sa.JSON, nullable=False),
        sa.Column("closed_at", sa.Text, nullable=True),
        *_stamps(),
    )
    op.create_index("ix_under_way_seq", "under_way", ["seq"])
    op.create_index("ix_under_way_bag_id", "under_way", ["bag_id"])
    op.create_index("ix_under_way_parent_id", "under_way", ["parent_id"])
    op.create_index("ix_under_way_proposal_id", "under_way", ["proposal_id"])
    op.create_table(
        "guide_event",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("under_way_id", sa.Uuid, sa.ForeignKey("under_way.id"), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("value", sa.Float, nullable=True),
        *_stamps(),
        sa.UniqueConstraint("under_way_id", "number"),
    )
    op.create_index("ix_guide_event_seq", "guide_event", ["seq"])
    op.create_index("ix_guide_event_under_way_id", "guide_event", ["under_way_id"])
