"""Changes of a scenario, one of each kind, as a what-if compares them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.energy.envelope import Envelope
    from tubcare.energy.what_if import Scenario

    Change = Callable[[Scenario], Scenario]


def with_set_point(set_point_c: float) -> Change:
    def change(scenario: Scenario) -> Scenario:
        thermostat = replace(scenario.tub.thermostat, set_point_c=set_point_c)
        return replace(scenario, tub=replace(scenario.tub, thermostat=thermostat))

    return change


def with_envelope(change_envelope: Callable[[Envelope], Envelope]) -> Change:
    def change(scenario: Scenario) -> Scenario:
        envelope = change_envelope(scenario.tub.envelope)
        return replace(scenario, tub=replace(scenario.tub, envelope=envelope))

    return change


def with_shading(shading: float) -> Change:
    return with_envelope(lambda envelope: replace(envelope, shading=shading))


def with_pump_hours(hours_per_day: float) -> Change:
    def change(scenario: Scenario) -> Scenario:
        pump = replace(scenario.tub.pump, hours_per_day=hours_per_day)
        return replace(scenario, tub=replace(scenario.tub, pump=pump))

    return change
