"""Commands that look after the logbook: tubs, backups, reminders."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.care.model import TubState
from tubcare.care.profile import with_volume
from tubcare.cli.tub_arguments import said_profile
from tubcare.clock import SystemClock
from tubcare.errors import InputError
from tubcare.services.backups import back_up, backups_of, restore_newest
from tubcare.services.household import is_started, start_logbook
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.tubs import enter_state, tubs
from tubcare.store import backup
from tubcare.values import TubProfile
from tubcare.words.dates import weekday_date
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk
    from tubcare.services.tubs import Tub

DEFAULT_CURRENCY = "EUR"
_STATES = {
    "open": TubState.OPEN,
    "close": TubState.CLOSED,
    "pause": TubState.PAUSED,
    "rest": TubState.CHILLER_RESTING,
    "resume": TubState.OPEN,
}


def tub(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show the tubs, add one, or write down its state."""
    values = arguments.values
    if values.action is None:
        found = tubs(desk)
        output.data(
            {
                "tubs": [
                    {
                        "tub": each.id,
                        "name": each.name,
                        "zone": each.zone,
                        "litres": each.profile.volume_l,
                        "state": each.state.value if each.state else None,
                        "since": each.since.isoformat() if each.since else None,
                    }
                    for each in found
                ]
            }
        )
        if not found:
            told = output.speech.say(
                "This logbook has no tub yet. Add one with: tubcare tub add NAME"
            )
            output.line(told)
        for each in found:
            speech = output.speech
            state = word(speech, each.state) if each.state else speech.say("not opened yet")
            output.line(f"{each.id}  {each.name}  {each.zone}  {state}")
        return
    if values.action == "add":
        _add(desk, arguments, output)
        return
    if said_profile(values):
        raise InputError("tub", "a description goes with “tub add”; the window changes it later")
    chosen = _chosen(desk, values.name)
    on = values.on or arguments.today or desk.today(chosen.zone)
    enter_state(desk, chosen.id, _STATES[values.action], on)
    output.data({"tub": chosen.name, "state": _STATES[values.action].value, "on": on.isoformat()})
    speech = output.speech
    output.line(
        speech.say(
            "{tub}: {state} since {day}",
            tub=chosen.name,
            state=word(speech, _STATES[values.action]),
            day=weekday_date(speech, on),
        )
    )


def _chosen(desk: Desk, name: str | None) -> Tub:
    known = tubs(desk)
    if not known:
        raise InputError("tub", "this logbook has none yet; add one with: tubcare tub add NAME")
    if name is None and len(known) > 1:
        raise InputError("tub", f"say which tub: {', '.join(each.name for each in known)}")
    for each in known:
        if name is None or each.name.casefold() == name.casefold():
            return each
    raise InputError("tub", f"there is no tub named “{name}”")


def backup_now(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Take a backup, or list them."""
    if not arguments.values.list:
        taken = back_up(desk)
        output.data({"file": str(taken.path), "taken_at": taken.taken_at.isoformat()})
        output.line(output.speech.say("Backup taken and checked: {file}", file=taken.path))
        return
    found = backups_of(desk)
    output.data(
        {
            "backups": [
                {"file": str(b.path), "taken_at": b.taken_at.isoformat(), "why": b.why}
                for b in found
            ]
        }
    )
    for each in found:
        output.line(f"{each.taken_at:%Y-%m-%d %H:%M} UTC  {each.why}  {each.path}")


def restore_closed(arguments: Arguments, output: Output) -> None:
    """Bring a backup into a logbook that is not open here; works also when it is damaged."""
    speech = output.speech
    logbook = Path(arguments.logbook or "")
    named = arguments.values.backup
    now = SystemClock().now()
    if named is None:
        kept = restore_newest(logbook, now)
        output.line(speech.say("Restored: the newest backup"))
    else:
        kept = backup.restore(Path(named), logbook, now)
        output.line(speech.say("Restored: {file}", file=named))
    if kept is not None:
        output.line(speech.say("What was there is kept: {file}", file=kept.path))
    output.data({"restored": named, "kept": None if kept is None else str(kept.path)})


def remind(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show the reminders that are due."""
    from tubcare.cli.reminding import run_reminders  # noqa: PLC0415  needs D-Bus

    run_reminders(desk, output, stay=arguments.values.stay)


def _add(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    if not values.name:
        raise InputError("name", "write the name of the tub")
    profile = replace(TubProfile(name=values.name), **said_profile(values))  # type: ignore[arg-type]  # each is of its own kind
    if values.volume_l is None:
        profile = with_volume(profile)
    if not is_started(desk):
        code = values.currency or DEFAULT_CURRENCY
        start_logbook(desk, currency_code=code, home_zone=profile.zone, person=desk.actor)
    elif values.currency not in {None, output.speech.currency.code}:
        kept = output.speech.currency.code
        raise InputError("currency", f"this logbook is kept in {kept} already; leave it out")
    added = add_tub_with_plan(desk, profile)
    output.data({"tub": added.tub, "tasks": added.tasks})
    output.line(
        output.speech.say_count(
            "{tub}: {n} task planned. See it with: tubcare tasks",
            "{tub}: {n} tasks planned. See them with: tubcare tasks",
            added.tasks,
            tub=values.name,
        )
    )
