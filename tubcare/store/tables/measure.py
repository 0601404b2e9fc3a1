"""What was measured and done with the water: readings, doses, dips, meters, fills."""

from __future__ import annotations

from datetime import date, datetime  # noqa: TC003  SQLAlchemy reads the annotation at run time

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from tubcare.store.tables.base import Base, Instant


class ReadingRow(Base):
    """One measured value; values taken together share their instant.

    `low` and `high` hold the band where a strip was matched to a colour; `value` is its middle.
    """

    __tablename__ = "reading"
    __table_args__ = (
        Index(None, "tub_id", "quantity", "at"),
        Index(None, "at"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    quantity: Mapped[str] = mapped_column(String(40))
    value: Mapped[float]
    on_date: Mapped[date]
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="RESTRICT"))
    note: Mapped[str] = mapped_column(String(10_000), default="")
    low: Mapped[float | None]
    high: Mapped[float | None]


class DoseRow(Base):
    """A chemical was added; until `wait_until` a new reading would mislead."""

    __tablename__ = "dose"
    __table_args__ = (
        Index(None, "tub_id", "at"),
        CheckConstraint("amount > 0", name="amount_positive"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    supply_id: Mapped[int | None] = mapped_column(ForeignKey("supply.id", ondelete="RESTRICT"))
    product: Mapped[str] = mapped_column(String(100))
    amount: Mapped[float]
    unit: Mapped[str] = mapped_column(String(10))
    on_date: Mapped[date]
    at: Mapped[datetime] = mapped_column(Instant)
    wait_until: Mapped[datetime | None] = mapped_column(Instant)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="RESTRICT"))
    completion_id: Mapped[int | None] = mapped_column(
        ForeignKey("completion.id", ondelete="RESTRICT")
    )
    note: Mapped[str] = mapped_column(String(10_000), default="")


class DipRow(Base):
    """Stays in the water: one person's, or a plain count."""

    __tablename__ = "dip"
    __table_args__ = (
        Index(None, "tub_id", "at"),
        Index(None, "on_date"),
        CheckConstraint("dips > 0", name="dips_positive"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    on_date: Mapped[date]
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="RESTRICT"))
    dips: Mapped[int] = mapped_column(default=1)
    minutes: Mapped[float | None]
    water_c: Mapped[float | None]
    note: Mapped[str] = mapped_column(String(10_000), default="")


class MeterReadingRow(Base):
    """What a meter or hour counter showed; `new_meter` marks the first value of a new one."""

    __tablename__ = "meter_reading"
    __table_args__ = (Index(None, "tub_id", "counter", "at"), {"sqlite_strict": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    counter: Mapped[str] = mapped_column(String(20))
    value_milli: Mapped[int] = mapped_column(BigInteger)
    new_meter: Mapped[bool] = mapped_column(default=False)
    on_date: Mapped[date]
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="RESTRICT"))
    note: Mapped[str] = mapped_column(String(10_000), default="")


class FillRow(Base):
    """Fresh water went in: a fill, a change or a top-up."""

    __tablename__ = "fill"
    __table_args__ = (
        Index(None, "tub_id", "on_date"),
        CheckConstraint("litres > 0", name="litres_positive"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    tub_id: Mapped[int] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    on_date: Mapped[date]
    at: Mapped[datetime] = mapped_column(Instant)
    litres: Mapped[float]
    kind: Mapped[str] = mapped_column(String(20), default="change")
    completion_id: Mapped[int | None] = mapped_column(
        ForeignKey("completion.id", ondelete="RESTRICT")
    )
    note: Mapped[str] = mapped_column(String(10_000), default="")
