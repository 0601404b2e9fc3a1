"""What people write down later, many days at once, and rounds that they move."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import strategies as st
from hypothesis.stateful import rule

from tests.services.histories.club import Club, back, which, who
from tubcare.care.model import Status
from tubcare.services.catch_up import CellKey, RowKey, SheetKind, Tick, catch_up, doubts
from tubcare.services.catch_up_sheet import catch_up_sheet
from tubcare.services.upkeep_put_off import put_off_round
from tubcare.services.week import RoundItem, in_rounds, this_week

cells = st.lists(
    st.tuples(st.sampled_from(list(SheetKind)), st.integers(0, 9), st.integers(0, 13), which),
    max_size=6,
)


class CatchUpRules(Club):
    """Whole weeks at once: all of it, or nothing."""

    @rule(name=who, chosen=cells, back=back)
    def catches_up(
        self, name: str, chosen: list[tuple[SheetKind, int, int, int]], back: bool
    ) -> None:
        entries: dict[CellKey, Tick | float] = {}
        for kind, row, days, n in chosen:
            key = self._row(kind, row)
            if key is not None:
                entries[CellKey(row=key, on=self.ago(days))] = _value(kind, n)
        doubts(self.ann, entries)
        self.do(name, lambda d: catch_up(d, entries), back=back)

    @rule(weeks=st.integers(0, 3))
    def looks_at_the_sheet(self, weeks: int) -> None:
        """Each closed field stands on a completion of its day."""
        sheet = catch_up_sheet(self.ann, weeks_back=weeks)
        done = {(str(r["task_id"]), r["on_date"]) for r in self.rows("completion")}
        closed = {Status.DONE, Status.SKIPPED}
        for row in sheet.rows:
            for on, known in row.known.items():
                assert on in sheet.days
                assert known.status not in closed or (row.key.name, on) in done

    @rule(name=who, n=which, back=back, days=st.integers(-1, 40))
    def puts_off_a_round(self, name: str, n: int, back: bool, days: int) -> None:
        week = this_week(self.ann)
        found = [r for r in in_rounds([*week.open_items, *week.later]) if isinstance(r, RoundItem)]
        if found:
            item = self.pick(found, n)
            keys = [(i.task, i.occurrence.key) for i in item.items]
            to = item.items[0].today + timedelta(days=days)
            self.do(name, lambda d: put_off_round(d, item.name, keys, to), back=back)

    def _row(self, kind: SheetKind, n: int) -> RowKey | None:
        rows = [r.key for r in catch_up_sheet(self.ann).rows if r.key.kind is kind]
        return self.pick(rows, n) if rows else None


def _value(kind: SheetKind, n: int) -> Tick | float:
    if kind is SheetKind.TASK:
        return list(Tick)[n % 3]
    if n % 7 == 0:
        # Now and then what cannot be right: half a dip, a pH of 90, a meter that runs back.
        return {SheetKind.DIPS: 1.5, SheetKind.READING: 90.0}.get(kind, float(n % 10))
    return {SheetKind.DIPS: n % 9 + 1, SheetKind.READING: n % 15 / 2}.get(kind, float(n))
