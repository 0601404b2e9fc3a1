"""The closed sets of words that upkeep is described with."""

from __future__ import annotations

from enum import StrEnum


class Scope(StrEnum):
    """The part of the year in which a task is alive."""

    IN_SEASON = "in_season"
    CLOSED_SEASON = "closed_season"
    ALWAYS = "always"


class OutOfScope(StrEnum):
    """What a task's clock does outside its scope.

    `STOP_CLOCK` counts only the days in scope; `MOVE_TO_START` starts the clock anew when the
    scope begins; `SKIP` lets dates outside fall away.
    """

    STOP_CLOCK = "stop_clock"
    MOVE_TO_START = "move_to_start"
    SKIP = "skip"


class Period(StrEnum):
    """The unit of an interval."""

    DAY = "day"
    WEEK = "week"
    MONTH = "month"
    YEAR = "year"


class Counter(StrEnum):
    """What use is counted in: dips, hours of pump and chiller, kilowatt hours, litres filled."""

    DIP = "dip"
    PUMP_H = "pump_h"
    CHILLER_H = "chiller_h"
    KWH = "kwh"
    LITRE = "litre"


class Edge(StrEnum):
    """A turn of the year that a season trigger hangs on.

    `FROST_WATCH` is the first day on which frost must be watched for, `FROST_DRY` the day by which
    all that could freeze must be dry.
    """

    OPENING = "opening"
    CLOSING = "closing"
    FROST_WATCH = "frost_watch"
    FROST_DRY = "frost_dry"


class Comparison(StrEnum):
    """How a reading is held against its limit."""

    LESS = "<"
    AT_MOST = "<="
    MORE = ">"
    AT_LEAST = ">="
    OUTSIDE = "outside"


class TubState(StrEnum):
    """What a tub is doing. `CHILLER_RESTING` is open in natural cold, `PAUSED` its people away."""

    OPEN = "open"
    CLOSED = "closed"
    PAUSED = "paused"
    CHILLER_RESTING = "chiller_resting"
    OUT_OF_ORDER = "out_of_order"
    RETIRED = "retired"


class Status(StrEnum):
    """Where an occurrence stands."""

    COMING = "coming"
    DUE = "due"
    LATE = "late"
    OVERDUE = "overdue"
    ASLEEP = "asleep"
    DONE = "done"
    SKIPPED = "skipped"


class Outcome(StrEnum):
    """How an occurrence was closed."""

    DONE = "done"
    SKIPPED = "skipped"


class InspectionResult(StrEnum):
    """What an inspection found."""

    GOOD = "good"
    DOUBTFUL = "doubtful"
    BAD = "bad"


class Category(StrEnum):
    """The part of the tub, or of its keeping, that a task belongs to."""

    WATER = "water"
    FILTER = "filter"
    PUMP = "pump"
    CHILLER = "chiller"
    LINES = "lines"
    LINER = "liner"
    LID = "lid"
    WOOD = "wood"
    INSULATION = "insulation"
    ELECTRICS = "electrics"
    INSTRUMENTS = "instruments"
    CHEMICAL_STORE = "chemical_store"
    METERING = "metering"
    GROUND = "ground"
    SEASON = "season"
    SAFETY = "safety"
    OTHER = "other"
