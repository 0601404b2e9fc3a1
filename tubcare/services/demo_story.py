"""Two open seasons of the demo's club, visit by visit: invented, and the same for the same day."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care.model import InspectionResult, ReadingReason, Status
from tubcare.care.occurrences import occurrences
from tubcare.ledger.categories import SpendCategory
from tubcare.services.corrections import refund
from tubcare.services.demo_club import PEOPLE, plan_the_year, shop
from tubcare.services.demo_days import (
    DOSES,
    PROCEDURES,
    dose,
    dose_uses,
    live_a_day,
    read_meters,
    test_water,
    work_on,
)
from tubcare.services.facts import read_plan
from tubcare.services.money import Belongs, DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.upkeep_model import UPKEEP_TOPICS, Work
from tubcare.services.upkeep_put_off import put_off, skip
from tubcare.services.upkeep_tick import insert_tick
from tubcare.services.upkeep_work import record_work

if TYPE_CHECKING:
    import random

    from tubcare.care.model import Occurrence, Task
    from tubcare.services.demo_club import TubLife
    from tubcare.services.demo_desk import PastClock, PastDesk
    from tubcare.services.facts import Plan

SUNDAY = 6
# As the templates name it.
SUNDAY_ROUND = "Sunday round"
# In their first year they came twice a week, in winter once.
FIRST_VISITS, VISITS = frozenset({2, SUNDAY}), frozenset({2, 4, SUNDAY})
WINTER_VISITS = frozenset({5})
AFTERNOON = time(17)
# The cable of the second tub is looked over for the last time so many days before the end.
LAST_LOOK, LAST_LOOK_DAYS = "electrics.cable", 33
_REASONS = ("rain all week", "away for the weekend", "waiting for a part", "too windy on the deck")
_CAN_WAIT = frozenset(
    {
        "lid.gasket",
        "lines.dry_finger",
        "wood.wash",
        "store.look",
        "liner.inspect",
        "chiller.coil",
        "pump.look",
    }
)
_INSPECTIONS = frozenset({"liner.aluminium", "liner.inspect", "lid.gasket"})


class Open(NamedTuple):
    """A task that is due at a tub, and the key of the template that it came from."""

    task: Task
    occurrence: Occurrence
    tub: TubLife
    key: str


class Story:
    """Tells the past of the club day by day.

    Parameters
    ----------
    last
        The last day that is told; the day after is the reader's today.
    """

    def __init__(
        self,
        desk: PastDesk,
        clock: PastClock,
        tubs: tuple[TubLife, TubLife],
        chance: random.Random,
        last: date,
    ) -> None:
        self._desk = desk
        self._clock = clock
        self._tubs = tubs
        self._chance = chance
        self._last = last

    def tell(self, first: date) -> None:
        """Tell all days from the first to the last."""
        for number in range((self._last - first).days + 1):
            day = first + timedelta(days=number)
            self._clock.go_to(day, AFTERNOON)
            self._desk.actor = PEOPLE[day.toordinal() % len(PEOPLE)]
            self._day(day, day.year == first.year)

    def _day(self, day: date, is_first_year: bool) -> None:  # noqa: FBT001  tells which season
        is_busy = day.month == 4 or any(tub.is_open for tub in self._tubs)
        if (day.month, day.day) == (4, 1):
            plan_the_year(self._desk, day.year)
        if day.day == 10 and is_busy:
            shop(self._desk, day)
        if is_first_year:
            self._happenings(day)
        for tub in self._tubs:
            if tub.is_open:
                live_a_day(self._desk, tub, self._chance)
        visits = FIRST_VISITS if is_first_year else VISITS
        if day.weekday() in (visits if is_busy else WINTER_VISITS):
            self._visit(day, is_first_year)
        if (self._last - day).days == LAST_LOOK_DAYS:
            self._look_for_the_last_time()

    def _visit(self, day: date, is_first_year: bool) -> None:  # noqa: FBT001  tells which season
        for tub in self._tubs:
            # The last day ends with the newest test.
            if tub.is_open and day != self._last:
                test_water(self._desk, tub, self._chance)
        with self._desk.read() as connection:
            plan = read_plan(connection, self._desk.now())
        for tub in self._tubs:
            tasks = tuple(task for task in plan.tasks if task.tub_id == tub.id)
            known = {tub.id: plan.tubs[tub.id].facts}
            for found in occurrences(tasks, plan.facts, known, day):
                task = next(each for each in tasks if each.id == found.task_id)
                if found.status is Status.ASLEEP or found.due_on > day:
                    continue
                if (
                    task.round_name == self._desk.own_words(SUNDAY_ROUND)
                    and day.weekday() != SUNDAY
                ):
                    continue
                key = tub.tasks.get(task.id, "")
                if not self._is_missed(tub, key, day, is_first_year):
                    self._item(plan, Open(task, found, tub, key), day)

    def _is_missed(self, tub: TubLife, key: str, day: date, is_first_year: bool) -> bool:  # noqa: FBT001  tells which season
        """Return whether nobody does it: the last look, frost in the first May, a fresh dose."""
        if key in DOSES and tub.dosed_on == day:
            return True
        if key == LAST_LOOK and tub is self._tubs[1]:
            return (self._last - day).days <= LAST_LOOK_DAYS
        in_may = day.month == 5 and 4 <= day.day <= 21
        return is_first_year and in_may and key == "season.frost_watch"

    def _item(self, plan: Plan, item: Open, day: date) -> None:
        task, found, luck = item.task, item.occurrence, self._chance.random()
        if item.key in PROCEDURES:
            work_on(self._desk, item.tub, task, found.key, item.key)
        elif self._can_wait(item) and luck < 0.10:
            to = day + timedelta(days=self._chance.randint(3, 8))
            put_off(self._desk, task.id, found.key, to, self._chance.choice(_REASONS))
        elif item.key == "filter.rinse" and luck < 0.04:
            skip(self._desk, task.id, found.key, "swapped two days ago")
        elif item.key in _CAN_WAIT and luck > 0.85:
            return
        else:
            self._tick(plan, item)

    def _can_wait(self, item: Open) -> bool:
        found = item.occurrence
        asked = isinstance(found.reason, ReadingReason)
        return item.key in _CAN_WAIT and not asked and not found.put_offs

    def _tick(self, plan: Plan, item: Open) -> None:
        if item.key == "metering.read":
            read_meters(self._desk, item.tub)
        result = None
        if item.key in _INSPECTIONS:
            doubtful = self._chance.random() < 0.08
            result = InspectionResult.DOUBTFUL if doubtful else InspectionResult.GOOD
        minutes = round(item.task.minutes * self._chance.uniform(0.8, 1.5)) or None
        uses = dose_uses(self._desk, item.tub, item.key)
        work = Work(minutes=minutes, result=result, uses=uses)
        with self._desk.write("tick_off", item.task.title, UPKEEP_TOPICS) as unit:
            insert_tick(self._desk, unit, plan, item.task, work)
        if item.key in DOSES:
            dose(self._desk, item.tub, item.key)

    def _look_for_the_last_time(self) -> None:
        tub = self._tubs[1]
        task = next(task for task, key in tub.tasks.items() if key == LAST_LOOK)
        record_work(self._desk, task, Work(), restarts=True)

    def _happenings(self, day: date) -> None:
        """Tell what happened once, in the first season: a repair, a wrong purchase, its refund."""
        shore, yard = (Belongs(tub=tub.id) for tub in self._tubs)
        if (day.month, day.day) == (7, 8):
            note = "New seal and bearing for the pump"
            self._pay(day, SpendCategory.REPAIRS, 16_800, "Pump workshop", note, shore)
        if (day.month, day.day) == (8, 19):
            note = "Two boards and stainless screws for the steps"
            self._pay(day, SpendCategory.PARTS, 4_350, "Timber yard", note, yard)
        if (day.month, day.day) == (6, 3):
            wrong = StockPurchase(
                on=day,
                supply="Filter cartridge, long",
                unit="piece",
                category=SpendCategory.FILTERS,
                quantity_milli=4_000,
                minor=5_200,
                payee="Pool supplies",
                note="Too long for the housing",
            )
            bought = buy_stock(self._desk, wrong)
            on = day + timedelta(days=9)
            refund(self._desk, bought, on=on, minor=5_200, quantity_milli=4_000)

    def _pay(
        self,
        on: date,
        category: SpendCategory,
        minor: int,
        payee: str,
        note: str,
        belongs: Belongs,
    ) -> None:
        bill = DirectPurchase(
            on=on, category=category, minor=minor, payee=payee, note=note, belongs=belongs
        )
        pay(self._desk, bill)
