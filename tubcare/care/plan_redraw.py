"""Drawing a plan anew: what would change, and what is left alone because a person changed it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from dataclasses import fields as columns
from typing import TYPE_CHECKING

from tubcare.care import fields
from tubcare.care.plan import PlannedTask, draw_plan
from tubcare.care.plan_card import TaskCard, card_from_data, card_to_data
from tubcare.care.terms import Category
from tubcare.care.trigger_data import TaskRules, rules_from_data

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping
    from datetime import date

    from tubcare.care.templates import TemplateSet
    from tubcare.values import TaskId, TubProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class ExistingTask:
    """An active task of the plan, for comparing.

    `drawn` is the data that it was last drawn with (`content_to_data`), `current` the same of what
    it holds now; both None for a task of the person's own. `touched` says that the person changed
    something else about it, such as its supplies.
    """

    id: TaskId
    title: str
    starts_on: date
    template_key: str | None = None
    drawn: Mapping[str, object] | None = None
    current: Mapping[str, object] | None = None
    touched: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanChange:
    """A task that would be changed into `planned`; `parts` names what differs.

    `before` are the rules that it was drawn with.
    """

    task_id: TaskId
    title: str
    planned: PlannedTask
    parts: tuple[str, ...]
    before: TaskRules


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanKeep:
    """A task that stays as it is; `planned` is what the plan would hold, None for nothing."""

    task_id: TaskId
    title: str
    planned: PlannedTask | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDiff:
    """What drawing a plan anew would do.

    `dropped` tasks are no longer called for; `kept` ones come out the same; `untouched` ones were
    changed or added by a person and stay whatever the profile says.
    """

    added: tuple[PlannedTask, ...]
    changed: tuple[PlanChange, ...]
    dropped: tuple[PlanKeep, ...]
    kept: tuple[PlanKeep, ...]
    untouched: tuple[PlanKeep, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing would change."""
        return not (self.added or self.changed or self.dropped)

    def only(self, *, keys: Collection[str], tasks: Collection[TaskId]) -> PlanDiff:
        """Return the chosen part: added templates by key, changed and dropped tasks by id."""
        return replace(
            self,
            added=tuple(each for each in self.added if each.template_key in keys),
            changed=tuple(each for each in self.changed if each.task_id in tasks),
            dropped=tuple(each for each in self.dropped if each.task_id in tasks),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Content:
    title: str
    category: Category
    rules: TaskRules
    card: TaskCard


def content_to_data(planned: PlannedTask) -> dict[str, object]:
    """Return what a task is drawn with as plain data, to be kept beside the task."""
    return {
        "title": planned.title,
        "category": str(planned.category),
        "plan": dict(planned.rules),
        "card": card_to_data(planned.card),
    }


def redraw(
    profile: TubProfile,
    templates: TemplateSet,
    existing: Iterable[ExistingTask],
    today: date,
    *,
    dropped: Collection[str] = (),
) -> PlanDiff:
    """Return what drawing the plan anew from a profile would change.

    Parameters
    ----------
    existing
        The active tasks of the tub.
    dropped
        Keys of the templates that the person took out of the plan; they stay out.

    Raises
    ------
    InputError
        When the data of a task cannot be read.
    """
    planned = {each.template_key: each for each in draw_plan(profile, templates, today)}
    held: set[str] = set()
    changed: list[PlanChange] = []
    gone: list[PlanKeep] = []
    kept: list[PlanKeep] = []
    untouched: list[PlanKeep] = []
    for task in existing:
        new = None if task.template_key is None else planned.get(task.template_key)
        if task.template_key is not None:
            held.add(task.template_key)
        keep = PlanKeep(task_id=task.id, title=task.title, planned=new)
        if changed_parts(task):
            untouched.append(keep)
        elif new is None:
            gone.append(keep)
        elif parts := _differing(_drawn(task), _new(new, task.starts_on)):
            changed.append(
                PlanChange(
                    task_id=task.id,
                    title=task.title,
                    planned=new,
                    parts=parts,
                    before=_drawn(task).rules,
                )
            )
        else:
            kept.append(keep)
    return PlanDiff(
        added=tuple(
            each for key, each in planned.items() if key not in held and key not in dropped
        ),
        changed=tuple(changed),
        dropped=tuple(gone),
        kept=tuple(kept),
        untouched=tuple(untouched),
    )


def changed_parts(task: ExistingTask) -> tuple[str, ...]:
    """Return the names of what a person changed; a task of their own is theirs as a whole."""
    if task.template_key is None or task.drawn is None or task.current is None:
        return ("task",)
    parts = _differing(_drawn(task), _content(task.current, task.starts_on))
    return (*parts, "supplies") if task.touched else parts


def _drawn(task: ExistingTask) -> _Content:
    return _content(task.drawn or {}, task.starts_on)


def _new(planned: PlannedTask, starts_on: date) -> _Content:
    return _content(content_to_data(planned), starts_on)


def _content(data: Mapping[str, object], starts_on: date) -> _Content:
    """Return the data read, so that what was left out and its default are the same."""
    return _Content(
        title=fields.text(data, "title"),
        category=fields.word(data, "category", Category),
        rules=rules_from_data(fields.table(data, "plan"), starts_on=starts_on),
        card=card_from_data(fields.table(data, "card")),
    )


def _differing(one: _Content, other: _Content) -> tuple[str, ...]:
    parts = [name for name in ("title", "category") if getattr(one, name) != getattr(other, name)]
    parts += [name for name, value in one.rules.items() if value != other.rules.get(name)]
    parts += [
        column.name
        for column in columns(TaskCard)
        if getattr(one.card, column.name) != getattr(other.card, column.name)
    ]
    return tuple(parts)
