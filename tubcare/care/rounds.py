"""Small tasks that are offered together: one tick, exceptions by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care.terms import Status

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from tubcare.care.model import Occurrence, Task
    from tubcare.values import TaskId, TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """Occurrences of one tub and one round name whose windows share the day `due_on`.

    `minutes` is the usual time for all of them.
    """

    tub_id: TubId
    name: str
    due_on: date
    minutes: int
    occurrences: tuple[Occurrence, ...]


def group_rounds(
    occurrences: Iterable[Occurrence], tasks: Mapping[TaskId, Task]
) -> tuple[list[Round], list[Occurrence]]:
    """Return the rounds, by date, and the occurrences that stand alone, in the order given.

    A round takes an occurrence if it may be done on the round's day without being early: its
    window has opened by the first due date among them. One alone makes no round.
    """
    groups: dict[tuple[TubId, str], list[Occurrence]] = {}
    alone: list[Occurrence] = []
    for each in occurrences:
        task = tasks[each.task_id]
        if task.round_name and each.status is not Status.ASLEEP:
            groups.setdefault((task.tub_id, task.round_name), []).append(each)
        else:
            alone.append(each)
    rounds: list[Round] = []
    for (tub_id, name), members in groups.items():
        for cluster in _clusters(members):
            if len(cluster) == 1:
                alone += cluster
                continue
            minutes = sum(tasks[each.task_id].minutes for each in cluster)
            rounds.append(
                Round(
                    tub_id=tub_id,
                    name=name,
                    due_on=cluster[0].due_on,
                    minutes=minutes,
                    occurrences=tuple(cluster),
                )
            )
    rounds.sort(key=lambda each: (each.due_on, each.tub_id, each.name))
    return rounds, alone


def _clusters(members: list[Occurrence]) -> list[list[Occurrence]]:
    """Return the members in order of due date, parted where a window opens after the first."""
    clusters: list[list[Occurrence]] = []
    for each in sorted(members, key=lambda member: (member.due_on, member.task_id)):
        if clusters and each.opens_on <= clusters[-1][0].due_on:
            clusters[-1].append(each)
        else:
            clusters.append([each])
    return clusters
