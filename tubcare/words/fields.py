"""The names of fields, as errors and forms tell them."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.words.measures import MEASURED, measured_name, unit_of
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.words.locale import Speech

FIELDS: Mapping[str, Term] = MappingProxyType(
    {
        "amount": term("field", "amount"),
        "minor": term("field", "amount"),
        "price": term("field", "price"),
        "power_price_per_kwh": term("field", "price of power"),
        "water_price_per_m3": term("field", "price of water"),
        "budget": term("field", "budget"),
        "currency": term("field", "currency"),
        "category": term("field", "category"),
        "quantity": term("field", "quantity"),
        "quantity_milli": term("field", "quantity"),
        "litres": term("field", "litres"),
        "counter": term("field", "counter"),
        "value": term("field", "value"),
        "reading": term("field", "reading"),
        "date": term("field", "date"),
        "on": term("field", "date"),
        "start": term("field", "first day"),
        "date range": term("field", "dates"),
        "time of day": term("field", "time of day"),
        "minutes": term("field", "minutes"),
        "lead_days": term("field", "days ahead"),
        "on_time_days": term("field", "days on time"),
        "overdue_days": term("field", "days until overdue"),
        "name": term("field", "name"),
        "title": term("field", "title"),
        "person": term("field", "person"),
        "tub": term("field", "tub"),
        "task": term("field", "task"),
        "supply": term("field", "supply"),
        "note": term("field", "note"),
        "reason": term("field", "reason"),
        "zone": term("field", "time zone"),
        "season": term("field", "season"),
        "season_opens": term("field", "planned opening"),
        "season_closes": term("field", "planned closing"),
        "triggers": term("field", "what makes it due"),
        "count": term("field", "number"),
        "every": term("field", "interval"),
        "offset_days": term("field", "days from the turn of the season"),
        "risk_percent": term("field", "risk of frost"),
        "condition": term("field", "condition"),
        "comparison": term("field", "comparison"),
        "limit": term("field", "limit"),
        "range": term("field", "range"),
        "dips": term("field", "dips"),
        "people": term("field", "people"),
        "volume_l": term("field", "volume"),
        "set_point_c": term("field", "set point"),
        "latitude_deg": term("field", "latitude"),
        "logbook": term("field", "logbook"),
        "RRULE": term("field", "calendar rule"),
        "FREQ": term("field", "calendar rule, FREQ"),
        "UNTIL": term("field", "calendar rule, UNTIL"),
        "COUNT": term("field", "calendar rule, COUNT"),
        "INTERVAL": term("field", "calendar rule, INTERVAL"),
    }
)


def field_name(speech: Speech, name: str) -> str:
    """Return the name of a field; one that is not known is told as it is written."""
    known = FIELDS.get(name)
    if known is not None:
        return say_term(speech, known)
    if name in MEASURED or unit_of(name) is not None:
        return measured_name(speech, name)
    if name.startswith("BY") or name == "WKST":
        return speech.say("calendar rule, {part}", part=name)
    return name.replace("_", " ")
