"""Tasks that come back, stock used beside them, ranges of the water and steps of its plan."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from tests.services.histories.club import (
    Club,
    back,
    days_ago,
    quantities,
    refusal_of,
    which,
    who,
)
from tubcare.care.model import InspectionResult
from tubcare.services.ranges import edit_range, reset_range
from tubcare.services.removal import delete_dose
from tubcare.services.supplies import supplies, use_up
from tubcare.services.task_edits import bring_back
from tubcare.services.tubs import tubs
from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_plan import water_plan
from tubcare.services.water_shelf import put_product
from tubcare.values import TaskId
from tubcare.water.compounds import Compound
from tubcare.water.products import usual_product
from tubcare.water.ranges import Quantity

results = st.sampled_from([None, *InspectionResult])


class WaterRules(Club):
    """Dropped tasks that come back, stock used beside any task, ranges, water plans."""

    @rule(name=who, n=which, back=back)
    def brings_a_task_back(self, name: str, n: int, back: bool) -> None:
        dropped = [row for row in self.rows("task") if not row["active"]]
        if dropped:
            task = TaskId(self.pick(dropped, n)["id"])
            self.do(name, lambda d: bring_back(d, task), back=back)

    @rule(name=who, n=which, back=back, days=days_ago, quantity=quantities)
    def uses_stock_beside_any_task(
        self, name: str, n: int, back: bool, days: int, quantity: int
    ) -> None:
        known = supplies(self.ann)
        if known:
            supply, on = self.pick(known, n).id, self.ago(days)
            self.do(name, lambda d: use_up(d, supply, quantity_milli=quantity, on=on), back=back)

    @rule(name=who, n=which, back=back, low=st.floats(6, 8))
    def edits_a_range(self, name: str, n: int, back: bool, low: float) -> None:
        tub = self.pick(tubs(self.ann), n).id
        if n % 3:
            ends = {"low": low, "aim": None, "high": low + 0.5}
            self.do(name, lambda d: edit_range(d, tub, Quantity.PH, **ends), back=back)
        else:
            self.do(name, lambda d: reset_range(d, tub, Quantity.PH), back=back)

    @rule(name=who, n=which, back=back)
    def does_a_step_of_the_water_plan(self, name: str, n: int, back: bool) -> None:
        tub = self.pick(tubs(self.ann), n).id
        refused = refusal_of(lambda: water_plan(self.ann, tub))
        if refused is None:
            self.do(name, lambda d: do_step(d, tub, 1 + n % 3), back=back)

    @rule(name=who, n=which, back=back, days=days_ago)
    def adds_something_outside_the_plan(self, name: str, n: int, back: bool, days: int) -> None:
        granules = replace(usual_product(Compound.SODIUM_BISULFATE), name="Granules")
        self.do(name, lambda d: put_product(d, granules), back=False)
        tub, on = self.pick(tubs(self.ann), n).id, self.ago(days)
        self.do(name, lambda d: add_dose(d, tub, "Granules", 1.0 + n % 90, on=on), back=back)

    @precondition(lambda self: bool(self.rows("dose")))
    @rule(name=who, n=which, back=back)
    def deletes_a_dose(self, name: str, n: int, back: bool) -> None:
        chosen = self.pick(self.rows("dose"), n)["id"]
        assert self.do(name, lambda d: delete_dose(d, chosen), back=back)
