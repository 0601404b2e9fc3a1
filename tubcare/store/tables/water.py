"""What the water's plan stands on: labels, scoops, fill waters, ranges, kits, steps done."""

from __future__ import annotations

from datetime import date, datetime  # noqa: TC003  SQLAlchemy reads the annotation at run time
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from tubcare.store.tables.base import Base, Instant


class WaterProductRow(Base):
    """What the label of a supply says: the compound in it and its strength."""

    __tablename__ = "water_product"
    __table_args__ = (
        CheckConstraint("strength > 0", name="strength_positive"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    supply_id: Mapped[int] = mapped_column(
        ForeignKey("supply.id", ondelete="RESTRICT"), unique=True
    )
    compound: Mapped[str] = mapped_column(String(40))
    strength_kind: Mapped[str] = mapped_column(String(40))
    strength: Mapped[float]
    form: Mapped[str] = mapped_column(String(10))
    density_kg_l: Mapped[float] = mapped_column(default=1.0)
    salt_per_chlorine: Mapped[float] = mapped_column(default=0.0)
    filled_on: Mapped[date | None]
    storage_c: Mapped[float] = mapped_column(default=15.0)


class WaterMeasureRow(Base):
    """A scoop, spoon, syringe or cup that the person owns."""

    __tablename__ = "water_measure"
    __table_args__ = (
        CheckConstraint("length(name) > 0", name="name_not_empty"),
        CheckConstraint("capacity_ml > 0", name="capacity_positive"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(100), unique=True)
    capacity_ml: Mapped[float]
    divisions: Mapped[int] = mapped_column(default=2)
    for_form: Mapped[str | None] = mapped_column(String(10))


class WaterSourceRow(Base):
    """Fill water of one source (tap, well, rain) with its stored test, by field name."""

    __tablename__ = "water_source"
    __table_args__ = (
        CheckConstraint("length(name) > 0", name="name_not_empty"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(100), unique=True)
    tested_on: Mapped[date]
    test: Mapped[dict[str, Any]]


class WaterRangeRow(Base):
    """A range that a person changed for one tub; None leaves that end open."""

    __tablename__ = "water_range"
    __table_args__ = (UniqueConstraint("tub_id", "quantity"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    quantity: Mapped[str] = mapped_column(String(40))
    low: Mapped[float | None]
    aim: Mapped[float | None]
    high: Mapped[float | None]
    changed_on: Mapped[date]


class WaterKitRow(Base):
    """What a tub's test kit shows and in which units, and the fill water it usually gets."""

    __tablename__ = "water_kit"
    __table_args__ = ({"sqlite_strict": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"), unique=True)
    source_id: Mapped[int | None] = mapped_column(
        ForeignKey("water_source.id", ondelete="RESTRICT")
    )
    kit: Mapped[dict[str, Any]]


class WaterStepRow(Base):
    """A step of the dosing plan that was done; the plan is named by the test it stands on.

    `ready_at` ends the wait before the next step; until `wait_until` a reading would mislead.
    """

    __tablename__ = "water_step"
    __table_args__ = (UniqueConstraint("tub_id", "test_at", "step"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    test_at: Mapped[datetime] = mapped_column(Instant)
    step: Mapped[int]
    kind: Mapped[str] = mapped_column(String(20))
    at: Mapped[datetime] = mapped_column(Instant)
    ready_at: Mapped[datetime] = mapped_column(Instant)
    wait_until: Mapped[datetime] = mapped_column(Instant)
    dose_id: Mapped[int | None] = mapped_column(ForeignKey("dose.id", ondelete="RESTRICT"))
    fill_id: Mapped[int | None] = mapped_column(ForeignKey("fill.id", ondelete="RESTRICT"))
