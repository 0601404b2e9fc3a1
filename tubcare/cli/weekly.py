"""The command that is called most: what is due this week. It loads little, so that it is quick."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.week import DueItem, this_week
from tubcare.words.dates import date_range, first_weekday, medium_date, weekday_date
from tubcare.words.money import money
from tubcare.words.plan_terms import caution_told
from tubcare.words.sentences.frost_notes import frost_note_told
from tubcare.words.sentences.shelf import lacking
from tubcare.words.sentences.why import why
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Json, Output
    from tubcare.ledger.lots import ShelfNote
    from tubcare.services.desk import Desk
    from tubcare.services.week import Week
    from tubcare.words.locale import Speech


def week(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show what is due this week."""
    _ = arguments
    found = this_week(desk, first_weekday=first_weekday(output.speech))
    if output.as_json:
        output.data(_week_data(found, output))
        return
    if not found.tubs:
        output.line(
            output.speech.say("This logbook has no tub yet. Add one with: tubcare tub add NAME")
        )
        return
    speech = output.speech
    days = date_range(speech, found.first, found.last)
    output.line(speech.say("Week of {days}", days=days))
    for note in found.frost:
        output.line(
            frost_note_told(
                speech, note.tub_name, note.edge, note.on, today=found.today, passed=note.passed
            )
        )
    _section(output, speech.say("Late"), found.late, many=found.tubs > 1)
    _section(output, speech.say("Today"), found.due_today, many=found.tubs > 1)
    for beside in found.together:
        title = speech.say("While {tub} is empty", tub=beside.tub_name)
        _section(output, title, beside.items, many=False)
    for each in found.days:
        _section(output, weekday_date(speech, each.on), each.items, many=found.tubs > 1)
    if not found.open_items:
        output.line()
        output.line(speech.say("Nothing is due this week."))
    _section(output, speech.say("Later"), found.later[:8], many=found.tubs > 1)
    if found.asleep:
        output.line()
        output.line(
            speech.say_count(
                "{n} task sleeps until the season turns.",
                "{n} tasks sleep until the season turns.",
                found.asleep,
            )
        )


def _section(output: Output, title: str, items: tuple[DueItem, ...], *, many: bool) -> None:
    if not items:
        return
    output.line()
    output.line(title)
    output.table([_row(item, output, many=many) for item in items], right=frozenset({0, 4}))
    for item in items:
        for told in lacking(output.speech, item.lacks):
            output.line(f"  {_title(item, many=many)}: {told}")
    # Beside a dose stand its cautions, once each.
    for caution in dict.fromkeys(text for item in items for text in item.cautions):
        output.line("  " + caution_told(output.speech, caution))


def _why(speech: Speech, item: DueItem) -> str:
    told = why(speech, item.occurrence, item.today)
    if not item.to_add:
        return told
    # Loaded when there is a dose to tell: its words bring the chemistry.
    from tubcare.words.sentences.water_plan import with_doses_text  # noqa: PLC0415  see above

    return with_doses_text(speech, told, item.to_add, ())


def _title(item: DueItem, *, many: bool) -> str:
    return f"{item.title} ({item.tub_name})" if many else item.title


def _row(item: DueItem, output: Output, *, many: bool) -> tuple[str, ...]:
    each, speech = item.occurrence, output.speech
    cost = money(speech, item.expected_minor) if item.expected_minor else ""
    due_on = medium_date(speech, each.due_on)
    return (
        f"{item.task}",
        _title(item, many=many),
        word(output.speech, each.status),
        speech.say("about {day}", day=due_on) if each.about else due_on,
        cost,
        _why(speech, item),
    )


def _item_data(item: DueItem, output: Output) -> Json:
    each = item.occurrence
    return {
        "task": item.task,
        "title": item.title,
        "tub": item.tub_name,
        "category": item.category.value,
        "key": each.key,
        "status": each.status.value,
        "due_on": each.due_on.isoformat(),
        "opens_on": each.opens_on.isoformat(),
        "about": each.about,
        "put_offs": each.put_offs,
        "missed": [day.isoformat() for day in each.missed],
        "expected_minor": item.expected_minor,
        "minutes": item.minutes,
        "round": item.round_name,
        "why": why(output.speech, each, item.today),
        "to_add": [
            {"kind": step.kind.value, "product": step.product.name, "amount": step.portion.amount}
            for step in item.to_add
            if step.product is not None and step.portion is not None
        ],
        "lacks": [lack_data(note) for note in item.lacks],
    }


def lack_data(note: ShelfNote) -> Json:
    """Return what the shelf lacks of one supply, as stable fields."""
    return {
        "supply": note.name,
        "left_milli": note.left_milli,
        "takes_milli": note.takes_milli,
        "keeps_until": None if note.keeps_until is None else note.keeps_until.isoformat(),
    }


def _week_data(found: Week, output: Output) -> Json:
    return {
        "today": found.today.isoformat(),
        "first": found.first.isoformat(),
        "last": found.last.isoformat(),
        "late": [_item_data(item, output) for item in found.late],
        "due_today": [_item_data(item, output) for item in found.due_today],
        "together": [
            {"tub": each.tub_name, "items": [_item_data(i, output) for i in each.items]}
            for each in found.together
        ],
        "days": [
            {"on": day.on.isoformat(), "items": [_item_data(i, output) for i in day.items]}
            for day in found.days
        ],
        "later": [_item_data(item, output) for item in found.later],
        "asleep": found.asleep,
        "frost": [
            {
                "tub": note.tub_name,
                "edge": note.edge.value,
                "on": note.on.isoformat(),
                "passed": note.passed,
            }
            for note in found.frost
        ],
        "done": [
            {
                "task": done.task,
                "title": done.title,
                "on": done.on.isoformat(),
                "who": done.who,
                "skipped": done.skipped,
                "note": done.note,
            }
            for done in found.done
        ],
    }
