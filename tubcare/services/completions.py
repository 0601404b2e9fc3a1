"""Taking a recorded completion away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import DependentFactError
from tubcare.services.amending import recorded
from tubcare.services.removal import take, take_opened
from tubcare.services.topics import Topic
from tubcare.store.tables import CompletionRow, DoseRow, EntryRow, FillRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import CompletionId

UPKEEP_TOPICS = frozenset({Topic.UPKEEP, Topic.MONEY, Topic.STOCK, Topic.MEASURES})


def delete_completion(desk: Desk, completion: CompletionId) -> str:
    """Take a recorded completion away together with its uses, amounts, doses and fills.

    What was put off or ticked of the occurrence that it opened goes with it. Returns the title of
    the task.

    Raises
    ------
    DependentFactError
        When a later completion of the task stands on it, or a refund on one of its amounts.
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
        for row in (UseRow, EntryRow, DoseRow, FillRow):
            take(unit, row, table_of(row).c.completion_id == completion, "this completion")
        unit.remove(CompletionRow, completion)
    return title
