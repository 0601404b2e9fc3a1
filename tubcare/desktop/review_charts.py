"""The charts of the year review, as plain values: for the screen and for paper."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from tubcare.desktop.charts import Chart, ChartKind, Series
from tubcare.desktop.period_words import month_labels, period_title
from tubcare.words.dates import month_name
from tubcare.words.money import money, money_tick
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.ledger.review_model import CategoryLine, ViewReview
    from tubcare.services.reviews import Reviewed
    from tubcare.words.locale import Speech

MOST_KINDS = 5


class ReviewCharts:
    """Makes the charts of one view of one review."""

    def __init__(self, speech: Speech, reviewed: Reviewed, view: ViewReview) -> None:
        self._speech = speech
        self._review = reviewed.review
        self._is_season = reviewed.is_season
        self._view = view

    def by_month(self) -> Chart:
        """Return each month beside the same month of the period before."""
        say = self._speech.say
        series = [
            Series(
                name=period_title(
                    self._speech, self._review.period.first, of_season=self._is_season
                ),
                values=self._units(self._view.by_month),
            )
        ]
        beside = self._view.beside(self._review)
        if beside is not None and self._review.before is not None:
            first = self._review.before.first
            name = period_title(self._speech, first, of_season=self._is_season)
            series.append(Series(name=name, values=self._units(beside)))
        return Chart(
            kind=ChartKind.BARS,
            title=say("Cost by month"),
            told=self._dearest_month(),
            labels=self.labels(),
            series=tuple(series),
            figure=self._figure,
            tick=partial(money_tick, self._speech),
            labels_title=say("Month"),
        )

    def by_kind(self) -> Chart:
        """Return the kinds of spending on top of each other, month by month."""
        say = self._speech.say
        dearest = sorted(self._view.categories, key=lambda line: -line.minor)
        named, rest = dearest[:MOST_KINDS], dearest[MOST_KINDS:]
        series = [
            Series(name=money_word(self._speech, line.category), values=self._units(line.by_month))
            for line in named
        ]
        if rest:
            series.append(Series(name=say("the other kinds"), values=self._units(_added(rest))))
        return Chart(
            kind=ChartKind.STACKED,
            title=say("Kinds of spending by month"),
            told=self._dearest_kind(named),
            labels=self.labels(),
            series=tuple(series),
            figure=self._figure,
            tick=partial(money_tick, self._speech),
            labels_title=say("Month"),
        )

    def labels(self) -> tuple[str, ...]:
        """Return the short names of the months; with the year where there are two of a name."""
        return month_labels(self._speech, self._review.months)

    def _dearest_month(self) -> str:
        most = max(self._view.by_month, default=0)
        if most <= 0:
            return self._speech.say("Nothing was spent in this period.")
        month = self._review.months[self._view.by_month.index(most)]
        return self._speech.say(
            "Most in {month}: {amount}.",
            month=month_name(self._speech, month.month),
            amount=money(self._speech, most),
        )

    def _dearest_kind(self, named: Sequence[CategoryLine]) -> str:
        if not named or named[0].minor <= 0:
            return self._speech.say("Nothing was spent in this period.")
        return self._speech.say(
            "Most for {kind}: {amount}.",
            kind=money_word(self._speech, named[0].category),
            amount=money(self._speech, named[0].minor),
        )

    def _figure(self, value: float) -> str:
        return money(self._speech, round(value * self._speech.currency.minor_per_unit))

    def _units(self, minor: Sequence[int | None]) -> tuple[float | None, ...]:
        unit = self._speech.currency.minor_per_unit
        return tuple(None if each is None else each / unit for each in minor)


def _added(lines: Sequence[CategoryLine]) -> list[int | None]:
    return [sum(column) for column in zip(*(line.by_month for line in lines), strict=True)]
