"""The profile of one tub, and what its plan would become when drawn anew."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.parting import beside
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import EntryBox, TubPart
from tubcare.desktop.tub_plan import PlanParts
from tubcare.desktop.tub_profile_form import ProfileForm
from tubcare.errors import TubcareError
from tubcare.services.plans import apply_redraw, redraw
from tubcare.services.tubs import change_profile

if TYPE_CHECKING:
    from tubcare.care.plan_redraw import PlanDiff
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.tubs import Tub
    from tubcare.values import TubId, TubProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A tub with what drawing its plan anew would change."""

    tub: Tub
    diff: PlanDiff


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """A profile was saved: the templates that it called for, and how many parts would change."""

    tub: TubId
    fresh: frozenset[str]
    parts: int


_FIRST_PX = (450, 560)


class ProfilePage(TubPart):
    """The profile on the left; the parts of the redrawn plan on the right, to be ticked."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self.form = ProfileForm(context)
        self.form.submitted.connect(self._submit)
        save = self.add_page_action(say("Save the profile"), self.save, keys="Ctrl+S")
        self.box = EntryBox(context, self.form, save)
        self.box.rows.setContentsMargins(0, 0, 8, 0)
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.parts = PlanParts(context)
        self.apply_action = self.add_page_action(
            say("Take the ticked parts into the plan"), self.apply
        )
        self._left = scrolling(self.box)
        splitter = beside(self._left, self._right(), shares=(2, 3), first_px=_FIRST_PX)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(10, 10, 10, 10)
        rows.addWidget(splitter)
        self._shown: TubProfile | None = None
        self._fresh: dict[TubId, frozenset[str]] = {}
        self._diff: PlanDiff | None = None
        self.parts.itemChanged.connect(self._look)

    @override
    def read(self) -> None:
        """Read the difference; what is being typed into the form stays."""
        if self.tub is None:
            return
        if self._shown != self.tub.profile:
            self._shown = self.tub.profile
            self.form.show_profile(self.tub.profile)
            self._left.keep_width()
        self.context.work.on_logbook(
            partial(_read, self.context.desk, self.tub),
            done=self._show,
            title=self.context.say("Comparing the plan"),
            replaces="tub plan",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the name."""
        self.form.name.setFocus()

    @Slot()
    def save(self) -> None:
        """Save the profile, or go to what cannot be used."""
        if self.tub is None or not self.form.check():
            return
        try:
            profile = self.form.profile()
        except TubcareError as error:
            self.box.tell(error)
            return
        self.box.write(
            partial(_save, self.context.desk, self.tub.id, profile),
            done=self._say_saved,
            title=self.context.say("Saving the profile"),
        )

    @Slot()
    def apply(self) -> None:
        """Save the ticked parts of the redrawn plan."""
        if self.tub is None or self._diff is None:
            return
        keys, tasks = self.parts.chosen()
        part = self._diff.only(keys=keys, tasks=tasks)
        self.context.work.on_logbook(
            partial(apply_redraw, self.context.desk, self.tub.id, part),
            done=partial(self._say_applied, len(keys) + len(tasks)),
            title=self.context.say("Changing the plan"),
        )

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.save()

    def _show(self, drawn: Drawn) -> None:
        self._diff = drawn.diff
        fresh = self._fresh.get(drawn.tub.id, frozenset())
        self.parts.show_diff(drawn.diff, fresh, of=drawn.tub.id)
        changes = len(drawn.diff.changed) + len(drawn.diff.dropped)
        changes += sum(each.template_key in fresh for each in drawn.diff.added)
        told = self._nothing_changes(drawn.diff)
        if changes:
            told = self.context.speech.say_count(
                "The profile calls for {n} change of the plan; it waits until you take it.",
                "The profile calls for {n} changes of the plan; they wait until you take them.",
                changes,
            )
        self.told.setText(told)
        self._look()

    def _nothing_changes(self, diff: PlanDiff) -> str:
        say = self.context.say
        if diff.added:
            return say("The plan fits the profile. More tasks that fit this tub are on offer.")
        return say("The plan fits the profile, and holds every task that fits this tub.")

    @Slot()
    def _look(self) -> None:
        keys, tasks = self.parts.chosen()
        self.apply_action.setEnabled(bool(keys or tasks))

    def _say_saved(self, saved: Saved) -> None:
        before = self._fresh.get(saved.tub, frozenset())
        self._fresh[saved.tub] = before | saved.fresh
        text = self.context.say("The profile is kept.")
        if saved.parts:
            more = self.context.speech.say_count(
                "{n} part of the plan would change.",
                "{n} parts of the plan would change.",
                saved.parts,
            )
            text = f"{text} {more}"
        self.context.strip.say(text, undo=self.context.undo)
        self.read()

    def _say_applied(self, count: int, _nothing: None) -> None:
        text = self.context.speech.say_count(
            "{n} part of the plan is taken over.", "{n} parts of the plan are taken over.", count
        )
        self.context.strip.say(text, undo=self.context.undo)

    def _right(self) -> QWidget:
        right = QWidget()
        below = QHBoxLayout()
        below.addStretch()
        below.addWidget(ActionButton(self.apply_action))
        rows = QVBoxLayout(right)
        rows.setContentsMargins(12, 0, 0, 0)
        rows.addWidget(worded(QLabel(self.context.say("Care plan")), "group"))
        rows.addWidget(self.told)
        rows.addWidget(self.parts, 1)
        rows.addLayout(below)
        return right


def _read(desk: Desk, tub: Tub) -> Drawn:
    return Drawn(tub=tub, diff=redraw(desk, tub.id))


def _save(desk: Desk, tub: TubId, profile: TubProfile) -> Saved:
    before = {each.template_key for each in redraw(desk, tub).added}
    change_profile(desk, tub, profile)
    after = redraw(desk, tub)
    fresh = frozenset(each.template_key for each in after.added) - before
    return Saved(tub=tub, fresh=fresh, parts=len(fresh) + len(after.changed) + len(after.dropped))
