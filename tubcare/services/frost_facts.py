"""The frost dates of each tub as they stand in the logbook: small, so that any list may read them.

They are worked out when weather or choices change, and written in the same transaction.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.facts import FrostDates
from tubcare.store.tables import FrostPlanRow
from tubcare.store.unit import table_of
from tubcare.values import MonthDay, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from sqlalchemy import Connection


def frost_of_tubs(connection: Connection) -> dict[TubId, tuple[FrostDates, ...]]:
    """Return the frost dates of each tub that has some, the chosen risks first."""
    table = table_of(FrostPlanRow)
    rows = connection.execute(select(table.c.tub_id, table.c.choices, table.c.dates)).all()
    return {TubId(row.tub_id): frost_dates(row.choices, row.dates) for row in rows}


def frost_dates(
    choices: Mapping[str, Any], dates: Sequence[Mapping[str, Any]]
) -> tuple[FrostDates, ...]:
    """Return kept frost dates as season triggers read them.

    The two chosen dates may have different risks, so each stands first for its own edge.
    """
    ladder = [
        FrostDates(
            watch_from=_month_day(each["watch_from"]),
            dry_by=_month_day(each["dry_by"]),
            risk_percent=each["risk_percent"],
        )
        for each in dates
    ]
    chosen = [
        FrostDates(watch_from=each.watch_from, dry_by=None, risk_percent=each.risk_percent)
        for each in ladder
        if each.risk_percent in {None, choices.get("watch_risk_percent")}
    ]
    chosen += [
        FrostDates(watch_from=None, dry_by=each.dry_by, risk_percent=each.risk_percent)
        for each in ladder
        if each.risk_percent in {None, choices.get("dry_risk_percent")}
    ]
    return (*chosen, *ladder)


def _month_day(pair: Sequence[int] | None) -> MonthDay | None:
    return None if pair is None else MonthDay(month=pair[0], day=pair[1])
