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
PH_MINUS, GRANULES = "pH minus (sodium bisulfate)", "Chlorine granules"
# What a correction takes, in grams for a cubic metre: invented, of the size of a small correction.
DOSES: Mapping[str, tuple[str, float]] = {
    "water.correct_ph": (PH_MINUS, 22.0),
    "water.dose_chlorine": (GRANULES, 2.5),
}
_WEIGHED_WHOLE_G = 5
DOSE_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP})
PUMP_HOURS_A_DAY = 9.5
# By month, invented: what the chiller of the one draws, and the water of the one without.
_CHILLER_KWH_A_DAY = {4: 0.15, 5: 0.4, 6: 0.7, 7: 1.0, 8: 1.0, 9: 0.75, 10: 0.4, 11: 0.15}
_CHILLED_C = {4: 5.2, 5: 5.6, 6: 6.0, 7: 6.2, 8: 6.2, 9: 6.0, 10: 5.8, 11: 5.6, 12: 4.6}
_UNCHILLED_C = {4: 4.5, 5: 8.5, 6: 13.0, 7: 16.0, 8: 16.5, 9: 14.0, 10: 10.5, 11: 6.8, 12: 3.4}
_AIR_C = {4: 4, 5: 9, 6: 13, 7: 17, 8: 17, 9: 14, 10: 10, 11: 6, 12: 3}


def live_a_day(desk: Desk, tub: TubLife, chance: random.Random) -> None:
    """Let people bathe, the meters run and the water drift for one day."""
    chiller_kwh = _CHILLER_KWH_A_DAY.get(desk.now().month, 0.0) if tub.chiller_w else 0.0
    tub.kwh += tub.pump_w * PUMP_HOURS_A_DAY / 1000 + chiller_kwh
    tub.pump_h += PUMP_HOURS_A_DAY
    tub.chiller_h += chiller_kwh * 1000 / tub.chiller_w if tub.chiller_w else 0.0
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
        water_c=_water_c(desk, tub, chance) if alone else None,
    )


def usual_water_c(tub: TubLife, month: int) -> float:
    """Return how cold the water of a tub usually is in a month, in °C."""
    return (_CHILLED_C if tub.chiller_w else _UNCHILLED_C).get(month, 3.0)


def test_water(desk: Desk, tub: TubLife, chance: random.Random) -> None:
    """Write down a test of the water, with more values on the first days of a month."""
    now = desk.now().astimezone(ZONE)
    values = {
        "ph": round(tub.ph, 1),
        "free_chlorine_mg_l": round(tub.chlorine, 1),
        "water_c": _water_c(desk, tub, chance),
    }
    if now.day <= 3:
        values |= {"alkalinity_mg_l": 60 - now.month // 2, "clarity": 0.0, "tds_mg_l": 220.0}
    if now.weekday() == 4:
        values["air_c"] = round(_AIR_C.get(now.month, -5) + chance.gauss(0, 3), 1)
    add_readings(desk, tub.id, values)


def dose(desk: Desk, tub: TubLife, key: str) -> None:
    """Write down what was dosed with a correction, and let the water follow."""
    if key == "water.correct_ph":
        tub.ph = 7.15
    else:
        tub.chlorine = 2.4
    product, amount = _dose_of(tub, key)
    now = desk.now()
    tub.dosed_on = now.astimezone(ZONE).date()
    with desk.write("add_dose", tub.name, DOSE_TOPICS) as unit:
        unit.add(
            DoseRow,
            tub_id=tub.id,
            product=desk.own_words(product),
            amount=amount,
            unit="g",
            on_date=tub.dosed_on,
            at=now,
            wait_until=now + timedelta(hours=4),
            person_id=ensure_person(unit, desk.actor),
        )


def dose_uses(desk: Desk, tub: TubLife, key: str) -> dict[SupplyId, int] | None:
    """Return what a correction takes off the shelf; None for other tasks."""
    if key not in DOSES:
        return None
    name, amount = _dose_of(tub, key)
    with desk.read() as connection:
        supply = find_supply(connection, desk.own_words(name))
    return {} if supply is None else {supply: round(amount * 1000)}


def _dose_of(tub: TubLife, key: str) -> tuple[str, float]:
    product, for_a_cubic_metre = DOSES[key]
    amount = for_a_cubic_metre * tub.litres / 1000
    return product, round(amount, 0 if amount > _WEIGHED_WHOLE_G else 1)


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


def _water_c(desk: Desk, tub: TubLife, chance: random.Random) -> float:
    return round(usual_water_c(tub, desk.now().month) + chance.gauss(0, 0.4), 1)
