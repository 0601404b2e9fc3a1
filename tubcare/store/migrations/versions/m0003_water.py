"""The water's own tables, and the band of a strip beside a reading."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add what the dosing plan stands on."""
    op.add_column("reading", sa.Column("low", sa.Double(), nullable=True))
    op.add_column("reading", sa.Column("high", sa.Double(), nullable=True))
    _shelf()
    _sources_and_kits()
    _ranges()
    _steps()


def _shelf() -> None:
    op.create_table(
        "water_product",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supply_id", sa.Integer(), nullable=False),
        sa.Column("compound", sa.String(length=40), nullable=False),
        sa.Column("strength_kind", sa.String(length=40), nullable=False),
        sa.Column("strength", sa.Double(), nullable=False),
        sa.Column("form", sa.String(length=10), nullable=False),
        sa.Column("density_kg_l", sa.Double(), nullable=False),
        sa.Column("salt_per_chlorine", sa.Double(), nullable=False),
        sa.Column("filled_on", sa.Date(), nullable=True),
        sa.Column("storage_c", sa.Double(), nullable=False),
        sa.CheckConstraint("strength > 0", name=op.f("ck_water_product_strength_positive")),
        _refers("water_product", "supply_id", "supply"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_product")),
        sa.UniqueConstraint("supply_id", name=op.f("uq_water_product_supply_id")),
        sqlite_strict=True,
    )
    op.create_table(
        "water_measure",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("capacity_ml", sa.Double(), nullable=False),
        sa.Column("divisions", sa.Integer(), nullable=False),
        sa.Column("for_form", sa.String(length=10), nullable=True),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_water_measure_name_not_empty")),
        sa.CheckConstraint("capacity_ml > 0", name=op.f("ck_water_measure_capacity_positive")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_measure")),
        sa.UniqueConstraint("name", name=op.f("uq_water_measure_name")),
        sqlite_strict=True,
    )


def _sources_and_kits() -> None:
    op.create_table(
        "water_source",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("tested_on", sa.Date(), nullable=False),
        sa.Column("test", sa.JSON(), nullable=False),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_water_source_name_not_empty")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_source")),
        sa.UniqueConstraint("name", name=op.f("uq_water_source_name")),
        sqlite_strict=True,
    )
    op.create_table(
        "water_kit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("source_id", sa.Integer(), nullable=True),
        sa.Column("kit", sa.JSON(), nullable=False),
        _refers("water_kit", "tub_id", "tub"),
        _refers("water_kit", "source_id", "water_source"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_kit")),
        sa.UniqueConstraint("tub_id", name=op.f("uq_water_kit_tub_id")),
        sqlite_strict=True,
    )


def _ranges() -> None:
    op.create_table(
        "water_range",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.String(length=40), nullable=False),
        sa.Column("low", sa.Double(), nullable=True),
        sa.Column("aim", sa.Double(), nullable=True),
        sa.Column("high", sa.Double(), nullable=True),
        sa.Column("changed_on", sa.Date(), nullable=False),
        _refers("water_range", "tub_id", "tub"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_range")),
        sa.UniqueConstraint("tub_id", "quantity", name=op.f("uq_water_range_tub_id_quantity")),
        sqlite_strict=True,
    )


def _steps() -> None:
    op.create_table(
        "water_step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("test_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("step", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ready_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("wait_until", sa.DateTime(timezone=True), nullable=False),
        sa.Column("dose_id", sa.Integer(), nullable=True),
        sa.Column("fill_id", sa.Integer(), nullable=True),
        _refers("water_step", "tub_id", "tub"),
        _refers("water_step", "dose_id", "dose"),
        _refers("water_step", "fill_id", "fill"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_step")),
        sa.UniqueConstraint(
            "tub_id", "test_at", "step", name=op.f("uq_water_step_tub_id_test_at_step")
        ),
        sqlite_strict=True,
    )


def _refers(table: str, column: str, to: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        [column], [f"{to}.id"], name=op.f(f"fk_{table}_{column}_{to}"), ondelete="RESTRICT"
    )
