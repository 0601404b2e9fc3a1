"""Commands about money: buy, spend, year."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.cli.figures import exact
from tubcare.cli.naming import find_task
from tubcare.errors import InputError
from tubcare.exchange.files import write_table
from tubcare.exchange.review_csv import review_csv
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import View
from tubcare.services.entries import entries
from tubcare.services.measures import tub_named
from tubcare.services.money import Belongs, DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.power_due import fill_if_due
from tubcare.services.reviews import season_review, year_review
from tubcare.words.dates import medium_date, weekday_date
from tubcare.words.money import money, parse_payment
from tubcare.words.money_terms import money_word
from tubcare.words.sentences.review import (
    effect_sentences,
    estimate_sentence,
    only_sentence,
    review_sentences,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.ledger.effects import Effects
    from tubcare.ledger.review_model import CategoryLine, TaskLine, ViewReview
    from tubcare.services.desk import Desk
    from tubcare.services.entries import Entry
    from tubcare.services.reviews import Reviewed
    from tubcare.values import TaskId, TubId
    from tubcare.words.locale import Speech

DAYS_SHOWN = 90


def buy(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down a purchase."""
    values = arguments.values
    minor = parse_payment(output.speech, "amount", values.amount)
    on = values.on or arguments.today or desk.home_today()
    category = _category(values.category)
    belongs = Belongs(
        task=find_task(desk, values.task) if values.task else None,
        tub=_tub(desk, values.tub) if values.tub else None,
    )
    if values.quantity:
        quantity = round(exact(output.speech, "quantity", values.quantity) * 1000)
        entry = buy_stock(
            desk,
            StockPurchase(
                on=on,
                supply=values.what,
                unit=values.unit,
                category=category,
                quantity_milli=quantity,
                minor=minor,
                payee=values.payee,
                expires_on=values.keeps_until,
                belongs=belongs,
            ),
        )
    else:
        entry = pay(
            desk,
            DirectPurchase(
                on=on,
                category=category,
                minor=minor,
                payee=values.payee,
                note=values.what,
                belongs=belongs,
            ),
        )
    output.data({"entry": entry, "minor": minor, "on": on.isoformat()})
    output.line(f"{values.what}: {money(output.speech, minor)}, {weekday_date(output.speech, on)}")


def _tub(desk: Desk, named: str) -> TubId:
    with desk.read() as connection:
        return tub_named(connection, named).id


