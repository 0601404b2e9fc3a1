"""What could be in the plan and is not: dropped tasks, and what the profile calls for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.services.plans import accept, offered
from tubcare.services.task_edits import bring_back, dropped_tasks
from tubcare.services.tubs import tubs

if TYPE_CHECKING:
    from tubcare.care.model import Category
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId, TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One task that can be taken into the plan: a dropped one, or one of the templates."""

    title: str
    category: Category
    tub: TubId
    tub_name: str
    task: TaskId | None = None
    template_key: str | None = None

    @property
    def was_dropped(self) -> bool:
        """Whether it comes back with its history."""
        return self.task is not None


def offers(desk: Desk) -> tuple[Offer, ...]:
    """Return what was dropped, then what the profile of each tub calls for besides."""
    found = [
        Offer(
            title=each.title,
            category=each.category,
            tub=each.tub,
            tub_name=each.tub_name,
            task=each.id,
        )
        for each in dropped_tasks(desk)
    ]
    for tub in tubs(desk):
        found += [
            Offer(
                title=planned.title,
                category=planned.category,
                tub=tub.id,
                tub_name=tub.name,
                template_key=planned.template_key,
            )
            for planned in offered(desk, tub.id)
        ]
    return tuple(found)


def take_offer(desk: Desk, offer: Offer) -> str:
    """Take one of them into the plan; return its title."""
    if offer.task is not None:
        return bring_back(desk, offer.task)
    accept(desk, offer.tub, {offer.template_key or ""})
    return offer.title
