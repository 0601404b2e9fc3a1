"""Taking a recorded completion away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import DependentFactError
from tubcare.services.amending import recorded
from tubcare.services.removal import take, take_doses, take_fills, take_opened
from tubcare.services.topics import Topic
from tubcare.services.turned import entered_with
from tubcare.store.tables import (
    CompletionRow,
    DoseRow,
    EntryRow,
    FillRow,
    StateChangeRow,
    UseRow,
)
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import CompletionId

UPKEEP_TOPICS = frozenset({Topic.UPKEEP, Topic.MONEY, Topic.STOCK, Topic.MEASURES, Topic.TUBS})


def delete_completion(desk: Desk, completion: CompletionId) -> str:
    """Take a recorded completion away together with its uses, amounts, doses and fills.

    What was put off or ticked of the occurrence that it opened goes with it, and so does the state
    that the tub entered at the end of a procedure. Returns the title of the task.

    Raises
    ------
    DependentFactError
        When a later completion of the task stands on it, a refund on one of its amounts, or work
        on the season that it opened.
    """
    table = table_of(CompletionRow)
    title = recorded(desk, completion).title
    with desk.write("delete_completion", title, UPKEEP_TOPICS) as unit:
        image = unit.image(table, completion)
        later = unit.connection.execute(
            select(table.c.on_date).where(
                table.c.task_id == image["task_id"],
                table.c.key.is_not(None),
                table.c.id > completion,
            )
        ).scalar()
        if image["key"] is not None and later is not None:
            raise DependentFactError("this completion", f"the one of {later}")
        take_opened(unit, CompletionRow, completion)
        for row in (UseRow, EntryRow):
            take(unit, row, table_of(row).c.completion_id == completion, "this completion")
        take_doses(unit, table_of(DoseRow).c.completion_id == completion, "this completion")
        take_fills(unit, table_of(FillRow).c.completion_id == completion, "this completion")
        entered = entered_with(unit.connection, image)
        if entered is not None:
            take_opened(unit, StateChangeRow, entered)
            take(unit, StateChangeRow, table_of(StateChangeRow).c.id == entered, title)
        unit.remove(CompletionRow, completion)
    return title
