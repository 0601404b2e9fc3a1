"""The care plan: drawn up from a tub's profile, before anything is saved."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from tubcare.care.first_dates import first_date_after, needs_first_date, spread_first_dates
from tubcare.care.model import Task
from tubcare.care.plan_card import Need, TaskCard
from tubcare.care.plan_offers import offered_on
from tubcare.care.templates import rules_for
from tubcare.care.trigger_data import rules_from_data
from tubcare.errors import InputError
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from datetime import date

    from tubcare.care.templates import TemplateSet
    from tubcare.care.templates_read import Template
    from tubcare.care.terms import Category
    from tubcare.values import TubProfile

Key = TypeVar("Key")
_NO_TUB = TubId(0)
# What wants most is offered first; a task stands in the first of its groups alone.
_SHARED = (Need.TUB_EMPTY, Need.UNIT_OFF, Need.TWO_PEOPLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTask:
    """A task as the plan proposes it.

    `rules` is the data of `rules_from_data`; calendar rules in it have no start of their own.
    `first_due_on` is None where the triggers alone say it. `starter` tasks belong to the plan from
    the first day, the others are offered from `offered_on` on.
    """

    template_key: str
    title: str
    category: Category
    rules: Mapping[str, object]
    card: TaskCard
    starts_on: date
    first_due_on: date | None
    offered_on: date
    starter: bool
    asks_last_done: bool

    @property
    def minutes(self) -> int:
        """How long the task usually takes."""
        return self.task().minutes

    @property
    def needs(self) -> tuple[Need, ...]:
        """What has to hold while it is done."""
        return self.card.needs

    def task(self, task_id: TaskId | None = None, tub_id: TubId | None = None) -> Task:
        """Return the task as the care engine takes it."""
        return Task(
            id=TaskId(0) if task_id is None else task_id,
            tub_id=_NO_TUB if tub_id is None else tub_id,
            title=self.title,
            category=self.category,
            starts_on=self.starts_on,
            first_due_on=self.first_due_on,
            **rules_from_data(self.rules, starts_on=self.starts_on),
        )


def draw_plan(
    profile: TubProfile,
    templates: TemplateSet,
    today: date,
    *,
    last_done: Mapping[str, date] | None = None,
) -> tuple[PlannedTask, ...]:
    """Return every task that a profile calls for, in the order of the templates.

    What was last done on a known day goes on from there. The first dates of the rest are spread
    over four weeks, those of safety tasks are today. Nothing starts late.

    Parameters
    ----------
    profile
        A profile that `checked_profile` let through.
    today
        The local date of the tub.
    last_done
        By template key, when the task was last done; keys that are not there are unknown.

    Raises
    ------
    InputError
        For a task that was last done in the future.
    """
    known = last_done or {}
    for key, day in known.items():
        if day > today:
            raise InputError(key, f"{day} has not come yet")
    chosen = templates.fitting(profile)
    rules = [rules_for(template, profile) for template in chosen]
    first = _first_dates(chosen, rules, today, known)
    return tuple(
        PlannedTask(
            template_key=template.key,
            title=template.title,
            category=template.category,
            rules=rules[at],
            card=template.card,
            starts_on=today,
            first_due_on=first.get(TaskId(at)),
            offered_on=offered_on(template, profile, today),
            starter=template.starter,
            asks_last_done=template.asks_last_done,
        )
        for at, template in enumerate(chosen)
    )


def together(needs: Mapping[Key, Collection[Need]]) -> dict[Need, tuple[Key, ...]]:
    """Return the work that shares a need, to be offered in one go, by that need.

    Work that needs the tub empty comes before work that needs the unit off, and that before work
    for two. Each piece stands in one group; one piece alone makes no group.
    """
    groups: dict[Need, list[Key]] = defaultdict(list)
    for key, wanted in needs.items():
        shared = next((need for need in _SHARED if need in wanted), None)
        if shared is not None:
            groups[shared].append(key)
    return {need: tuple(groups[need]) for need in _SHARED if len(groups[need]) > 1}


def _first_dates(
    chosen: tuple[Template, ...],
    rules: list[dict[str, object]],
    today: date,
    known: Mapping[str, date],
) -> dict[TaskId, date]:
    found: dict[TaskId, date] = {}
    unknown: list[Task] = []
    for at, template in enumerate(chosen):
        task = Task(
            id=TaskId(at),
            tub_id=_NO_TUB,
            title=template.title,
            category=template.category,
            starts_on=today,
            **rules_from_data(rules[at], starts_on=today),
        )
        if not needs_first_date(task):
            continue
        if template.key in known:
            found[task.id] = first_date_after(task, known[template.key], today)
        else:
            unknown.append(task)
    return found | spread_first_dates(unknown, today)
