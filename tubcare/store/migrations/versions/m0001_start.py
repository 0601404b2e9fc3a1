"""First shape of a logbook."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table, those that others refer to first."""
    _household()
    _measures()
    _care()
    _supplies_and_money()


def _household() -> None:
    op.create_table(
        "action",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("actor", sa.String(length=100), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("label", sa.String(length=40), nullable=False),
        sa.Column("subject", sa.String(length=200), nullable=False),
        sa.Column("changes", sa.JSON(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_action")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_action_actor_id"), "action", ["actor", "id"], unique=False)
    op.create_table(
        "budget",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("year", sa.Integer(), nullable=False),
        sa.Column("category", sa.String(length=20), nullable=False),
        sa.Column("minor", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("minor >= 0", name=op.f("ck_budget_minor_not_negative")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_budget")),
        sa.UniqueConstraint("year", "category", name=op.f("uq_budget_year_category")),
        sqlite_strict=True,
    )
    op.create_table(
        "month_total",
        sa.Column("view", sa.String(length=4), nullable=False),
        sa.Column("month", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("category", sa.String(length=20), nullable=False),
        sa.Column("task_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("tub_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("minor", sa.BigInteger(), nullable=False),
        sa.Column("entries", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint(
            "view", "month", "category", "task_id", "tub_id", name=op.f("pk_month_total")
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("digest_minute", sa.Integer(), nullable=False),
        sa.Column("quiet_from_minute", sa.Integer(), nullable=False),
        sa.Column("quiet_to_minute", sa.Integer(), nullable=False),
        sa.Column("weekends", sa.String(length=20), nullable=False),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_person_name_not_empty")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("name", name=op.f("uq_person_name")),
        sqlite_strict=True,
    )
    op.create_table(
        "setting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("value", sa.String(length=500), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_setting")),
        sa.UniqueConstraint("name", name=op.f("uq_setting_name")),
        sqlite_strict=True,
    )
    op.create_table(
        "supply",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("unit", sa.String(length=20), nullable=False),
        sa.Column("category", sa.String(length=20), nullable=False),
        sa.Column("low_milli", sa.BigInteger(), nullable=True),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_supply_name_not_empty")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supply")),
        sa.UniqueConstraint("name", name=op.f("uq_supply_name")),
        sqlite_strict=True,
    )
    op.create_table(
        "tub",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("zone", sa.String(length=60), nullable=False),
        sa.Column("profile", sa.JSON(), nullable=False),
        sa.Column("added_on", sa.Date(), nullable=False),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_tub_name_not_empty")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tub")),
        sa.UniqueConstraint("name", name=op.f("uq_tub_name")),
        sqlite_strict=True,
    )


def _measures() -> None:
    op.create_table(
        "dip",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("dips", sa.Integer(), nullable=False),
        sa.Column("minutes", sa.Double(), nullable=True),
        sa.Column("water_c", sa.Double(), nullable=True),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.CheckConstraint("dips > 0", name=op.f("ck_dip_dips_positive")),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_dip_person_id_person"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_dip_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_dip")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_dip_on_date"), "dip", ["on_date"], unique=False)
    op.create_index(op.f("ix_dip_tub_id_at"), "dip", ["tub_id", "at"], unique=False)
    op.create_table(
        "meter_reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("counter", sa.String(length=20), nullable=False),
        sa.Column("value_milli", sa.BigInteger(), nullable=False),
        sa.Column("new_meter", sa.Boolean(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
            name=op.f("fk_meter_reading_person_id_person"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_meter_reading_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_meter_reading")),
        sqlite_strict=True,
    )
    op.create_index(
        op.f("ix_meter_reading_tub_id_counter_at"),
        "meter_reading",
        ["tub_id", "counter", "at"],
        unique=False,
    )
    op.create_table(
        "plan_drop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("template_key", sa.String(length=80), nullable=False),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_plan_drop_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan_drop")),
        sa.UniqueConstraint(
            "tub_id", "template_key", name=op.f("uq_plan_drop_tub_id_template_key")
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Double(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
            name=op.f("fk_reading_person_id_person"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_reading_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_reading_at"), "reading", ["at"], unique=False)
    op.create_index(
        op.f("ix_reading_tub_id_quantity_at"),
        "reading",
        ["tub_id", "quantity", "at"],
        unique=False,
    )
    op.create_table(
        "state_change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_state_change_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_state_change")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(
        op.f("ix_state_change_tub_id_on_date"), "state_change", ["tub_id", "on_date"], unique=False
    )
    op.create_table(
        "stock",
        sa.Column("supply_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("quantity_milli", sa.BigInteger(), nullable=False),
        sa.Column("value_minor", sa.BigInteger(), nullable=False),
        sa.Column("state", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["supply_id"],
            ["supply.id"],
            name=op.f("fk_stock_supply_id_supply"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("supply_id", name=op.f("pk_stock")),
        sqlite_strict=True,
    )


def _care() -> None:
    op.create_table(
        "task",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("category", sa.String(length=40), nullable=False),
        sa.Column("plan", sa.JSON(), nullable=False),
        sa.Column("card", sa.JSON(), nullable=False),
        sa.Column("starts_on", sa.Date(), nullable=False),
        sa.Column("first_due_on", sa.Date(), nullable=True),
        sa.Column("usual_minor", sa.Integer(), nullable=True),
        sa.Column("template_key", sa.String(length=80), nullable=True),
        sa.Column("drawn", sa.JSON(), nullable=True),
        sa.Column("reminds", sa.Boolean(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_task_title_not_empty")),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_task_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_task")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_task_tub_id"), "task", ["tub_id"], unique=False)
    op.create_table(
        "completion",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("task_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=True),
        sa.Column("outcome", sa.String(length=10), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("on_time", sa.Boolean(), nullable=False),
        sa.Column("missed", sa.Integer(), nullable=False),
        sa.Column("anchor_day", sa.Integer(), nullable=True),
        sa.Column("minutes", sa.Integer(), nullable=True),
        sa.Column("result", sa.String(length=20), nullable=True),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.CheckConstraint(
            "outcome IN ('done', 'skipped')", name=op.f("ck_completion_outcome_known")
        ),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
            name=op.f("fk_completion_person_id_person"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["task_id"], ["task.id"], name=op.f("fk_completion_task_id_task"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_completion")),
        sa.UniqueConstraint("task_id", "key", name=op.f("uq_completion_task_id_key")),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index(
        "ix_completion_closing",
        "completion",
        ["task_id", "id"],
        unique=False,
        sqlite_where=sa.text("key IS NOT NULL"),
        postgresql_where=sa.text("key IS NOT NULL"),
    )
    op.create_index(op.f("ix_completion_on_date"), "completion", ["on_date"], unique=False)
    op.create_table(
        "put_off",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("task_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("to_date", sa.Date(), nullable=False),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("reason", sa.String(length=10000), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
            name=op.f("fk_put_off_person_id_person"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["task_id"], ["task.id"], name=op.f("fk_put_off_task_id_task"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_put_off")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_put_off_task_id_key"), "put_off", ["task_id", "key"], unique=False)
    op.create_table(
        "reminder",
        sa.Column("recipient", sa.String(length=100), nullable=False),
        sa.Column("task_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("step", sa.String(length=40), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("owner", sa.String(length=80), nullable=True),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("shown_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["task_id"], ["task.id"], name=op.f("fk_reminder_task_id_task"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("recipient", "task_id", "key", "step", name=op.f("pk_reminder")),
        sqlite_strict=True,
    )
    op.create_index(
        op.f("ix_reminder_state_due_at"), "reminder", ["state", "due_at"], unique=False
    )
    op.create_table(
        "step_tick",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("task_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("step", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
            name=op.f("fk_step_tick_person_id_person"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["task_id"], ["task.id"], name=op.f("fk_step_tick_task_id_task"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step_tick")),
        sa.UniqueConstraint("task_id", "key", "step", name=op.f("uq_step_tick_task_id_key_step")),
        sqlite_strict=True,
    )
    op.create_table(
        "task_supply",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("task_id", sa.Integer(), nullable=False),
        sa.Column("supply_id", sa.Integer(), nullable=False),
        sa.Column("quantity_milli", sa.Integer(), nullable=False),
        sa.CheckConstraint("quantity_milli > 0", name=op.f("ck_task_supply_quantity_positive")),
        sa.ForeignKeyConstraint(
            ["supply_id"],
            ["supply.id"],
            name=op.f("fk_task_supply_supply_id_supply"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["task_id"], ["task.id"], name=op.f("fk_task_supply_task_id_task"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_task_supply")),
        sa.UniqueConstraint("task_id", "supply_id", name=op.f("uq_task_supply_task_id_supply_id")),
        sqlite_strict=True,
    )


def _supplies_and_money() -> None:
    op.create_table(
        "dose",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("supply_id", sa.Integer(), nullable=True),
        sa.Column("product", sa.String(length=100), nullable=False),
        sa.Column("amount", sa.Double(), nullable=False),
        sa.Column("unit", sa.String(length=10), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("wait_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("completion_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.CheckConstraint("amount > 0", name=op.f("ck_dose_amount_positive")),
        sa.ForeignKeyConstraint(
            ["completion_id"],
            ["completion.id"],
            name=op.f("fk_dose_completion_id_completion"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
            name=op.f("fk_dose_person_id_person"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["supply_id"],
            ["supply.id"],
            name=op.f("fk_dose_supply_id_supply"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_dose_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_dose")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_dose_tub_id_at"), "dose", ["tub_id", "at"], unique=False)
    op.create_table(
        "fill",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("litres", sa.Double(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("completion_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.CheckConstraint("litres > 0", name=op.f("ck_fill_litres_positive")),
        sa.ForeignKeyConstraint(
            ["completion_id"],
            ["completion.id"],
            name=op.f("fk_fill_completion_id_completion"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_fill_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fill")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_fill_tub_id_on_date"), "fill", ["tub_id", "on_date"], unique=False)
    op.create_table(
        "stock_use",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("supply_id", sa.Integer(), nullable=False),
        sa.Column("quantity_milli", sa.BigInteger(), nullable=False),
        sa.Column("counted_milli", sa.BigInteger(), nullable=True),
        sa.Column("tub_id", sa.Integer(), nullable=True),
        sa.Column("task_id", sa.Integer(), nullable=True),
        sa.Column("completion_id", sa.Integer(), nullable=True),
        sa.Column("cost_minor", sa.BigInteger(), nullable=False),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.ForeignKeyConstraint(
            ["completion_id"],
            ["completion.id"],
            name=op.f("fk_stock_use_completion_id_completion"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["supply_id"],
            ["supply.id"],
            name=op.f("fk_stock_use_supply_id_supply"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["task_id"], ["task.id"], name=op.f("fk_stock_use_task_id_task"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_stock_use_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_use")),
        sqlite_strict=True,
    )
    op.create_index(
        op.f("ix_stock_use_completion_id"), "stock_use", ["completion_id"], unique=False
    )
    op.create_index(op.f("ix_stock_use_on_date"), "stock_use", ["on_date"], unique=False)
    op.create_index(
        op.f("ix_stock_use_supply_id_on_date"), "stock_use", ["supply_id", "on_date"], unique=False
    )
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("category", sa.String(length=20), nullable=False),
        sa.Column("minor", sa.BigInteger(), nullable=False),
        sa.Column("tub_id", sa.Integer(), nullable=True),
        sa.Column("task_id", sa.Integer(), nullable=True),
        sa.Column("completion_id", sa.Integer(), nullable=True),
        sa.Column("supply_id", sa.Integer(), nullable=True),
        sa.Column("quantity_milli", sa.BigInteger(), nullable=True),
        sa.Column("refund_of", sa.Integer(), nullable=True),
        sa.Column("meter_reading_id", sa.Integer(), nullable=True),
        sa.Column("fill_id", sa.Integer(), nullable=True),
        sa.Column("from_date", sa.Date(), nullable=True),
        sa.Column("months", sa.Integer(), nullable=True),
        sa.Column("salvage_minor", sa.BigInteger(), nullable=True),
        sa.Column("ended_on", sa.Date(), nullable=True),
        sa.Column("cost_minor", sa.BigInteger(), nullable=False),
        sa.Column("payee", sa.String(length=100), nullable=False),
        sa.Column("note", sa.String(length=10000), nullable=False),
        sa.CheckConstraint("minor <> 0", name=op.f("ck_entry_minor_not_zero")),
        sa.ForeignKeyConstraint(
            ["completion_id"],
            ["completion.id"],
            name=op.f("fk_entry_completion_id_completion"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["fill_id"], ["fill.id"], name=op.f("fk_entry_fill_id_fill"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["meter_reading_id"],
            ["meter_reading.id"],
            name=op.f("fk_entry_meter_reading_id_meter_reading"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["refund_of"], ["entry.id"], name=op.f("fk_entry_refund_of_entry"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["supply_id"],
            ["supply.id"],
            name=op.f("fk_entry_supply_id_supply"),
            ondelete="RESTRICT",
        ),
        sa.ForeignKeyConstraint(
            ["task_id"], ["task.id"], name=op.f("fk_entry_task_id_task"), ondelete="RESTRICT"
        ),
        sa.ForeignKeyConstraint(
            ["tub_id"], ["tub.id"], name=op.f("fk_entry_tub_id_tub"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entry")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_entry_kind_on_date"), "entry", ["kind", "on_date"], unique=False)
    op.create_index(op.f("ix_entry_on_date"), "entry", ["on_date"], unique=False)
    op.create_index(op.f("ix_entry_refund_of"), "entry", ["refund_of"], unique=False)
    op.create_index(
        op.f("ix_entry_supply_id_on_date"), "entry", ["supply_id", "on_date"], unique=False
    )
