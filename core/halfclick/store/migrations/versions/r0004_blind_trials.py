"""Blind trials: how they were begun, each round with its answer and its opening, and verdicts."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def _stamps() -> list[sa.Column[object]]:
    return [
        sa.Column("person_id", sa.Uuid, nullable=False),
        sa.Column("device_id", sa.Uuid, nullable=False),
        sa.Column("written_at", sa.Text, nullable=False),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("changed_at", sa.Text, nullable=True),
        sa.Column("buried_at", sa.Text, nullable=True),
    ]


def _of(name: str, table: str, *, optional: bool = False) -> sa.Column[object]:
    return sa.Column(name, sa.Uuid, sa.ForeignKey(f"{table}.id"), nullable=optional)


def _table(name: str, *columns: sa.Column[object], indexes: tuple[str, ...] = ()) -> None:
    op.create_table(name, sa.Column("id", sa.Uuid, primary_key=True), *columns, *_stamps())
    for column in (*indexes, "seq"):
        op.create_index(f"ix_{name}_{column}", name, [column])


def upgrade() -> None:
    """Add seven tables."""
    _table(
        "trial",
        sa.Column("begun_at", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("question", sa.Text, nullable=False),
        sa.Column("names", sa.JSON, nullable=False),
        sa.Column("tasters", sa.JSON, nullable=False),
        sa.Column("rounds_planned", sa.Integer, nullable=False),
        sa.Column("smaller_than_d", sa.Float, nullable=False),
        sa.Column("blinding", sa.Text, nullable=False),
        sa.Column("habit", sa.Text, nullable=True),
        sa.Column("brew_ids", sa.JSON, nullable=False),
        _of("bag_id", "bag", optional=True),
        sa.Column("kit", sa.JSON, nullable=True),
        sa.Column("split", sa.Boolean, nullable=False),
        sa.Column("asks_liking", sa.Boolean, nullable=False),
        sa.Column("predicted", sa.Boolean, nullable=False),
        sa.Column("seal", sa.JSON, nullable=True),
        sa.Column("note", sa.Text, nullable=False),
        indexes=("bag_id",),
    )
    _table(
        "trial_round",
        _of("trial_id", "trial"),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("sitting", sa.Integer, nullable=False),
        sa.Column("taster", sa.Integer, nullable=False),
        sa.Column("codes", sa.JSON, nullable=False),
        indexes=("trial_id",),
    )
    _table(
        "trial_serving",
        _of("round_id", "trial_round"),
        sa.Column("served_at", sa.Text, nullable=False),
        sa.Column("temperature_c", sa.Float, nullable=True),
        sa.Column("sealed", sa.Text, nullable=False),
        indexes=("round_id",),
    )
    _table(
        "trial_answer",
        _of("round_id", "trial_round"),
        sa.Column("locked_at", sa.Text, nullable=False),
        sa.Column("chosen", sa.JSON, nullable=False),
        sa.Column("sureness", sa.Text, nullable=True),
        sa.Column("grade", sa.Integer, nullable=True),
        sa.Column("liked", sa.Integer, nullable=True),
        sa.Column("note", sa.Text, nullable=False),
        indexes=("round_id",),
    )
    _table(
        "trial_void",
        _of("round_id", "trial_round"),
        sa.Column("voided_at", sa.Text, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        indexes=("round_id",),
    )
    _table(
        "trial_opening",
        _of("round_id", "trial_round"),
        sa.Column("opened_at", sa.Text, nullable=False),
        sa.Column("brews", sa.JSON, nullable=False),
        sa.Column("weights_g", sa.JSON, nullable=False),
        sa.Column("strengths", sa.JSON, nullable=False),
        indexes=("round_id",),
    )
    _table(
        "trial_finding",
        _of("trial_id", "trial"),
        sa.Column("filed_at", sa.Text, nullable=False),
        sa.Column("finding", sa.Text, nullable=False),
        sa.Column("about_habit", sa.Boolean, nullable=False),
        sa.Column("numbers", sa.JSON, nullable=False),
        indexes=("trial_id",),
    )
