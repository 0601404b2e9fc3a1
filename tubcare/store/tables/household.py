"""Who and what: settings, people, tubs."""

from __future__ import annotations

from datetime import date  # noqa: TC003  SQLAlchemy reads the annotation at run time
from typing import Any

from sqlalchemy import CheckConstraint, String
from sqlalchemy.orm import Mapped, mapped_column

from tubcare.store.tables.base import Base


class SettingRow(Base):
    """One setting of the logbook: currency, home zone, units, prices."""

    __tablename__ = "setting"
    __table_args__ = ({"sqlite_strict": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(60), unique=True)
    value: Mapped[str] = mapped_column(String(500))


class PersonRow(Base):
    """Someone who keeps or uses the tub, with the hours in which reminders may reach them."""

    __tablename__ = "person"
    __table_args__ = (
        CheckConstraint("length(name) > 0", name="name_not_empty"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(100), unique=True)
    active: Mapped[bool] = mapped_column(default=True)
    digest_minute: Mapped[int] = mapped_column(default=8 * 60)
    quiet_from_minute: Mapped[int] = mapped_column(default=21 * 60)
    quiet_to_minute: Mapped[int] = mapped_column(default=7 * 60)
    weekends: Mapped[str] = mapped_column(String(20), default="as_usual")


class TubRow(Base):
    """One body of water with all that stands around it."""

    __tablename__ = "tub"
    __table_args__ = (
        CheckConstraint("length(name) > 0", name="name_not_empty"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(100), unique=True)
    zone: Mapped[str] = mapped_column(String(60))
    profile: Mapped[dict[str, Any]]
    added_on: Mapped[date]
