"""What was done, in words, for undo and redo."""

from __future__ import annotations

_WORDS = {
    "tick_off": "tick off “{}”",
    "tick_round": "tick off the round “{}”",
    "skip": "skip “{}”",
    "put_off": "put off “{}”",
    "tick_step": "tick a step of “{}”",
    "untick_step": "untick a step of “{}”",
    "add_dip": "write down a dip in {}",
    "add_reading": "write down readings of {}",
    "add_meter_reading": "write down a meter reading of {}",
    "add_fill": "write down fresh water in {}",
    "buy_stock": "buy {}",
    "pay": "pay for {}",
    "refund": "write down a refund",
    "change_entry": "correct an amount",
    "delete_entry": "delete an amount",
    "delete_completion": "delete a completion",
    "add_task": "add “{}”",
    "change_task": "change “{}”",
    "drop_task": "drop “{}”",
    "open_season": "open {}",
    "close_season": "close {}",
    "set_state": "change the state of {}",
    "add_tub": "add {}",
    "change_profile": "change the profile of {}",
    "set_budget": "set a budget",
    "count_stock": "count {}",
    "throw_away": "throw away {}",
    "start_logbook": "set up the logbook",
}


def action_words(label: str, subject: str) -> str:
    """Return an action in words, such as "tick off “Swap the filter”"."""
    known = _WORDS.get(label)
    return known.format(subject) if known else f"{label.replace('_', ' ')} {subject}".strip()
