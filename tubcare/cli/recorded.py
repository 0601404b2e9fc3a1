"""The command that shows what was written down about a tub, and takes one of it away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.services.records import delete_record, recent_records
from tubcare.words.dates import weekday_date
from tubcare.words.sentences.records import record_name, record_value

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk
    from tubcare.services.records import Record


def records(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show the newest records, or delete the one that is named."""
    values, speech = arguments.values, output.speech
    if values.delete is not None:
        _delete(desk, arguments, output)
        return
    found = recent_records(desk, values.tub, most=max(1, values.most))
    output.data(
        {
            "records": [
                {
                    "record": _mark(each),
                    "on": each.on.isoformat(),
                    "kind": each.kind.value,
                    "name": each.name,
                    "amount": each.amount,
                    "unit": each.unit,
                    "who": each.who,
                    "note": each.note,
                }
                for each in found
            ]
        }
    )
    output.table(
        [
            (
                _mark(each),
                weekday_date(speech, each.on),
                record_name(speech, each),
                record_value(speech, each),
                each.who,
            )
            for each in found
        ]
    )
    if not found:
        output.line(speech.say("Nothing is written down for this tub yet"))


def _delete(desk: Desk, arguments: Arguments, output: Output) -> None:
    values, speech = arguments.values, output.speech
    known = {_mark(each): each for each in recent_records(desk, values.tub)}
    record = known.get(values.delete.casefold())
    if record is None:
        raise InputError(
            "delete",
            f"there is no record “{values.delete}”; “tubcare records” shows the mark of each",
        )
    delete_record(desk, record)
    output.data(
        {
            "deleted": _mark(record),
            "kind": record.kind.value,
            "name": record.name,
            "amount": record.amount,
        }
    )
    what = f"{record_name(speech, record)}, {record_value(speech, record)}"
    output.line(speech.say("Deleted: {what}.", what=what))


def _mark(record: Record) -> str:
    return f"{record.kind.value}:{record.id}"
