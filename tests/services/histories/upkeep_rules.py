"""What people do with tasks and tubs: ticks, rounds, put-offs, steps, states, the plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from tests.services.histories.club import (
    OUTSIDE,
    SCOPES,
    TRIGGERS,
    Club,
    amounts,
    back,
    days_ago,
    refusal_of,
    which,
    who,
)
from tubcare.care.model import Category, InspectionResult, TubState
from tubcare.errors import AlreadyDoneError
from tubcare.services.completions import delete_completion
from tubcare.services.plans import accept, add_tub_with_plan, apply_redraw, offered, redraw
from tubcare.services.removal import delete_state_change, delete_tub
from tubcare.services.task_edits import (
    TaskDraft,
    add_task,
    change_task,
    drop_task,
)
from tubcare.services.tubs import change_profile, enter_state, tubs
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_put_off import put_off, skip
from tubcare.services.upkeep_steps import tick_step, untick_step
from tubcare.services.upkeep_tick import tick_off, tick_round
from tubcare.services.upkeep_work import record_work
from tubcare.services.week import DueItem, RoundItem, in_rounds, this_week
from tubcare.values import CompletionId, Liner, TaskId, TubProfile

states = st.sampled_from(list(TubState)[:4])
results = st.sampled_from([None, *InspectionResult])


class UpkeepRules(Club):
    """Ticks and everything around them."""

    def open_items(self) -> list[DueItem]:
        """Return what stands open, also what comes later."""
        week = this_week(self.ann)
        return [*week.open_items, *week.later]

    @rule(name=who, n=which, back=back, days=days_ago, result=results)
    def ticks(
        self, name: str, n: int, back: bool, days: int, result: InspectionResult | None
    ) -> None:
        items = self.open_items()
        if not items:
            return
        item = self.pick(items, n)
        key = item.occurrence.key
        on = self.ago(days) if n % 4 == 0 else None
        cost = n if n % 5 == 0 else None
        work = Work(on=on, result=result, cost_minor=cost, note="<b>done</b>")
        if self.do(name, lambda d: tick_off(d, item.task, key, work), back=back):
            told = refusal_of(lambda: tick_off(self.desks["Ben"], item.task, key))
            assert isinstance(told, AlreadyDoneError)
            assert told.who == name

    @rule(name=who, n=which, back=back)
    def ticks_a_round(self, name: str, n: int, back: bool) -> None:
        found = [r for r in in_rounds(self.open_items()) if isinstance(r, RoundItem)]
        if found:
            chosen = self.pick(found, n)
            keys = [(i.task, i.occurrence.key) for i in chosen.items]
            self.do(name, lambda d: tick_round(d, chosen.name, keys), back=back)

    @rule(name=who, n=which, back=back, days=days_ago)
    def writes_work_down(self, name: str, n: int, back: bool, days: int) -> None:
        task = TaskId(self.pick(self.rows("task"), n)["id"])
        answer = (None, True, False)[n % 3]
        work = Work(on=self.ago(days))
        self.do(name, lambda d: record_work(d, task, work, restarts=answer), back=back)

    @rule(name=who, n=which, back=back)
    def skips(self, name: str, n: int, back: bool) -> None:
        items = self.open_items()
        if items:
            item = self.pick(items, n)
            reason = "away" if n % 7 else ""
            self.do(name, lambda d: skip(d, item.task, item.occurrence.key, reason), back=back)

    @rule(name=who, n=which, back=back, days=st.integers(-1, 60))
    def puts_off(self, name: str, n: int, back: bool, days: int) -> None:
        items = self.open_items()
        if items:
            item = self.pick(items, n)
            to = item.today + timedelta(days=days)
            key = item.occurrence.key
            self.do(name, lambda d: put_off(d, item.task, key, to, "rain"), back=back)

    @rule(name=who, n=which, back=back, step=st.integers(0, 3), clears=st.booleans())
    def ticks_a_step(self, name: str, n: int, back: bool, step: int, clears: bool) -> None:
        items = self.open_items()
        if items:
            item, work = self.pick(items, n), untick_step if clears else tick_step
            self.do(name, lambda d: work(d, item.task, item.occurrence.key, step), back=back)

    @precondition(lambda self: bool(self.rows("completion")))
    @rule(name=who, n=which, back=back)
    def deletes_a_completion(self, name: str, n: int, back: bool) -> None:
        row = self.pick(self.rows("completion"), n)
        later = [r for r in self.rows("completion") if r["task_id"] == row["task_id"] and r["key"]]
        done = self.do(name, lambda d: delete_completion(d, CompletionId(row["id"])), back=back)
        newest = not row["key"] or row["id"] == max(r["id"] for r in later)
        refunded = {r["refund_of"] for r in self.rows("entry")}
        own = {r["id"] for r in self.rows("entry") if r["completion_id"] == row["id"]}
        assert done == (newest and not refunded & own)

    @rule(name=who, n=which, back=back, state=states, days=st.integers(-3, 10))
    def enters_a_state(self, name: str, n: int, back: bool, state: TubState, days: int) -> None:
        tub = self.pick(tubs(self.ann), n).id
        self.do(name, lambda d: enter_state(d, tub, state, self.ago(days)), back=back)

    @precondition(lambda self: bool(self.rows("state_change")))
    @rule(name=who, n=which, back=back)
    def deletes_a_state(self, name: str, n: int, back: bool) -> None:
        chosen = self.pick(self.rows("state_change"), n)["id"]
        keys = {str(r["key"]).partition("@")[0] for r in self.rows("completion")}
        done = self.do(name, lambda d: delete_state_change(d, chosen), back=back)
        assert done == (f"open:{chosen}" not in keys)

    @rule(name=who, n=which, back=back, minor=amounts)
    def adds_or_changes_a_task(self, name: str, n: int, back: bool, minor: int) -> None:
        tub = self.pick(tubs(self.ann), n)
        supplies = {r["id"]: 1000 for r in self.rows("supply")[: n % 3]}
        draft = TaskDraft(
            tub=tub.id,
            title=f"Own task {n % 5}",
            category=Category.OTHER,
            rules={
                "triggers": self.pick(TRIGGERS, n),
                "scope": self.pick(SCOPES, n),
                "out_of_scope": self.pick(OUTSIDE, n // 3),
            },
            starts_on=self.today(),
            usual_minor=minor,
            supplies=supplies,
        )
        if n % 2:
            self.do(name, lambda d: add_task(d, draft), back=back)
            return
        task = TaskId(self.pick(self.rows("task"), n)["id"])
        row = next(row for row in self.rows("task") if row["id"] == task)
        revision = row["revision"] + (n % 5 == 0)
        self.do(name, lambda d: change_task(d, task, draft, revision=revision), back=back)

    @rule(name=who, n=which, back=back)
    def drops_a_task(self, name: str, n: int, back: bool) -> None:
        task = TaskId(self.pick(self.rows("task"), n)["id"])
        if n % 4 == 0:
            self.do(name, lambda d: drop_task(d, task), back=back)

    @rule(name=who, n=which, back=back, liner=st.sampled_from(list(Liner)))
    def changes_a_profile(self, name: str, n: int, back: bool, liner: Liner) -> None:
        tub = self.pick(tubs(self.ann), n)
        named = ("North", "South", "West", " ")[n % 4]
        profile = replace(tub.profile, liner=liner, name=named)
        self.do(name, lambda d: change_profile(d, tub.id, profile), back=back)

    @rule(name=who, n=which, back=back)
    def adds_a_tub(self, name: str, n: int, back: bool) -> None:
        if n % 3 == 0:
            profile = TubProfile(name=("West", "North")[n % 2], zone="Europe/Helsinki")
            keys = () if n % 6 == 0 else None
            self.do(name, lambda d: add_tub_with_plan(d, profile, keys=keys), back=back)

    @rule(name=who, n=which, back=back)
    def deletes_a_tub(self, name: str, n: int, back: bool) -> None:
        tub = self.pick(tubs(self.ann), n).id
        tables = [t for t in self.last_facts.values() if t and "tub_id" in t[0]]
        named = any(row["tub_id"] == tub for rows in tables for row in rows if "view" not in row)
        assert self.do(name, lambda d: delete_tub(d, tub), back=back) == (not named)

    @rule(name=who, n=which, back=back)
    def draws_the_plan_anew(self, name: str, n: int, back: bool) -> None:
        tub = self.pick(tubs(self.ann), n).id
        if n % 2:
            keys = [p.template_key for p in offered(self.ann, tub)][: n % 7]
            self.do(name, lambda d: accept(d, tub, keys), back=back)
        elif n % 8 == 0:
            diff = redraw(self.ann, tub)
            self.do(name, lambda d: apply_redraw(d, tub, diff), back=back)

    @rule(days=st.sampled_from([0.2, 1, 3, 9, 31, 90, -2]))
    def time_passes(self, days: float) -> None:
        """Let time go by; a clock set back by two days is a day like any other."""
        self.clock.go(days=days)
