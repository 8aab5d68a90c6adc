"""A year of cups: what else a cup complained of, photos, a person's own rules, a dripper's body."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


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
    """Add columns to what is there, and two tables."""
    op.add_column(
        "tasting", sa.Column("complaints", sa.JSON, nullable=False, server_default=sa.text("'[]'"))
    )
    op.add_column("dripper", sa.Column("material", sa.Text, nullable=True))
    op.add_column("dripper", sa.Column("mass_g", sa.Float, nullable=True))
    op.create_index("ix_brew_started_at", "brew", ["started_at"])
    op.create_index("ix_tasting_tasted_at", "tasting", ["tasted_at"])
    op.create_table(
        "photo",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("brew_id", sa.Uuid, sa.ForeignKey("brew.id"), nullable=False),
        sa.Column("file", sa.Text, nullable=False),
        sa.Column("of_what", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_photo_brew_id", "photo", ["brew_id"])
    op.create_index("ix_photo_seq", "photo", ["seq"])
    op.create_table(
        "own_rule",
        sa.Column("id", sa.Uuid, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        *_stamps(),
    )
    op.create_index("ix_own_rule_seq", "own_rule", ["seq"])
