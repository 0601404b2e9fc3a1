"""What the power and frost of a tub are worked out from: weather, choices, build and tariff."""

from __future__ import annotations

from datetime import date, datetime  # noqa: TC003  SQLAlchemy reads the annotation at run time
from typing import Any

from sqlalchemy import ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from tubcare.store.tables.base import Base, Instant


class WeatherRow(Base):
    """Weather that a person imported or typed in, for one use; a new one takes its place."""

    __tablename__ = "weather"
    __table_args__ = (UniqueConstraint("tub_id", "purpose"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    purpose: Mapped[str] = mapped_column(String(10))
    kind: Mapped[str] = mapped_column(String(20))
    source: Mapped[str] = mapped_column(String(200))
    first_on: Mapped[date]
    last_on: Mapped[date]
    content: Mapped[dict[str, Any]]
    added_at: Mapped[datetime] = mapped_column(Instant)


class FrostPlanRow(Base):
    """What a person chose about frost, and the dates that followed from it."""

    __tablename__ = "frost_plan"
    __table_args__ = (UniqueConstraint("tub_id"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    choices: Mapped[dict[str, Any]]
    dates: Mapped[list[Any]]


class PowerPlanRow(Base):
    """The build, tariff and drift test of a tub, and its usual hours by month."""

    __tablename__ = "power_plan"
    __table_args__ = (UniqueConstraint("tub_id"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    build: Mapped[dict[str, Any]]
    tariff: Mapped[dict[str, Any]]
    drift: Mapped[dict[str, Any]]
    usual: Mapped[dict[str, Any]]
