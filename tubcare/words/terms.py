"""The word for each member of the closed sets that upkeep and tubs are described with."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care.procedure import StepState
from tubcare.care.terms import (
    Category,
    Comparison,
    Counter,
    Edge,
    InspectionResult,
    Outcome,
    OutOfScope,
    Period,
    Scope,
    Status,
    TubState,
)
from tubcare.values import Cladding, FilterKind, LidKind, Liner, Sanitiser, Shape
from tubcare.words.locale import Units

if TYPE_CHECKING:
    from collections.abc import Mapping
    from enum import StrEnum

    from tubcare.words.locale import Speech


class Term(NamedTuple):
    """A word with the context that it is translated in."""

    context: str
    text: str


def term(context: str, text: str) -> Term:
    """Mark a word for translation without translating it yet."""
    return Term(context, text)


def say_term(speech: Speech, marked: Term, **parts: object) -> str:
    """Return a marked word in the person's language, its ``{name}`` places filled."""
    return speech.say_in(marked.context, marked.text, **parts)


def word(speech: Speech, member: StrEnum) -> str:
    """Return the word for a member of a closed set, such as `Status.LATE`."""
    return say_term(speech, TERMS[type(member)][member])


TERMS: Mapping[type[StrEnum], Mapping[StrEnum, Term]] = MappingProxyType(
    {
        Scope: {
            Scope.IN_SEASON: term("scope", "in season"),
            Scope.CLOSED_SEASON: term("scope", "while closed"),
            Scope.ALWAYS: term("scope", "all year"),
        },
        OutOfScope: {
            OutOfScope.STOP_CLOCK: term("out of scope", "counts only the days in its time"),
            OutOfScope.MOVE_TO_START: term("out of scope", "starts anew when its time begins"),
            OutOfScope.SKIP: term("out of scope", "drops dates outside its time"),
        },
        Period: {
            Period.DAY: term("period", "days"),
            Period.WEEK: term("period", "weeks"),
            Period.MONTH: term("period", "months"),
            Period.YEAR: term("period", "years"),
        },
        Counter: {
            Counter.DIP: term("counter", "dips"),
            Counter.PUMP_H: term("counter", "pump hours"),
            Counter.CHILLER_H: term("counter", "chiller hours"),
            Counter.KWH: term("counter", "kilowatt hours"),
            Counter.LITRE: term("counter", "litres filled"),
        },
        Edge: {
            Edge.OPENING: term("edge", "opening"),
            Edge.CLOSING: term("edge", "closing"),
            Edge.FROST_WATCH: term("edge", "the start of the frost watch"),
            Edge.FROST_DRY: term("edge", "the day by which all must be dry"),
        },
        Comparison: {
            Comparison.LESS: term("comparison", "below"),
            Comparison.AT_MOST: term("comparison", "at most"),
            Comparison.MORE: term("comparison", "above"),
            Comparison.AT_LEAST: term("comparison", "at least"),
            Comparison.OUTSIDE: term("comparison", "outside"),
        },
        TubState: {
            TubState.OPEN: term("tub state", "open"),
            TubState.CLOSED: term("tub state", "closed"),
            TubState.PAUSED: term("tub state", "paused"),
            TubState.CHILLER_RESTING: term("tub state", "chiller resting"),
            TubState.OUT_OF_ORDER: term("tub state", "out of order"),
            TubState.RETIRED: term("tub state", "retired"),
        },
        Status: {
            Status.COMING: term("status", "coming"),
            Status.DUE: term("status", "due"),
            Status.LATE: term("status", "late"),
            Status.OVERDUE: term("status", "overdue"),
            Status.ASLEEP: term("status", "asleep"),
            Status.DONE: term("status", "done"),
            Status.SKIPPED: term("status", "skipped"),
        },
        StepState: {
            StepState.DONE: term("step", "done"),
            StepState.NEXT: term("step", "next"),
            StepState.WAITING: term("step", "waiting"),
            StepState.LATER: term("step", "later"),
        },
        Outcome: {
            Outcome.DONE: term("outcome", "done"),
            Outcome.SKIPPED: term("outcome", "skipped"),
        },
        InspectionResult: {
            InspectionResult.GOOD: term("inspection", "good"),
            InspectionResult.DOUBTFUL: term("inspection", "doubtful"),
            InspectionResult.BAD: term("inspection", "bad"),
        },
        Category: {
            Category.WATER: term("category", "water"),
            Category.FILTER: term("category", "filter"),
            Category.PUMP: term("category", "pump"),
            Category.CHILLER: term("category", "chiller"),
            Category.LINES: term("category", "lines and fittings"),
            Category.LINER: term("category", "liner"),
            Category.LID: term("category", "lid"),
            Category.WOOD: term("category", "wood"),
            Category.INSULATION: term("category", "insulation"),
            Category.ELECTRICS: term("category", "electrics"),
            Category.INSTRUMENTS: term("category", "instruments"),
            Category.CHEMICAL_STORE: term("category", "chemical store"),
            Category.METERING: term("category", "metering"),
            Category.GROUND: term("category", "ground and steps"),
            Category.SEASON: term("category", "season"),
            Category.SAFETY: term("category", "safety"),
            Category.OTHER: term("category", "other"),
        },
        Shape: {
            Shape.BOX: term("shape", "box"),
            Shape.CYLINDER: term("shape", "cylinder"),
            Shape.OTHER: term("shape", "other"),
        },
        Liner: {
            Liner.ALUMINIUM: term("liner", "aluminium"),
            Liner.STAINLESS_STEEL: term("liner", "stainless steel"),
            Liner.HDPE_PP: term("liner", "HDPE or PP"),
            Liner.ACRYLIC: term("liner", "acrylic"),
            Liner.GRP: term("liner", "glass-fibre plastic (GRP)"),
            Liner.PVC: term("liner", "PVC"),
            Liner.WOOD: term("liner", "wood"),
        },
        Cladding: {
            Cladding.NONE: term("cladding", "none"),
            Cladding.SOFTWOOD: term("cladding", "softwood"),
            Cladding.DURABLE_WOOD: term("cladding", "thermally modified or tropical wood"),
            Cladding.COMPOSITE: term("cladding", "composite"),
        },
        Sanitiser: {
            Sanitiser.CHLORINE: term("sanitiser", "chlorine"),
            Sanitiser.BROMINE: term("sanitiser", "bromine"),
            Sanitiser.HYDROGEN_PEROXIDE: term("sanitiser", "hydrogen peroxide"),
            Sanitiser.OZONE: term("sanitiser", "ozone"),
            Sanitiser.UV: term("sanitiser", "UV lamp"),
            Sanitiser.FREQUENT_CHANGE: term("sanitiser", "none, water changed often"),
        },
        FilterKind: {
            FilterKind.NONE: term("filter kind", "none"),
            FilterKind.CARTRIDGE: term("filter kind", "cartridge"),
            FilterKind.BAG: term("filter kind", "bag"),
            FilterKind.SAND: term("filter kind", "sand"),
        },
        LidKind: {
            LidKind.NONE: term("lid", "none"),
            LidKind.SOFT: term("lid", "soft cover"),
            LidKind.INSULATED: term("lid", "insulated"),
            LidKind.WOOD: term("lid", "wood"),
        },
        Units: {
            Units.METRIC: term("units", "metric"),
            Units.US: term("units", "US customary"),
        },
    }
)
