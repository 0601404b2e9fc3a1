"""Weather, frost choices, and what the power of a tub is worked out from."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the three tables, one row of each for a tub."""
    _table(
        "weather",
        ("tub_id", "purpose"),
        sa.Column("purpose", sa.String(length=10), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
    )
    _table(
        "frost_plan",
        ("tub_id",),
        sa.Column("choices", sa.JSON(), nullable=False),
        sa.Column("dates", sa.JSON(), nullable=False),
    )
    _table(
        "power_plan",
        ("tub_id",),
        sa.Column("build", sa.JSON(), nullable=False),
        sa.Column("tariff", sa.JSON(), nullable=False),
        sa.Column("drift", sa.JSON(), nullable=False),
        sa.Column("usual", sa.JSON(), nullable=False),
    )


def _table(name: str, unique: tuple[str, ...], *columns: sa.Column[object]) -> None:
    op.create_table(
        name,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        *columns,
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f(f"fk_{name}_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{name}")),
        sa.UniqueConstraint(*unique, name=op.f(f"uq_{name}_{'_'.join(unique)}")),
        sqlite_strict=True,
    )
