"""Upkeep: tasks and what was done, put off and skipped."""

from __future__ import annotations

from datetime import date, datetime  # noqa: TC003  SQLAlchemy reads the annotation at run time
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from tubcare.store.tables.base import Base, Instant, partial_index


class StateChangeRow(Base):
    """A tub entered a state on a day; opening and closing of a season are such changes.

    Never reuses an id: occurrence keys name it.
    """

    __tablename__ = "state_change"
    __table_args__ = (
        Index(None, "tub_id", "on_date"),
        {"sqlite_strict": True, "sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    on_date: Mapped[date]
    state: Mapped[str] = mapped_column(String(20))
    note: Mapped[str] = mapped_column(String(10_000), default="")


class TaskRow(Base):
    """A piece of upkeep as planned. Never reuses an id: occurrence keys name it."""

    __tablename__ = "task"
    __table_args__ = (
        CheckConstraint("length(title) > 0", name="title_not_empty"),
        Index(None, "tub_id"),
        {"sqlite_strict": True, "sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    title: Mapped[str] = mapped_column(String(200))
    category: Mapped[str] = mapped_column(String(40))
    plan: Mapped[dict[str, Any]]
    card: Mapped[dict[str, Any]]
    starts_on: Mapped[date]
    first_due_on: Mapped[date | None]
    usual_minor: Mapped[int | None]
    template_key: Mapped[str | None] = mapped_column(String(80))
    drawn: Mapped[dict[str, Any] | None]
    reminds: Mapped[bool] = mapped_column(default=True)
    active: Mapped[bool] = mapped_column(default=True)
    revision: Mapped[int] = mapped_column(default=1)


class TaskSupplyRow(Base):
    """What a task usually uses up."""

    __tablename__ = "task_supply"
    __table_args__ = (
        UniqueConstraint("task_id", "supply_id"),
        CheckConstraint("quantity_milli > 0", name="quantity_positive"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    task_id: Mapped[int] = mapped_column(ForeignKey("task.id", ondelete="RESTRICT"))
    supply_id: Mapped[int] = mapped_column(ForeignKey("supply.id", ondelete="RESTRICT"))
    quantity_milli: Mapped[int]


class PlanDropRow(Base):
    """A template that the person dropped from a tub's plan."""

    __tablename__ = "plan_drop"
    __table_args__ = (UniqueConstraint("tub_id", "template_key"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    template_key: Mapped[str] = mapped_column(String(80))


class CompletionRow(Base):
    """A task was done or skipped; `key` names the occurrence that it closed, extra work has none.

    UNIQUE(task, key) is what makes one occurrence close once. Never reuses an id: keys name it.
    """

    __tablename__ = "completion"
    __table_args__ = (
        UniqueConstraint("task_id", "key"),
        CheckConstraint("outcome IN ('done', 'skipped')", name="outcome_known"),
        Index(None, "on_date"),
        # The newest closing of a task in one step, however long its history.
        partial_index("ix_completion_closing", "task_id", "id", where="key IS NOT NULL"),
        {"sqlite_strict": True, "sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    task_id: Mapped[int] = mapped_column(ForeignKey("task.id", ondelete="RESTRICT"))
    key: Mapped[str | None] = mapped_column(String(80))
    outcome: Mapped[str] = mapped_column(String(10))
    on_date: Mapped[date]
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="RESTRICT"))
    due_on: Mapped[date | None]
    on_time: Mapped[bool] = mapped_column(default=True)
    missed: Mapped[int] = mapped_column(default=0)
    anchor_day: Mapped[int | None]
    minutes: Mapped[int | None]
    result: Mapped[str | None] = mapped_column(String(20))
    note: Mapped[str] = mapped_column(String(10_000), default="")


class StepTickRow(Base):
    """One step of an occurrence was done; long procedures are ticked over several days."""

    __tablename__ = "step_tick"
    __table_args__ = (UniqueConstraint("task_id", "key", "step"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    task_id: Mapped[int] = mapped_column(ForeignKey("task.id", ondelete="RESTRICT"))
    key: Mapped[str] = mapped_column(String(80))
    step: Mapped[int]
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="RESTRICT"))


class PutOffRow(Base):
    """An occurrence was moved to another date; the newest one for its key counts."""

    __tablename__ = "put_off"
    __table_args__ = (Index(None, "task_id", "key"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    task_id: Mapped[int] = mapped_column(ForeignKey("task.id", ondelete="RESTRICT"))
    key: Mapped[str] = mapped_column(String(80))
    to_date: Mapped[date]
    made_on: Mapped[date]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="RESTRICT"))
    reason: Mapped[str] = mapped_column(String(10_000), default="")
