"""Ideas side by side as a table and as JSON with stable fields."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.cli.power_shown import estimate_data
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.what_if import (
    idea_told,
    pay_back_told,
    remarks_told,
    saving_told,
    season_cost_told,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.cli.output import Json, Output
    from tubcare.services.power_what_if import Compared, WhatIf


def what_if_shown(asked: WhatIf, compared: Sequence[Compared], output: Output) -> None:
    """Show ideas side by side."""
    speech = output.speech
    output.data(
        {
            "tub": asked.tub.name,
            "first": asked.base.first.isoformat(),
            "last": asked.base.last.isoformat(),
            "ideas": [_data(each) for each in compared],
        }
    )
    heads = (speech.say("Energy"), speech.say("Cost a season"), speech.say("Saves"))
    rows = [(speech.say("Idea"), *heads, speech.say("Pays back in"))]
    rows += [
        (
            idea_told(speech, each.idea),
            quantity(speech, each.outcome.kwh, Unit.KILOWATT_HOUR, 0),
            season_cost_told(speech, each.outcome),
            "" if each.idea is None else saving_told(speech, each.outcome),
            pay_back_told(speech, each.outcome),
        )
        for each in compared
    ]
    output.table(rows, right=frozenset({1, 2, 3}))
    for line in remarks_told(speech, [(each.idea, each.outcome) for each in compared]):
        output.line(line)


def _data(each: Compared) -> Json:
    idea, outcome = each.idea, each.outcome
    between = outcome.pay_back_range
    return {
        "kind": None if idea is None else idea.kind.value,
        "amount": None if idea is None else idea.amount,
        "build_up": None if idea is None else idea.build_up,
        "tariff": None if idea is None or idea.tariff is None else idea.tariff.kind.value,
        "kwh": round(outcome.kwh, 3),
        "cost_minor": outcome.rounded_cost_minor,
        "cost_range_minor": estimate_data(outcome.cost_range),
        "saving_minor": round(outcome.saving_minor),
        "saving_range_minor": estimate_data(outcome.saving_range),
        "pay_back_seasons": outcome.pay_back_seasons,
        "pay_back_soonest": None if between is None else between.soonest,
        "pay_back_latest": None if between is None else between.latest,
        "traps_pump_heat": outcome.traps_pump_heat,
        "cannot_hold": outcome.cannot_hold,
    }
