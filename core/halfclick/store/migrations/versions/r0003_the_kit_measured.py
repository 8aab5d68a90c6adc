"""The kit measured: how a kettle cools, a grind sieved, a water's ions, a brew foretold."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

# Columns that what was written before leaves empty, by table.
ADDED: dict[str, tuple[tuple[str, type[Any]], ...]] = {
    "kettle": (("body_g", sa.Float), ("material", sa.Text), ("capacity_g", sa.Float)),
    "kitchen": (("barometer_pa", sa.Float), ("room_c", sa.Float)),
    "dripper": (
        ("outlets", sa.Integer),
        ("outlet_m", sa.Float),
        ("bottom_length_m", sa.Float),
        ("ribbed", sa.Boolean),
    ),
    "water": (("minerals", sa.JSON), ("tds_mg_l", sa.Float), ("ph", sa.Float)),
    "tasting": (("strength_sd", sa.Float), ("dose_moisture", sa.Float), ("sample_c", sa.Float)),
}


def _stamps() -> list[sa.Column[object]]:
    return [
        sa.Column("person_id", sa.Uuid, nullable=False),
        sa.Column("device_id", sa.Uuid, nullable=False),
        sa.Column("written_at", sa.Text, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("changed_at", sa.Text, nullable=True),
        sa.Column("buried_at", sa.Text, nullable=True),
    ]


def _of(name: str, table: str) -> sa.Column[object]:
    return sa.Column(name, sa.Uuid, sa.ForeignKey(f"{table}.id"), nullable=False)


def _table(name: str, *columns: sa.Column[object], indexes: tuple[str, ...] = ()) -> None:
    op.create_table(name, sa.Column("id", sa.Uuid, primary_key=True), *columns, *_stamps())
    for column in (*indexes, "seq"):
        op.create_index(f"ix_{name}_{column}", name, [column])


def upgrade() -> None:
    """Add columns to what is there, and four tables."""
    for table, columns in ADDED.items():
        for name, kind in columns:
            op.add_column(table, sa.Column(name, kind, nullable=True))
    _table(
        "kettle_reading",
        _of("kettle_id", "kettle"),
        sa.Column("read_at", sa.Text, nullable=False),
        sa.Column("water_g", sa.Float, nullable=False),
        sa.Column("lid_on", sa.Boolean, nullable=False),
        sa.Column("start_c", sa.Float, nullable=False),
        sa.Column("end_c", sa.Float, nullable=False),
        sa.Column("wait_s", sa.Float, nullable=False),
        sa.Column("room_c", sa.Float, nullable=False),
        sa.Column("sd_c", sa.Float, nullable=False),
        indexes=("kettle_id",),
    )
    _table(
        "sieving",
        _of("grinder_id", "grinder"),
        _of("zero_id", "zero"),
        sa.Column("sieved_at", sa.Text, nullable=False),
        sa.Column("setting", sa.JSON, nullable=False),
        sa.Column("openings_um", sa.JSON, nullable=False),
        sa.Column("shares", sa.JSON, nullable=False),
        sa.Column("dose_g", sa.Float, nullable=True),
        sa.Column("note", sa.Text, nullable=False),
        indexes=("grinder_id", "zero_id"),
    )
    _table(
        "concentrate",
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("salt", sa.Text, nullable=False),
        sa.Column("g_per_l", sa.Float, nullable=False),
        sa.Column("food_grade", sa.Boolean, nullable=False),
    )
    _table(
        "forecast",
        _of("brew_id", "brew"),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("engine", sa.Text, nullable=False),
        sa.Column("brews_behind", sa.Integer, nullable=False),
        sa.Column("bands", sa.JSON, nullable=False),
        indexes=("brew_id",),
    )
