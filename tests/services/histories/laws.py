"""What must hold in a logbook after any history of use cases."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from tubcare.services.facts import read_plan
from tubcare.services.tasks import open_key
from tubcare.services.week import due_items, this_week

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

Facts = dict[str, list[dict[str, Any]]]
KEYED = ("completion", "put_off", "step_tick")


def assert_the_plan_holds(desk: Desk, facts: Facts) -> None:
    """At most one open occurrence for each task, never one that is closed, and dates in order."""
    with desk.read() as connection:
        items = due_items(desk, read_plan(connection, desk.now()))
    counted = Counter(item.task for item in items)
    assert set(counted.values()) <= {1}
    closed = {(row["task_id"], row["key"]) for row in facts["completion"]}
    active = {row["id"]: row["tub_id"] for row in facts["task"] if row["active"]}
    for item in items:
        found = item.occurrence
        assert item.task in active
        assert (item.task, found.key) not in closed
        assert found.opens_on <= found.due_on
        if found.late_after is not None and found.overdue_after is not None:
            assert found.due_on <= found.late_after <= found.overdue_after
        _assert_key(facts, item.task, found.key)
    if items:
        assert open_key(desk, items[0].task) == items[0].occurrence.key
    assert this_week(desk) == this_week(desk)


def assert_keys_hold(facts: Facts) -> None:
    """Every key names a fact of the same task or tub that is there."""
    for name in KEYED:
        for row in facts[name]:
            if row["key"] is not None:
                _assert_key(facts, row["task_id"], row["key"])


def _assert_key(facts: Facts, task: int, key: str) -> None:
    kind, _, number = key.partition("@")[0].partition(":")
    if kind == "start":
        assert int(number) == task
    elif kind == "done":
        assert {r["task_id"] for r in facts["completion"] if r["id"] == int(number)} == {task}
    else:
        tubs = {r["tub_id"] for r in facts["state_change"] if r["id"] == int(number)}
        assert tubs, key


def assert_refunds_hold(facts: Facts) -> None:
    """No more comes back than was paid, and not before it was paid."""
    paid = {row["id"]: row for row in facts["entry"]}
    came_back: Counter[int] = Counter()
    for row in facts["entry"]:
        original = row["refund_of"]
        if original is None:
            assert row["minor"] > 0
            continue
        assert row["minor"] < 0
        assert paid[original]["on_date"] <= row["on_date"]
        assert row["supply_id"] == paid[original]["supply_id"]
        came_back[original] -= row["minor"]
    assert all(minor <= paid[original]["minor"] for original, minor in came_back.items())


def assert_charges_hold(facts: Facts) -> None:
    """Each power charge is the step between two readings of its meter; water its litres."""
    charges = {r["meter_reading_id"]: r for r in facts["entry"] if r["meter_reading_id"]}
    readings = sorted(facts["meter_reading"], key=lambda r: (r["tub_id"], r["at"], r["id"]))
    power = [r for r in readings if r["counter"] == "kwh"]
    steps = {b["id"]: (a, b) for a, b in pairwise(power) if a["tub_id"] == b["tub_id"]}
    for reading, charge in charges.items():
        before, after = steps[reading]
        assert charge["from_date"] == before["on_date"]
        assert charge["quantity_milli"] == after["value_milli"] - before["value_milli"]
    litres = {row["id"]: round(row["litres"] * 1000) for row in facts["fill"]}
    for row in facts["entry"]:
        if row["fill_id"] is not None:
            assert row["quantity_milli"] == litres[row["fill_id"]]