def spend(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show what left the wallet."""
    fill_if_due(desk)
    values = arguments.values
    last = values.until or desk.home_today()
    first = values.since or last - timedelta(days=DAYS_SHOWN)
    if first > last:
        raise InputError("until", f"{last} lies before {first}; give the earlier day to --since")
    found = entries(desk, first=first, last=last)
    speech = output.speech
    output.data(
        {
            "first": first.isoformat(),
            "last": last.isoformat(),
            "currency": speech.currency.code,
            "total_minor": sum(entry.minor for entry in found),
            "entries": [
                {
                    "entry": entry.id,
                    "on": entry.on.isoformat(),
                    "kind": entry.kind,
                    "estimate": entry.is_estimate,
                    "category": entry.category.value,
                    "minor": entry.minor,
                    "task": entry.task,
                    "supply": entry.supply_name or None,
                    "quantity_milli": entry.quantity_milli,
                    "payee": entry.payee,
                    "note": entry.note,
                }
                for entry in found
            ],
        }
    )
    rows = [
        (
            medium_date(speech, entry.on),
            _what(entry),
            money_word(speech, entry.category),
            money(speech, entry.minor),
        )
        for entry in found
    ]
    rows.append(
        ("", speech.say("Paid in all"), "", money(speech, sum(entry.minor for entry in found)))
    )
    output.table(rows, right=frozenset({3}))


def _what(entry: Entry) -> str:
    if entry.is_estimate:
        return f"{entry.kind} (estimate)"
    return entry.supply_name or entry.task_title or entry.note or entry.kind


def year(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show the review of a year or season."""
    fill_if_due(desk)
    values = arguments.values
    wanted = values.year or desk.home_today().year
    only = None if values.tub is None else _tub(desk, values.tub)
    found = (
        season_review(desk, wanted, only, only=only)
        if values.season
        else year_review(desk, wanted, only=only)
    )
    if values.csv:
        target = write_table(Path(values.csv), review_csv(found, output.speech.currency))
        output.data({"file": str(target)})
        output.line(output.speech.say("Written: {file}", file=target))
        return
    _review(found, values.view, output)


def _review(found: Reviewed, view_name: str, output: Output) -> None:
    review, speech = found.review, output.speech
    view = review.paid if view_name == View.PAID else review.used
    output.data(_review_fields(found, view, speech))
    days = speech.say(
        "{first} to {last}",
        first=medium_date(speech, review.period.first),
        last=medium_date(speech, review.period.last),
    )
    output.line(f"{days}, {money_word(speech, view.view)}")
    if found.only_name:
        output.line(only_sentence(speech, found.only_name))
    rows = [("", "", speech.say("before"))]
    rows += [
        (
            money_word(speech, line.category),
            money(speech, line.minor),
            money(speech, line.before_minor) if line.before_minor is not None else "",
        )
        for line in view.categories
    ]
    if view.categories:
        output.table(rows, right=frozenset({1, 2}))
    for sentence in (
        *review_sentences(speech, review, view, is_over=found.is_over),
        *(_used_alone(found, speech) if view_name == View.USED else ()),
    ):
        if sentence:
            output.line(sentence)


def _used_alone(found: Reviewed, speech: Speech) -> tuple[str, ...]:
    estimated = estimate_sentence(speech, found.estimated_minor)
    return (estimated, *effect_sentences(speech, found.effects, is_over=found.is_over))


def _review_fields(found: Reviewed, view: ViewReview, speech: Speech) -> dict[str, object]:
    review = found.review
    return {
        "first": review.period.first.isoformat(),
        "last": review.period.last.isoformat(),
        "view": view.view.value,
        "tub": found.only_name or None,
        "currency": speech.currency.code,
        "total_minor": view.total.minor,
        "before_minor": view.before.minor if view.before else None,
        "before_whole_minor": view.before_whole_minor,
        "open_days": review.open_days,
        "dips": review.dips,
        "per_open_day_minor": view.total.per_open_day_minor,
        "per_dip_minor": view.total.per_dip_minor,
        "done": review.done,
        "missed": review.missed,
        "budget_minor": view.budget.total.budget_minor,
        "forecast_minor": view.forecast.actual_minor + view.forecast.expected_minor,
        "categories": [_category_fields(line) for line in view.categories],
        "tasks": [_task_fields(line, found.titles) for line in view.tasks],
        "changes": [_change_fields(item) for item in found.effects.items],
    }


def _category_fields(line: CategoryLine) -> dict[str, object]:
    return {
        "category": line.category.value,
        "by_month": list(line.by_month),
        "minor": line.minor,
        "before_minor": line.before_minor,
    }


def _change_fields(item: Effects) -> dict[str, object]:
    return {
        "what": item.key,
        "change_minor": item.change_minor,
        "price_minor": item.price_minor,
        "quantity_minor": item.quantity_minor,
        "joint_minor": item.joint_minor,
        "other_minor": item.other_minor,
    }


def _task_fields(line: TaskLine, titles: Mapping[TaskId, str]) -> dict[str, object]:
    return {
        "task": line.task,
        "title": titles.get(line.task, "") if line.task else "",
        "by_month": list(line.by_month),
        "minor": line.minor,
        "before_minor": line.before_minor,
        "done": line.done,
        "missed": line.missed,
    }


def _category(text: str) -> SpendCategory:
    try:
        return SpendCategory(text.strip().casefold().replace(" ", "_"))
    except ValueError as error:
        known = ", ".join(SpendCategory)
        raise InputError("category", f"“{text}” is not one of {known}") from error
