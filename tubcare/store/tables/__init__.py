"""All tables of a logbook."""

from __future__ import annotations

from tubcare.store.tables.base import Base
from tubcare.store.tables.care import (
    CompletionRow,
    PlanDropRow,
    PutOffRow,
    StateChangeRow,
    StepTickRow,
    TaskRow,
    TaskSupplyRow,
)
from tubcare.store.tables.energy import FrostPlanRow, PowerPlanRow, WeatherRow
from tubcare.store.tables.history import ActionRow, ReminderRow
from tubcare.store.tables.household import PersonRow, SettingRow, TubRow
from tubcare.store.tables.measure import DipRow, DoseRow, FillRow, MeterReadingRow, ReadingRow
from tubcare.store.tables.money import (
    BudgetRow,
    EntryRow,
    MonthTotalRow,
    StockRow,
    SupplyRow,
    UseRow,
)
from tubcare.store.tables.water import (
    WaterKitRow,
    WaterMeasureRow,
    WaterProductRow,
    WaterRangeRow,
    WaterSourceRow,
    WaterStepRow,
)

__all__ = [
    "ActionRow",
    "Base",
    "BudgetRow",
    "CompletionRow",
    "DipRow",
    "DoseRow",
    "EntryRow",
    "FillRow",
    "FrostPlanRow",
    "MeterReadingRow",
    "MonthTotalRow",
    "PersonRow",
    "PlanDropRow",
    "PowerPlanRow",
    "PutOffRow",
    "ReadingRow",
    "ReminderRow",
    "SettingRow",
    "StateChangeRow",
    "StepTickRow",
    "StockRow",
    "SupplyRow",
    "TaskRow",
    "TaskSupplyRow",
    "TubRow",
    "UseRow",
    "WaterKitRow",
    "WaterMeasureRow",
    "WaterProductRow",
    "WaterRangeRow",
    "WaterSourceRow",
    "WaterStepRow",
    "WeatherRow",
]
