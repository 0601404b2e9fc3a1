"""What is asked of the logbook to know what is due.

The statements are built once: building one costs several times its run. Those about one task or
one tub take its id as `of`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import bindparam, exists, func, select, union_all

from tubcare.store.tables import (
    CompletionRow,
    DoseRow,
    FillRow,
    PutOffRow,
    ReadingRow,
    StateChangeRow,
    TaskRow,
    TubRow,
    WaterStepRow,
)
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import BindParameter

_OF: BindParameter[int] = bindparam("of")
_TASK, _TUB, _DONE = table_of(TaskRow), table_of(TubRow), table_of(CompletionRow)
_MOVE, _STATE, _READING = table_of(PutOffRow), table_of(StateChangeRow), table_of(ReadingRow)
_DOSE, _WATER_STEP, _INNER = table_of(DoseRow), table_of(WaterStepRow), _DONE.alias()
_FILL = table_of(FillRow)
TASKS = (
    select(
        _TASK.c.id,
        _TASK.c.tub_id,
        _TASK.c.title,
        _TASK.c.category,
        _TASK.c.plan,
        _TASK.c.starts_on,
        _TASK.c.first_due_on,
        _TASK.c.usual_minor,
        _TASK.c.reminds,
    )
    .where(_TASK.c.active)
    .order_by(_TASK.c.id)
)
ONE_TASK = TASKS.where(_TASK.c.id == _OF)
TUBS = select(_TUB).order_by(_TUB.c.id)
ONE_TUB = TUBS.where(_TUB.c.id == _OF)
_CLOSING = (
    _DONE.c.id,
    _DONE.c.task_id,
    _DONE.c.key,
    _DONE.c.outcome,
    _DONE.c.on_date,
    _DONE.c.at,
    _DONE.c.due_on,
    _DONE.c.result,
    _DONE.c.anchor_day,
)
# One step for each task along the partial index, however many completions there are.
CLOSINGS = (
    select(*_CLOSING)
    .select_from(_TASK)
    .join(
        _DONE,
        _DONE.c.id
        == select(_INNER.c.id)
        .where(_INNER.c.task_id == _TASK.c.id, _INNER.c.key.is_not(None))
        .order_by(_INNER.c.id.desc())
        .limit(1)
        .correlate(_TASK)
        .scalar_subquery(),
    )
    .where(_TASK.c.active)
)
ONE_CLOSING = (
    select(*_CLOSING)
    .where(_DONE.c.task_id == _OF, _DONE.c.key.is_not(None))
    .order_by(_DONE.c.id.desc())
    .limit(1)
)
EARLIER_CLOSING = ONE_CLOSING.where(_DONE.c.id < bindparam("before"))
_ALL_MOVES = select(_MOVE.c.task_id, _MOVE.c.key, _MOVE.c.to_date, _MOVE.c.made_on).order_by(
    _MOVE.c.id
)
MOVES = _ALL_MOVES.where(
    ~exists().where(_DONE.c.task_id == _MOVE.c.task_id, _DONE.c.key == _MOVE.c.key)
)
ONE_TASKS_MOVES = _ALL_MOVES.where(_MOVE.c.task_id == _OF)
STATES = select(_STATE.c.id, _STATE.c.tub_id, _STATE.c.on_date, _STATE.c.state).order_by(
    _STATE.c.on_date, _STATE.c.id
)
ONE_TUBS_STATES = STATES.where(_STATE.c.tub_id == _OF)
# The newest of each quantity: the others stay in the database, which is quicker at it.
_RANKED = (
    select(
        _READING.c.tub_id,
        _READING.c.quantity,
        _READING.c.value,
        _READING.c.low,
        _READING.c.high,
        _READING.c.on_date,
        _READING.c.at,
        func.row_number()
        .over(
            partition_by=(_READING.c.tub_id, _READING.c.quantity),
            order_by=(_READING.c.at.desc(), _READING.c.id.desc()),
        )
        .label("place"),
    )
    .where(_READING.c.at >= bindparam("since"))
    .subquery()
)
READINGS = select(
    _RANKED.c.tub_id,
    _RANKED.c.quantity,
    _RANKED.c.value,
    _RANKED.c.low,
    _RANKED.c.high,
    _RANKED.c.on_date,
    _RANKED.c.at,
).where(_RANKED.c.place == 1)
ONE_TUBS_READINGS = READINGS.where(_RANKED.c.tub_id == _OF)
FILLS = select(_FILL.c.tub_id, _FILL.c.litres, _FILL.c.at).where(
    _FILL.c.at >= bindparam("since"),
    _FILL.c.at <= bindparam("until"),
    _FILL.c.kind != "top_up",
    ~exists().where(_WATER_STEP.c.fill_id == _FILL.c.id),
)
_WAITS = union_all(
    select(_DOSE.c.tub_id, _DOSE.c.wait_until).where(
        _DOSE.c.at >= bindparam("since"), _DOSE.c.wait_until.is_not(None)
    ),
    select(_WATER_STEP.c.tub_id, _WATER_STEP.c.wait_until).where(
        _WATER_STEP.c.at >= bindparam("since")
    ),
).subquery()
SETTLING = select(_WAITS.c.tub_id, func.max(_WAITS.c.wait_until).label("until")).group_by(
    _WAITS.c.tub_id
)
