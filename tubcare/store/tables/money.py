"""Money and stock. Amounts are integer minor units of the logbook's currency."""

from __future__ import annotations

from datetime import date  # noqa: TC003  SQLAlchemy reads the annotation at run time
from typing import Any

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from tubcare.store.tables.base import Base


class SupplyRow(Base):
    """Something stocked: filter cartridge, granules, test strips, wood oil."""

    __tablename__ = "supply"
    __table_args__ = (
        CheckConstraint("length(name) > 0", name="name_not_empty"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(100), unique=True)
    unit: Mapped[str] = mapped_column(String(20))
    category: Mapped[str] = mapped_column(String(20))
    low_milli: Mapped[int | None] = mapped_column(BigInteger)
    active: Mapped[bool] = mapped_column(default=True)


class EntryRow(Base):
    """One amount that left the wallet, or came back to it (negative).

    Some kinds carry more: `stock` a quantity and perhaps a last day, `refund` of stock a
    quantity, `power` the day of the reading before, `build` its life in months, its rest value
    and the day on which its use ended.
    `cost_minor` is a cache: what a refund of stock cost beyond the money that came back.
    """

    __tablename__ = "entry"
    __table_args__ = (
        Index(None, "on_date"),
        Index(None, "kind", "on_date"),
        Index(None, "supply_id", "on_date"),
        Index(None, "refund_of"),
        CheckConstraint("minor <> 0", name="minor_not_zero"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    on_date: Mapped[date]
    kind: Mapped[str] = mapped_column(String(10))
    category: Mapped[str] = mapped_column(String(20))
    minor: Mapped[int] = mapped_column(BigInteger)
    tub_id: Mapped[int | None] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    task_id: Mapped[int | None] = mapped_column(ForeignKey("task.id", ondelete="RESTRICT"))
    completion_id: Mapped[int | None] = mapped_column(
        ForeignKey("completion.id", ondelete="RESTRICT")
    )
    supply_id: Mapped[int | None] = mapped_column(ForeignKey("supply.id", ondelete="RESTRICT"))
    quantity_milli: Mapped[int | None] = mapped_column(BigInteger)
    refund_of: Mapped[int | None] = mapped_column(ForeignKey("entry.id", ondelete="RESTRICT"))
    meter_reading_id: Mapped[int | None] = mapped_column(
        ForeignKey("meter_reading.id", ondelete="RESTRICT")
    )
    fill_id: Mapped[int | None] = mapped_column(ForeignKey("fill.id", ondelete="RESTRICT"))
    from_date: Mapped[date | None]
    months: Mapped[int | None]
    salvage_minor: Mapped[int | None] = mapped_column(BigInteger)
    ended_on: Mapped[date | None]
    cost_minor: Mapped[int] = mapped_column(BigInteger, default=0)
    payee: Mapped[str] = mapped_column(String(100), default="")
    note: Mapped[str] = mapped_column(String(10_000), default="")
    expires_on: Mapped[date | None]


class UseRow(Base):
    """Stock left the shelf: used up, found missing at a stock-take, or expired.

    `cost_minor` is a cache of the moving-average valuation, rebuilt from the facts by a replay.
    A stock-take says in `counted_milli` what was on the shelf; its `quantity_milli` is the
    difference. `dose_id` names the dose that it went into the water with.
    """

    __tablename__ = "stock_use"
    __table_args__ = (
        Index(None, "supply_id", "on_date"),
        Index(None, "on_date"),
        Index(None, "completion_id"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    on_date: Mapped[date]
    kind: Mapped[str] = mapped_column(String(10))
    supply_id: Mapped[int] = mapped_column(ForeignKey("supply.id", ondelete="RESTRICT"))
    quantity_milli: Mapped[int] = mapped_column(BigInteger)
    counted_milli: Mapped[int | None] = mapped_column(BigInteger)
    tub_id: Mapped[int | None] = mapped_column(ForeignKey("tub.id", ondelete="RESTRICT"))
    task_id: Mapped[int | None] = mapped_column(ForeignKey("task.id", ondelete="RESTRICT"))
    completion_id: Mapped[int | None] = mapped_column(
        ForeignKey("completion.id", ondelete="RESTRICT")
    )
    cost_minor: Mapped[int] = mapped_column(BigInteger, default=0)
    note: Mapped[str] = mapped_column(String(10_000), default="")
    dose_id: Mapped[int | None] = mapped_column(ForeignKey("dose.id", ondelete="RESTRICT"))


class BudgetRow(Base):
    """What a category may cost in a year."""

    __tablename__ = "budget"
    __table_args__ = (
        UniqueConstraint("year", "category"),
        CheckConstraint("minor >= 0", name="minor_not_negative"),
        {"sqlite_strict": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    year: Mapped[int]
    category: Mapped[str] = mapped_column(String(20))
    minor: Mapped[int] = mapped_column(BigInteger)


class MonthTotalRow(Base):
    """Cache: what each month cost, rebuildable from the facts. An id of 0 means none."""

    __tablename__ = "month_total"
    __table_args__ = ({"sqlite_strict": True},)

    view: Mapped[str] = mapped_column(String(4), primary_key=True)
    month: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    category: Mapped[str] = mapped_column(String(20), primary_key=True)
    task_id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    tub_id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    minor: Mapped[int] = mapped_column(BigInteger)
    entries: Mapped[int]


class StockRow(Base):
    """Cache: what lies on the shelf after a supply's last fact, rebuildable from the facts."""

    __tablename__ = "stock"
    __table_args__ = ({"sqlite_strict": True},)

    supply_id: Mapped[int] = mapped_column(
        ForeignKey("supply.id", ondelete="CASCADE"), primary_key=True, autoincrement=False
    )
    quantity_milli: Mapped[int] = mapped_column(BigInteger)
    value_minor: Mapped[int] = mapped_column(BigInteger)
    state: Mapped[dict[str, Any]]
