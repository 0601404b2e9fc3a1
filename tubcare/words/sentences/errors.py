"""What went wrong, for people: what happened, what was kept, what to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare import errors
from tubcare.words.dates import clock_time, day_and_month
from tubcare.words.escape import one_line
from tubcare.words.fields import field_name
from tubcare.words.measures import measured_figure, measured_value
from tubcare.words.numbers import plain_number
from tubcare.words.sentences.reasons import dates_told, reason_told

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from tubcare.words.locale import Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """An error in a person's words. `detail` is what the program knows beyond it, in English."""

    happened: str
    kept: str
    advice: str = ""
    detail: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """What there is to say, in order."""
        return tuple(line for line in (self.happened, self.kept, self.advice) if line)


def trouble(speech: Speech, error: errors.TubcareError, zone: ZoneInfo | None = None) -> Trouble:
    """Return the words for an error that the program raised on purpose.

    `zone` is the one that times of day are told in; None keeps the instant's own (UTC).
    """
    match error:
        case errors.OutOfRangeError():
            return _out_of_range(speech, error)
        case errors.InputError():
            return Trouble(
                happened=speech.say(
                    "{field}: {reason}.",
                    field=_capital(field_name(speech, error.field)),
                    reason=reason_told(speech, error.reason),
                ),
                kept=speech.say("Nothing was recorded."),
            )
        case errors.RuleError():
            return _rule(speech, error, zone)
        case errors.StoreError():
            return _store(speech, error)
        case _:
            return Trouble(
                happened=speech.say("This was not possible."),
                kept=speech.say("Nothing was changed."),
                detail=str(error),
            )


def _out_of_range(speech: Speech, error: errors.OutOfRangeError) -> Trouble:
    return Trouble(
        happened=speech.say(
            "{field}: {value} lies outside {low} to {high}.",
            field=_capital(field_name(speech, error.name)),
            value=measured_value(speech, error.name, error.value),
            low=measured_figure(speech, error.name, error.low),
            high=measured_value(speech, error.name, error.high),
        ),
        kept=speech.say("Nothing was recorded."),
        advice=speech.say("Check the value and its unit."),
    )


def _not_found(speech: Speech, error: errors.NotFoundError, unchanged: str) -> Trouble:
    """Return the words for what is not there; without a name, for a kind that has none yet."""
    kind = field_name(speech, error.kind)
    if error.name:
        return Trouble(
            happened=speech.say(
                "{kind} {name} is not in this logbook.",
                kind=_capital(kind),
                name=one_line(str(error.name)),
            ),
            kept=unchanged,
            advice=speech.say("It may have been deleted elsewhere; look at the list again."),
        )
    return Trouble(
        happened=speech.say("There is no {kind} in this logbook yet.", kind=kind),
        kept=unchanged,
        advice=speech.say("Add one first."),
    )


def _rule(speech: Speech, error: errors.RuleError, zone: ZoneInfo | None) -> Trouble:
    unchanged = speech.say("Nothing was changed.")
    match error:
        case errors.AlreadyDoneError():
            return _already_done(speech, error, zone)
        case errors.DependentFactError():
            dependent = dates_told(speech, one_line(error.dependent))
            return Trouble(
                happened=speech.say(
                    "{label} cannot be taken back, because {dependent} depends on it.",
                    label=_capital(one_line(error.label)),
                    dependent=dependent,
                ),
                kept=unchanged,
                advice=speech.say("Take back {dependent} first.", dependent=dependent),
            )
        case errors.NothingLeftError():
            reason = str(error)
            return Trouble(
                happened=speech.say("This is not possible: {reason}.", reason=reason),
                kept=unchanged,
            )
        case errors.NotFoundError():
            return _not_found(speech, error, unchanged)
        case _:
            reason = reason_told(speech, str(error))
            return Trouble(
                happened=speech.say("This is not possible: {reason}.", reason=reason),
                kept=unchanged,
            )


def _already_done(
    speech: Speech, error: errors.AlreadyDoneError, zone: ZoneInfo | None
) -> Trouble:
    at = error.when if zone is None else error.when.astimezone(zone)
    day, time = day_and_month(speech, at.date()), clock_time(speech, at)
    kept = speech.say("That record stands; yours was not added.")
    if isinstance(error, errors.StepDoneError):
        number = plain_number(speech, error.number)
        return Trouble(
            happened=speech.say(
                "Step {number} was ticked already, on {day} at {time}.",
                number=number,
                day=day,
                time=time,
            )
            if error.who is None
            else speech.say(
                "Step {number} was ticked already, by {who} on {day} at {time}.",
                number=number,
                who=error.who,
                day=day,
                time=time,
            ),
            kept=kept,
            advice=speech.say("If more was added, write it down as added outside the plan."),
        )
    title = one_line(error.title)
    return Trouble(
        happened=speech.say(
            "“{title}” was already closed on {day} at {time}.", title=title, day=day, time=time
        )
        if error.who is None
        else speech.say(
            "“{title}” was already closed by {who} on {day} at {time}.",
            title=title,
            who=error.who,
            day=day,
            time=time,
        ),
        kept=kept,
        advice=speech.say("If you did it as well, write it down as extra work."),
    )


def _store(speech: Speech, error: errors.StoreError) -> Trouble:
    happened, advice = _store_words(speech, error)
    return Trouble(
        happened=happened,
        kept=speech.say("The logbook was left as it was."),
        advice=advice,
        # What was said already is not told again.
        detail="" if error.reason in happened else f"{error.place}: {error.reason}",
    )


def _store_words(  # noqa: PLR0911  one text for each kind
    speech: Speech, error: errors.StoreError
) -> tuple[str, str]:
    """Return what happened to the logbook and the way out."""
    say = speech.say
    place = error.place
    match error:
        case errors.StoreTooNewError():
            return (
                say("{place} was written by a newer version of tubcare.", place=place),
                say("Install the newer version to open it."),
            )
        case errors.StoreBusyError():
            return (
                say("Another program holds {place}.", place=place),
                say("Close the other program, or wait a moment, then try again."),
            )
        case errors.StoreDamagedError():
            return (
                say("{place} is not a sound logbook: {reason}", place=place, reason=error.reason),
                say("Restore the newest backup, or choose another file."),
            )
        case errors.StoreFullError():
            return (
                say("There is no room left where {place} lies.", place=place),
                say("Make room on the disk, then try again."),
            )
        case errors.StoreReadOnlyError():
            return (
                say("{place} may not be written.", place=place),
                say("Allow writing to the file and its folder, or choose another place."),
            )
        case errors.StoreUnreachableError():
            return (
                say("{place} cannot be reached: {reason}.", place=place, reason=error.reason),
                say("See that its server runs, and that address, user and password are right."),
            )
        case errors.StorePlaceError():
            return (
                say("{place} cannot hold a logbook: {reason}", place=place, reason=error.reason),
                say("Choose another place, on this computer."),
            )
        case _:
            return (
                say("{place} could not be used: {reason}", place=place, reason=error.reason),
                say("Check the disk, then try again."),
            )


def _capital(text: str) -> str:
    return text if text.startswith("pH") else text[:1].upper() + text[1:]
