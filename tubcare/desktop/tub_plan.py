"""What drawing a tub's plan anew would change, part by part, each to be ticked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Qt
from PySide6.QtWidgets import QTreeWidget, QTreeWidgetItem

from tubcare.values import TaskId
from tubcare.words.dates import weekday_date
from tubcare.words.lists import all_of
from tubcare.words.sentences.rules import task_rule

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from tubcare.care.plan import PlannedTask
    from tubcare.care.plan_redraw import PlanChange, PlanDiff
    from tubcare.desktop.screen import Context
    from tubcare.values import TubId

_PART_ROLE = Qt.ItemDataRole.UserRole
_RULE_PARTS = frozenset({"triggers", "scope"})
_INDENT_PX = 12
_TASK_LETTERS = 44
_ROW_PX = 28
_Parts = tuple[frozenset[str], frozenset[TaskId]]


class PlanParts(QTreeWidget):
    """Groups of parts with a box each; what a person changed has none, as it stays."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._of: TubId | None = None
        say = context.say
        self.setAccessibleName(say("What the plan would change"))
        self.setHeaderLabels([say("Task"), say("What changes")])
        self.setIndentation(_INDENT_PX)
        self.setAlternatingRowColors(True)
        self.header().resizeSection(0, _TASK_LETTERS * self.fontMetrics().averageCharWidth())

    def show_diff(self, diff: PlanDiff, fresh: Collection[str], *, of: TubId) -> None:
        """Show the difference of a tub; boxes that a person ticked for it stay.

        Parameters
        ----------
        fresh
            Keys of the templates that a change of the profile called for; they are ticked, the
            rest is on offer.
        """
        say = self._context.say
        kept = self._ticks() if of == self._of else {}
        self._of = of
        blocked = QSignalBlocker(self)
        self.clear()
        new = [each for each in diff.added if each.template_key in fresh]
        offered = [each for each in diff.added if each.template_key not in fresh]
        self._group(say("New for this tub"), [self._added(each) for each in new], ticked=True)
        self._group(
            say("Changed"),
            [
                (each.title, change_words(self._context, each), each.task_id)
                for each in diff.changed
            ],
            ticked=True,
        )
        self._group(
            say("No longer called for"),
            [
                (each.title, say("leaves the plan; what was done stays on record"), each.task_id)
                for each in diff.dropped
            ],
            ticked=True,
        )
        offered.sort(key=lambda each: (each.offered_on, each.title))
        now = [each for each in offered if each.offered_on <= each.starts_on]
        later = [each for each in offered if each.offered_on > each.starts_on]
        self._group(say("On offer"), [self._added(each) for each in now], ticked=False)
        self._group(
            say("On offer later, with the season"),
            [self._added(each) for each in later],
            ticked=False,
        )
        self._group(
            say("Changed by you: left as it is"),
            [(each.title, "", None) for each in diff.untouched],
            ticked=False,
        )
        self._tick_again(kept)
        self.expandAll()
        blocked.unblock()

    def chosen(self) -> _Parts:
        """Return what is ticked: templates to add by key, tasks to change or drop by id."""
        ticked = [
            item.data(0, _PART_ROLE)
            for item in self._items()
            if item.checkState(0) is Qt.CheckState.Checked
        ]
        keys = frozenset(part for part in ticked if isinstance(part, str))
        return keys, frozenset(TaskId(part) for part in ticked if isinstance(part, int))

    def tick(self, part: str | TaskId, *, wanted: bool = True) -> None:
        """Tick a template by key or a task by id."""
        for item in self._items():
            if item.data(0, _PART_ROLE) == part:
                item.setCheckState(0, Qt.CheckState.Checked if wanted else Qt.CheckState.Unchecked)

    def _group(
        self, title: str, parts: Iterable[tuple[str, str, object]], *, ticked: bool
    ) -> None:
        found = list(parts)
        if not found:
            return
        group = QTreeWidgetItem([f"{title} ({len(found)})"])
        font = group.font(0)
        font.setBold(True)
        group.setFont(0, font)
        group.setSizeHint(0, QSize(0, self._row_px()))
        group.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
        self.addTopLevelItem(group)
        group.setFirstColumnSpanned(True)
        for name, told, part in found:
            item = QTreeWidgetItem(group, [name, told])
            item.setToolTip(1, told)
            item.setSizeHint(0, QSize(0, self._row_px()))
            if part is not None:
                item.setData(0, _PART_ROLE, part)
                state = Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked
                item.setCheckState(0, state)

    def _row_px(self) -> int:
        return max(_ROW_PX, self.fontMetrics().lineSpacing() + 10)

    def _added(self, each: PlannedTask) -> tuple[str, str, object]:
        told = each.card.why
        if each.first_due_on is not None:
            day = weekday_date(self._context.speech, each.first_due_on)
            told = self._context.say("first on {day}. {why}", day=day, why=told)
        if each.offered_on > each.starts_on:
            day = weekday_date(self._context.speech, each.offered_on)
            told = self._context.say("fits from {day}. {why}", day=day, why=each.card.why)
        return each.title, told, each.template_key

    def _items(self) -> list[QTreeWidgetItem]:
        found = []
        for at in range(self.topLevelItemCount()):
            group = self.topLevelItem(at)
            if group is not None:
                found += [group.child(place) for place in range(group.childCount())]
        return [item for item in found if item is not None and item.data(0, _PART_ROLE)]

    def _ticks(self) -> dict[object, Qt.CheckState]:
        """Return what a person did to the boxes, so that a refresh keeps it."""
        return {item.data(0, _PART_ROLE): item.checkState(0) for item in self._items()}

    def _tick_again(self, kept: dict[object, Qt.CheckState]) -> None:
        for item in self._items():
            part = item.data(0, _PART_ROLE)
            if part in kept:
                item.setCheckState(0, kept[part])


def change_words(context: Context, change: PlanChange) -> str:
    """Return what would change about a task: its name, what makes it due, and the rest."""
    speech, planned = context.speech, change.planned.task()
    parts = [part for part in change.parts if part != "title"]
    rest = [part for part in parts if part not in _RULE_PARTS]
    told = []
    if len(parts) < len(change.parts):
        told.append(speech.say("its name becomes “{title}”", title=change.planned.title))
    if len(rest) < len(parts):
        old = task_rule(speech, change.before["triggers"], change.before["scope"])
        new = task_rule(speech, planned.triggers, planned.scope)
        if old != new:
            told.append(speech.say("{old} becomes {new}", old=old, new=new))
        else:
            rest = parts
    if rest:
        told.append(part_words(context, rest))
    return "; ".join(told)


def part_words(context: Context, parts: Collection[str]) -> str:
    """Return what differs about a task, in words: what makes it due, and its steps."""
    say = context.say
    known = {
        "category": say("its kind"),
        "triggers": say("what makes it due"),
        "scope": say("the season it belongs to"),
        "out_of_scope": say("the season it belongs to"),
        "minutes": say("its minutes"),
        "round_name": say("its round"),
        "steps": say("its steps"),
        "cautions": say("its cautions"),
        "supplies": say("what it uses"),
        "tools": say("its tools"),
        "needs": say("what it needs"),
        "why": say("why it is done"),
        "sources": say("its sources"),
    }
    told = dict.fromkeys(known.get(part, say("its details")) for part in parts)
    return all_of(context.speech, list(told))
