"""What a person did, as undo and redo name it."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.words.escape import one_line
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.words.locale import Speech

ACTIONS: Mapping[str, Term] = MappingProxyType(
    {
        "tick_off": term("action", "tick off “{subject}”"),
        "tick_round": term("action", "tick off the round “{subject}”"),
        "catch_up": term("action", "catch up with {subject}"),
        "skip": term("action", "skip “{subject}”"),
        "put_off": term("action", "put off “{subject}”"),
        "tick_step": term("action", "tick a step of “{subject}”"),
        "untick_step": term("action", "clear a step of “{subject}”"),
        "delete_completion": term("action", "delete the record of “{subject}”"),
        "add_task": term("action", "add the task “{subject}”"),
        "change_task": term("action", "change the task “{subject}”"),
        "edit_task": term("action", "change the task “{subject}”"),
        "drop_task": term("action", "drop the task “{subject}”"),
        "bring_back": term("action", "bring back the task “{subject}”"),
        "amend_completion": term("action", "change the record of “{subject}”"),
        "draw_plan": term("action", "draw up the care plan of {subject}"),
        "redraw_plan": term("action", "draw {subject} anew"),
        "accept_offer": term("action", "take {subject} into the plan"),
        "add_dip": term("action", "write down a dip in {subject}"),
        "delete_dip": term("action", "delete a dip in {subject}"),
        "add_reading": term("action", "write down a reading of {subject}"),
        "delete_reading": term("action", "delete a reading of {subject}"),
        "add_dose": term("action", "write down a dose for {subject}"),
        "delete_dose": term("action", "delete a dose for {subject}"),
        "add_meter_reading": term("action", "write down the meter of {subject}"),
        "delete_meter_reading": term("action", "delete a meter reading of {subject}"),
        "add_fill": term("action", "write down the filling of {subject}"),
        "delete_fill": term("action", "delete a filling of {subject}"),
        "buy_stock": term("action", "buy {subject}"),
        "purchase": term("action", "buy {subject}"),
        "pay": term("action", "pay for {subject}"),
        "refund": term("action", "write down a refund"),
        "add_build_cost": term("action", "write down what building cost: {subject}"),
        "end_use": term("action", "end the use of a part of the build"),
        "change_entry": term("action", "change the amount for {subject}"),
        "delete_entry": term("action", "delete an amount"),
        "set_prices": term("action", "set the prices of power and water"),
        "set_budget": term("action", "set the budget for {subject}"),
        "add_supply": term("action", "add the supply {subject}"),
        "change_supply": term("action", "change the supply {subject}"),
        "count_stock": term("action", "count {subject}"),
        "use_stock": term("action", "use {subject}"),
        "throw_away": term("action", "throw away {subject}"),
        "add_tub": term("action", "add the tub {subject}"),
        "change_profile": term("action", "change the profile of {subject}"),
        "open_season": term("action", "open {subject}"),
        "close_season": term("action", "close {subject}"),
        "set_state": term("action", "change the state of {subject}"),
        "delete_state_change": term("action", "delete a change of state of {subject}"),
        "delete_use": term("action", "delete the {subject}"),
        "delete_supply": term("action", "delete the {subject}"),
        "delete_person": term("action", "delete the {subject}"),
        "delete_tub": term("action", "delete the {subject}"),
        "start_logbook": term("action", "set up the logbook"),
        "change_setting": term("action", "change a setting"),
        "change_person": term("action", "change {subject}"),
        "import_minima": term("action", "take over the daily minima of {subject}"),
        "choose_frost": term("action", "change the frost choices of {subject}"),
        "type_frost_dates": term("action", "write down the frost dates of {subject}"),
        "import_weather": term("action", "take over the weather of {subject}"),
        "type_monthly_means": term("action", "write down the monthly means of {subject}"),
        "change_build": term("action", "change the build of {subject}"),
        "change_tariff": term("action", "change the tariff of {subject}"),
        "add_drift_test": term("action", "write down the drift test of {subject}"),
        "keep_learning": term("action", "use what was learned about {subject}"),
        "forget_learning": term("action", "forget what was learned about {subject}"),
        "delete_drift_test": term("action", "delete the drift test of {subject}"),
        "estimate_power": term("action", "estimate the power of {subject}"),
        "edit_range": term("action", "change a range of {subject}"),
        "reset_range": term("action", "bring back a range of {subject}"),
        "change_kit": term("action", "change the test kit of {subject}"),
        "put_product": term("action", "change the label of {subject}"),
        "drop_product": term("action", "take {subject} off the shelf"),
        "put_measure": term("action", "change the measure {subject}"),
        "drop_measure": term("action", "drop the measure {subject}"),
        "put_source": term("action", "change the fill water {subject}"),
        "drop_source": term("action", "drop the fill water {subject}"),
        "plan_step": term("action", "tick a step for the water of {subject}"),
        "import": term("action", "take over {subject}"),
    }
)
_UNKNOWN = term("action", "change {subject}")


def action(speech: Speech, label: str, subject: str) -> str:
    """Return an action as a phrase, such as "tick off “Change the filter”".

    A label that is not known is told as a change, so that undo always has a name.
    """
    known = ACTIONS.get(label, _UNKNOWN)
    return say_term(speech, known, subject=one_line(subject or label.replace("_", " "), 60))


def undone_text(speech: Speech, label: str, subject: str) -> str:
    """Return what the strip says after an undo."""
    return speech.say("Taken back: {action}", action=action(speech, label, subject))
