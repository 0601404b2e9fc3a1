"""A tub's build in a terminal: as JSON, and as lines with the cautions of its unit."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from tubcare.words.numbers import number, percent
from tubcare.words.plan_terms import caution_told
from tubcare.words.power_terms import build_up_word, power_word
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.power import pull_down_told

if TYPE_CHECKING:
    from tubcare.cli.output import Json, Output
    from tubcare.energy.uncertainty import Estimate
    from tubcare.services.power_change import BuildShown


def build_in_terminal(shown: BuildShown, output: Output) -> None:
    """Show a build."""
    now = shown.build.described
    output.data(
        {
            "tub": shown.build.place.name,
            "wall": now.wall,
            "lid": now.lid,
            "leak_w_k": shown.leak_w_k,
            "evaporator": now.evaporator.value,
            "least_air_c": now.least_air_c,
            "cooling_w": now.cooling_w,
            "pull_down_h": _pull_down_data(shown.pull_down),
            "pump_w": now.pump_w,
            "pump_hours_per_day": now.pump_hours_per_day,
            "set_point_c": now.set_point_c,
            "told": sorted(shown.build.told),
        }
    )
    _tell(shown, output)
    _tell_unit(shown, output)


def _pull_down_data(hours: Estimate | None) -> Json | None:
    """Return the hours with their range; a null as upper end means perhaps never."""
    if hours is None:
        return None
    high = None if math.isinf(hours.high) else hours.high
    return {"value": hours.value, "low": hours.low, "high": high}


def _tell(shown: BuildShown, output: Output) -> None:
    speech, now = output.speech, shown.build.described
    output.line(
        speech.say(
            "{tub}: wall {wall}, lid {lid}",
            tub=shown.build.place.name,
            wall=build_up_word(speech, now.wall),
            lid=build_up_word(speech, now.lid),
        )
    )
    output.line(
        speech.say(
            "Leak {leak} W/K, the lid's part of it {share}",
            leak=number(speech, shown.leak_w_k, 1),
            share=percent(speech, shown.lid_share),
        )
    )
    output.line(
        speech.say(
            "The unit takes out {cooling}; pump {pump} for {hours} a day; set point {set_point}",
            cooling=quantity(speech, now.cooling_w, Unit.WATT),
            pump=quantity(speech, now.pump_w, Unit.WATT),
            hours=quantity(speech, now.pump_hours_per_day, Unit.HOUR),
            set_point=quantity(speech, now.set_point_c, Unit.CELSIUS),
        )
    )


def _tell_unit(shown: BuildShown, output: Output) -> None:
    speech, now = output.speech, shown.build.described
    kind = speech.say("Kind of unit: {kind}", kind=power_word(speech, now.evaporator))
    told = pull_down_told(
        speech,
        shown.pull_down,
        cooling_w=now.cooling_w,
        fill_c=shown.fill_c,
        air_c=shown.air_c,
    )
    cautions = [caution_told(speech, each) for each in shown.cautions.by_kind[now.evaporator]]
    if now.least_air_c is not None:
        least = quantity(speech, now.least_air_c, Unit.CELSIUS)
        kind = speech.say("{kind}, down to {least} ambient", kind=kind, least=least)
        cautions.append(caution_told(speech, shown.cautions.lowest_ambient))
    for line in (kind, *cautions, told):
        if line:
            output.line(line)
