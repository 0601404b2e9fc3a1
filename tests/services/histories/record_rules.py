"""What people do to records and to the plan afterwards: amend, bring back."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from tests.services.histories.club import Club, back, days_ago, which, who
from tubcare.care.model import InspectionResult
from tubcare.services.amending import amend_completion
from tubcare.services.offers import offers, take_offer
from tubcare.services.task_edits import change_task, draft_of
from tubcare.services.tasks import task_detail
from tubcare.services.upkeep_model import Work
from tubcare.values import CompletionId, SupplyId, TaskId

results = st.sampled_from([None, *InspectionResult])


class RecordRules(Club):
    """Second thoughts."""

    @precondition(lambda self: bool(self.rows("completion")))
    @rule(name=who, n=which, back=back, days=days_ago, result=results)
    def amends_a_completion(
        self, name: str, n: int, back: bool, days: int, result: InspectionResult | None
    ) -> None:
        row = self.pick(self.rows("completion"), n)
        uses = {SupplyId(r["id"]): 500 + n for r in self.rows("supply")[: n % 3]}
        work = Work(
            on=self.ago(days) if n % 2 else None,
            person="Ben",
            note="second thoughts",
            result=result,
            uses=uses if n % 3 else None,
            cost_minor=n % 400 if n % 5 else None,
        )
        completion = CompletionId(row["id"])
        if self.do(name, lambda d: amend_completion(d, completion, work), back=back):
            (now,) = [r for r in self.rows("completion") if r["id"] == row["id"]]
            assert (now["key"], now["outcome"]) == (row["key"], row["outcome"])
            assert now["person_id"] in {r["id"] for r in self.rows("person") if r["name"] == "Ben"}

    @rule(name=who, n=which, back=back)
    def takes_an_offer(self, name: str, n: int, back: bool) -> None:
        found = offers(self.ann)
        if found:
            offer = self.pick(found, n)
            assert self.do(name, lambda d: take_offer(d, offer), back=back)
            assert offer not in offers(self.ann)

    @rule(name=who, n=which, back=back)
    def keeps_a_task_as_it_is(self, name: str, n: int, back: bool) -> None:
        task = TaskId(self.pick(self.rows("task"), n)["id"])
        detail = task_detail(self.ann, task)
        draft = draft_of(detail)
        before = self.last_facts
        change = lambda d: change_task(d, task, draft, revision=detail.revision)  # noqa: E731
        assert self.do(name, change, back=back)
        assert self.last_facts["task"] == before["task"]
