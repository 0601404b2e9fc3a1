"""What was said on the command line about power, as the services take it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.cli.figures import exact
from tubcare.energy.chiller import Evaporator
from tubcare.energy.ideas import Idea, IdeaKind
from tubcare.energy.monthly_means import MonthlyMeans
from tubcare.energy.standing_charge import StandingView
from tubcare.energy.tariff_plan import TariffKind, TariffPlan
from tubcare.errors import InputError
from tubcare.services.power_drift import DriftTest
from tubcare.water.units import Dimension, Unit, to_inside
from tubcare.words.money import parse_payment
from tubcare.words.sentences.layers import parse_layers
from tubcare.words.sentences.tariff_bands import parse_bands

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator
    from decimal import Decimal

    from tubcare.energy.from_profile import BuildCatalogue, Described
    from tubcare.energy.price_text import HourlyPrices
    from tubcare.words.locale import Speech

_NUMBERS = (
    "bridges_w_k",
    "lid_absorptance",
    "shading",
    "cooling_w",
    "least_air_c",
    "pump_w",
    "pump_hours_per_day",
    "set_point_c",
    "dips_per_day",
)


def means_from(values: argparse.Namespace, latitude_deg: float | None) -> MonthlyMeans:
    """Return twelve monthly means, January first."""
    unit = Unit.FAHRENHEIT if values.unit == "fahrenheit" else Unit.CELSIUS
    air_c = tuple(to_inside(mean, unit, Dimension.TEMPERATURE) for mean in values.means)
    return MonthlyMeans(air_c=air_c, swing_k=(values.swing_k,) * 12, latitude_deg=latitude_deg)


def tariff_from(
    values: argparse.Namespace, speech: Speech, before: TariffPlan, hourly: HourlyPrices | None
) -> TariffPlan:
    """Return the tariff that was said; what was not said stays as it is."""
    bands = tuple(band for text in values.band for band in parse_bands(speech, "band", text))
    kind = before.kind
    if hourly is not None:
        kind = TariffKind.HOURLY
    elif bands:
        kind = TariffKind.TIME_OF_USE
    elif values.price is not None:
        kind = TariffKind.FLAT
    changes = {
        "price": _decimal(speech, "price", values.price),
        "standing_per_day": _decimal(speech, "standing", values.standing),
        "tax_percent": _decimal(speech, "tax", values.tax),
        "household_kwh_a_year": _decimal(speech, "household", values.household),
        "view": None if values.view is None else StandingView(values.view),
        "hourly": hourly,
        "bands": bands or None,
    }
    told = {name: value for name, value in changes.items() if value is not None}
    return replace(before, kind=kind, **told)  # type: ignore[arg-type]  # each is of its own kind


def described_from(
    values: argparse.Namespace, before: Described, speech: Speech, catalogue: BuildCatalogue
) -> Described:
    """Return the build that was said; what was not said stays as it is."""
    names = {each.key: each.key.replace("_", " ") for each in catalogue.materials}
    told: dict[str, object] = {
        name: getattr(values, name) for name in _NUMBERS if getattr(values, name) is not None
    }
    for part in ("wall", "lid"):
        if getattr(values, part) is not None:
            told |= {part: getattr(values, part), f"{part}_layers": ()}
        layers = getattr(values, f"{part}_layers")
        if layers is not None:
            told[f"{part}_layers"] = parse_layers(speech, f"{part}_layers", layers, names)
    if values.evaporator is not None:
        told["evaporator"] = Evaporator(values.evaporator)
    return replace(before, **told)  # type: ignore[arg-type]  # as above


def ideas_from(
    values: argparse.Namespace, speech: Speech, hourly: HourlyPrices | None
) -> tuple[Idea, ...]:
    """Return the ideas that were said, each with its price after a colon; none when none was."""
    return (*_ideas(values, speech), *_tariffs(values, speech, hourly))


def _ideas(values: argparse.Namespace, speech: Speech) -> Iterator[Idea]:
    for kind in IdeaKind:
        for text in getattr(values, kind.value, None) or ():
            amount, colon, price = text.partition(":")
            minor = parse_payment(speech, "price", price) if colon else None
            if kind in {IdeaKind.WALL, IdeaKind.LID}:
                yield Idea(kind=kind, build_up=amount, price_minor=minor)
            else:
                found = _decimal(speech, kind.value, amount)
                yield Idea(kind=kind, amount=float(found or 0), price_minor=minor)


def _tariffs(
    values: argparse.Namespace, speech: Speech, hourly: HourlyPrices | None
) -> Iterator[Idea]:
    """Return other tariffs; what they say is what is paid, tax included."""
    for text in values.by_time:
        price, _, bands = text.partition(";")
        plan = TariffPlan(
            kind=TariffKind.TIME_OF_USE,
            price=_decimal(speech, "by_time", price.strip()),
            bands=parse_bands(speech, "by_time", bands),
        )
        yield Idea(kind=IdeaKind.TARIFF, tariff=plan)
    if hourly is not None:
        plan = TariffPlan(kind=TariffKind.HOURLY, hourly=hourly)
        yield Idea(kind=IdeaKind.TARIFF, tariff=plan)


def drift_from(values: argparse.Namespace, speech: Speech) -> DriftTest:
    """Return a drift test from readings written as hours=temperature."""
    readings = []
    for pair in values.readings:
        hours, equals, water = pair.partition("=")
        if not equals:
            raise InputError("readings", f"“{pair}” is not like 3.5=6.2, hours and °C")
        found = [_decimal(speech, "readings", text) for text in (hours, water)]
        readings.append((float(found[0] or 0), float(found[1] or 0)))
    return DriftTest(readings=tuple(readings), air_c=values.air_c)


def _decimal(speech: Speech, name: str, text: str | None) -> Decimal | None:
    if text is None:
        return None
    return exact(speech, name, text)
