"""What a day at the demo's tubs brings: dips, tests, doses, meters and long procedures."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.care.model import TubState
from tubcare.services.demo_club import PEOPLE
from tubcare.services.demo_desk import ZONE
from tubcare.services.household import ensure_person
from tubcare.services.measures import MeterValue, add_dip, add_readings
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.supplies import find_supply
from tubcare.services.topics import Topic
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_tick import tick_off
from tubcare.store.tables import DoseRow, StepTickRow

if TYPE_CHECKING:
    import random
    from collections.abc import Mapping

    from tubcare.care.model import Task
    from tubcare.services.demo_club import TubLife
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId

# Steps that are ticked on the first, the second and the third visit of a procedure.
PROCEDURES: Mapping[str, tuple[int, int, int]] = {
    "season.open": (4, 5, 3),
    "season.close": (1, 8, 4),
    "water.change": (1, 7, 3),
}
# What a correction takes, in grams: invented amounts for tubs of this size.
DOSES: Mapping[str, tuple[str, int]] = {
    "water.correct_ph": ("pH minus (sodium bisulfate)", 18),
    "water.dose_chlorine": ("Chlorine granules", 6),
}
DOSE_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP})
# Mean power and pump hours by month; invented, but warm months cool longer.
_KWH_A_DAY = {4: 1.2, 5: 2.1, 6: 3.2, 7: 3.9, 8: 3.5, 9: 2.3, 10: 1.4, 11: 0.9, 12: 0.7}
_WATER_C = {4: 4.6, 5: 5.4, 6: 6.4, 7: 7.2, 8: 6.9, 9: 6.0, 10: 5.2, 11: 4.1, 12: 3.2}
_AIR_C = {4: 4, 5: 10, 6: 15, 7: 18, 8: 16, 9: 10, 10: 5, 11: 0, 12: -4}


def live_a_day(desk: Desk, tub: TubLife, chance: random.Random) -> None:
    """Let people bathe, the meters run and the water drift for one day."""
    month = desk.now().month
    tub.kwh += _KWH_A_DAY.get(month, 0.4) * (1.0 if tub.name == "Shore" else 0.45)
    tub.pump_h += 9.5
    tub.chiller_h += _KWH_A_DAY.get(month, 0.4) / 0.45 if tub.name == "Shore" else 0
    tub.ph += chance.gauss(0.022, 0.012)
    tub.chlorine = max(0.1, tub.chlorine * chance.uniform(0.86, 0.94))
    if chance.random() < 0.55:
        return
    dips = chance.choice((1, 1, 2, 2, 3, 4, 6))
    tub.chlorine = max(0.1, tub.chlorine - 0.03 * dips)
    alone = dips == 1
    add_dip(
        desk,
        tub.id,
        dips=dips,
        person=chance.choice(PEOPLE) if alone else None,
        minutes=chance.choice((2, 3, 4)) if alone else None,
        water_c=_water_c(desk, chance) if alone else None,
    )


def test_water(desk: Desk, tub: TubLife, chance: random.Random) -> None:
    """Write down a test of the water, with more values on the first days of a month."""
    now = desk.now().astimezone(ZONE)
    values = {
        "ph": round(tub.ph, 1),
        "free_chlorine_mg_l": round(tub.chlorine, 1),
        "water_c": _water_c(desk, chance),
    }
    if now.day <= 3:
        values |= {"alkalinity_mg_l": 80 - now.month, "clarity": 0.0, "tds_mg_l": 220.0}
    if now.weekday() == 4:
        values["air_c"] = round(_AIR_C.get(now.month, -5) + chance.gauss(0, 3), 1)
    add_readings(desk, tub.id, values)


def dose(desk: Desk, tub: TubLife, key: str) -> None:
    """Write down what was dosed with a correction, and let the water follow."""
    if key == "water.correct_ph":
        tub.ph = 7.15
    else:
        tub.chlorine = 2.4
    product, amount = DOSES[key]
    now = desk.now()
    tub.dosed_on = now.astimezone(ZONE).date()
    with desk.write("add_dose", tub.name, DOSE_TOPICS) as unit:
        unit.add(
            DoseRow,
            tub_id=tub.id,
            product=desk.own_words(product),
            amount=float(amount),
            unit="g",
            on_date=tub.dosed_on,
            at=now,
            wait_until=now + timedelta(hours=4),
            person_id=ensure_person(unit, desk.actor),
        )


def dose_uses(desk: Desk, key: str) -> dict[SupplyId, int] | None:
    """Return what a correction takes off the shelf; None for other tasks."""
    if key not in DOSES:
        return None
    name, amount = DOSES[key]
    with desk.read() as connection:
        supply = find_supply(connection, desk.own_words(name))
    return {} if supply is None else {supply: amount * 1000}


def read_meters(desk: Desk, tub: TubLife) -> None:
    """Write down what the meters of a tub show."""
    shown = {"kwh": tub.kwh, "pump_h": tub.pump_h, "chiller_h": tub.chiller_h}
    for counter, value in shown.items():
        if value or counter == "kwh":
            reading = MeterValue(counter=counter, value_milli=round(value * 1000))
            add_meter_reading(desk, tub.id, reading)


def work_on(desk: Desk, tub: TubLife, task: Task, occurrence: str, key: str) -> None:
    """Do one visit's share of a procedure: its steps, on the last visit the tick and the fill."""
    shares = PROCEDURES[key]
    visit = tub.visits.get(occurrence, 0)
    with desk.write("tick_step", task.title, frozenset({Topic.UPKEEP})) as unit:
        for step in range(sum(shares[:visit]), sum(shares[: visit + 1])):
            unit.add(
                StepTickRow,
                task_id=task.id,
                key=occurrence,
                step=step,
                at=desk.now(),
                person_id=ensure_person(unit, desk.actor),
            )
    tub.visits[occurrence] = visit + 1
    if visit + 1 < len(shares):
        return
    done = tick_off(desk, task.id, occurrence, Work(minutes=task.minutes or None))
    if done.entered is not None:
        tub.is_open = done.entered is TubState.OPEN
    if key != "season.close":
        add_fill(desk, tub.id, tub.litres, completion=done.completion)
        tub.ph, tub.chlorine = 7.2, 2.2
    if key != "water.change":
        read_meters(desk, tub)


def _water_c(desk: Desk, chance: random.Random) -> float:
    return round(_WATER_C.get(desk.now().month, 4.0) + chance.gauss(0, 0.4), 1)
