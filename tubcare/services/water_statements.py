"""What is asked of the logbook to know how the water of one tub stands.

The statements are built once: building one costs several times its run. All take the id of the
tub as `of`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from sqlalchemy import bindparam, exists, func, select

from tubcare.care.model import Category, Outcome
from tubcare.store.tables import (
    CompletionRow,
    DipRow,
    DoseRow,
    FillRow,
    ReadingRow,
    StateChangeRow,
    TaskRow,
    TubRow,
    WaterKitRow,
    WaterRangeRow,
    WaterSourceRow,
    WaterStepRow,
)
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import BindParameter

# The tasks of the care plan whose tick means that the water was changed.
_CHANGES: Final = ("water.change", "water.change_often")

_OF: BindParameter[int] = bindparam("of")
_SINCE: BindParameter[datetime] = bindparam("since")
_UNTIL: BindParameter[datetime] = bindparam("until")
_TUB, _TASK, _DONE = table_of(TubRow), table_of(TaskRow), table_of(CompletionRow)
_READING, _DOSE, _STEP = table_of(ReadingRow), table_of(DoseRow), table_of(WaterStepRow)
_FILL, _DIP, _STATE = table_of(FillRow), table_of(DipRow), table_of(StateChangeRow)
_KIT, _SOURCE, _RANGE = table_of(WaterKitRow), table_of(WaterSourceRow), table_of(WaterRangeRow)

PROFILE = select(_TUB.c.profile).where(_TUB.c.id == _OF)
EDITED_RANGES = select(_RANGE).where(_RANGE.c.tub_id == _OF)
CHOSEN_FILL = (
    select(_SOURCE.c.test).join(_KIT, _KIT.c.source_id == _SOURCE.c.id).where(_KIT.c.tub_id == _OF)
)
FILLS = select(_SOURCE.c.test)

_READ = (_READING.c.tub_id == _OF, _READING.c.at >= _SINCE, _READING.c.at <= _UNTIL)
SAMPLES = (
    select(
        _READING.c.quantity,
        _READING.c.value,
        _READING.c.low,
        _READING.c.high,
        _READING.c.at,
        _READING.c.on_date,
        _READING.c.note,
    )
    .where(*_READ)
    .order_by(_READING.c.at, _READING.c.id)
)
_RANKED = (
    select(
        _READING.c.quantity,
        _READING.c.value,
        _READING.c.low,
        _READING.c.high,
        _READING.c.at,
        func.row_number()
        .over(
            partition_by=_READING.c.quantity,
            order_by=(_READING.c.at.desc(), _READING.c.id.desc()),
        )
        .label("place"),
    )
    .where(*_READ)
    .subquery()
)
NEWEST = select(
    _RANKED.c.quantity, _RANKED.c.value, _RANKED.c.low, _RANKED.c.high, _RANKED.c.at
).where(_RANKED.c.place == 1)

WAITS = tuple(
    select(func.max(table.c.wait_until)).where(
        table.c.tub_id == _OF, table.c.at <= _UNTIL, table.c.wait_until > _UNTIL
    )
    for table in (_DOSE, _STEP)
)

FILLED = select(func.max(_FILL.c.at)).where(
    _FILL.c.tub_id == _OF,
    _FILL.c.at <= _UNTIL,
    _FILL.c.kind != "top_up",
    _FILL.c.litres >= bindparam("litres"),
)
# The plan that a change is a step of still stands on the test before it.
FILLED_APART = FILLED.where(~exists().where(_STEP.c.fill_id == _FILL.c.id))
CHANGED = (
    select(func.max(_DONE.c.at))
    .join(_TASK, _TASK.c.id == _DONE.c.task_id)
    .where(
        _TASK.c.tub_id == _OF,
        _TASK.c.template_key.in_(_CHANGES),
        _DONE.c.outcome == Outcome.DONE.value,
        _DONE.c.at <= _UNTIL,
    )
)
DOSED = select(_DOSE.c.supply_id, _DOSE.c.amount, _DOSE.c.at).where(
    _DOSE.c.tub_id == _OF, _DOSE.c.at > _SINCE, _DOSE.c.at < _UNTIL
)
FRESHENED = select(_FILL.c.litres, _FILL.c.at).where(
    _FILL.c.tub_id == _OF, _FILL.c.at > _SINCE, _FILL.c.at < _UNTIL
)
REFILLED = select(func.coalesce(func.sum(_FILL.c.litres), 0.0)).where(
    _FILL.c.tub_id == _OF, _FILL.c.at <= _UNTIL
)
REFILLED_SINCE = REFILLED.where(_FILL.c.at > _SINCE)
TOPPED_UP = select(func.coalesce(func.sum(_FILL.c.litres), 0.0), func.max(_FILL.c.at)).where(
    _FILL.c.tub_id == _OF,
    _FILL.c.kind == "top_up",
    _FILL.c.at > _SINCE,
    _FILL.c.at <= _UNTIL,
)
DIPS = select(func.coalesce(func.sum(_DIP.c.dips), 0), func.max(_DIP.c.at)).where(
    _DIP.c.tub_id == _OF, _DIP.c.at <= _UNTIL
)
DIPS_SINCE = DIPS.where(_DIP.c.at > _SINCE)

LINER_SEEN = (
    select(func.max(_DONE.c.on_date))
    .join(_TASK, _TASK.c.id == _DONE.c.task_id)
    .where(
        _TASK.c.tub_id == _OF,
        _TASK.c.category == Category.LINER.value,
        _DONE.c.outcome == Outcome.DONE.value,
    )
)
STATES = (
    select(_STATE.c.on_date, _STATE.c.state)
    .where(_STATE.c.tub_id == _OF)
    .order_by(_STATE.c.on_date, _STATE.c.id)
)
# The last that changed the water by hand: a dose, or fresh water.
TOUCHED = tuple(
    select(func.max(table.c.at)).where(table.c.tub_id == _OF, table.c.at <= _UNTIL)
    for table in (_DOSE, _FILL)
)
