"""What happened to the logbook itself: actions that can be undone, reminders that were shown."""

from __future__ import annotations

from datetime import datetime  # noqa: TC003  SQLAlchemy reads the annotation at run time
from typing import Any

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from tubcare.store.tables.base import Base, Instant


class ActionRow(Base):
    """One use case that changed facts, with the images that take it back. Ids are never reused."""

    __tablename__ = "action"
    __table_args__ = (
        Index(None, "actor", "id"),
        {"sqlite_strict": True, "sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    actor: Mapped[str] = mapped_column(String(100))
    at: Mapped[datetime] = mapped_column(Instant)
    label: Mapped[str] = mapped_column(String(40))
    subject: Mapped[str] = mapped_column(String(200))
    changes: Mapped[list[Any]]
    undone: Mapped[bool] = mapped_column(default=False)


class ReminderRow(Base):
    """A reminder for one person about one step of one occurrence: claimed, shown, acted on."""

    __tablename__ = "reminder"
    __table_args__ = (
        Index(None, "state", "due_at"),
        {"sqlite_strict": True},
    )

    recipient: Mapped[str] = mapped_column(String(100), primary_key=True)
    task_id: Mapped[int] = mapped_column(
        ForeignKey("task.id", ondelete="CASCADE"), primary_key=True, autoincrement=False
    )
    key: Mapped[str] = mapped_column(String(80), primary_key=True)
    step: Mapped[str] = mapped_column(String(40), primary_key=True)
    due_at: Mapped[datetime] = mapped_column(Instant)
    state: Mapped[str] = mapped_column(String(12))
    owner: Mapped[str | None] = mapped_column(String(80))
    lease_until: Mapped[datetime | None] = mapped_column(Instant)
    shown_at: Mapped[datetime | None] = mapped_column(Instant)
