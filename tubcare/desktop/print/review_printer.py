"""Prints a review: all that is drawn, is drawn in the window's thread; the file beside it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from tubcare.desktop.charts import load_numbers, plot_class
from tubcare.desktop.review_charts import ReviewCharts
from tubcare.exchange.files import write_bytes

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tubcare.desktop.charts import Chart
    from tubcare.desktop.print.report import Picture, Report
    from tubcare.desktop.print.review_report import ReviewPictures
    from tubcare.desktop.screen import Context
    from tubcare.desktop.work import Ticket
    from tubcare.services.reviews import Reviewed
    from tubcare.words.locale import Speech


class ReviewPrinter:
    """Writes reviews as PDF. Before each chart and before the pages the window gets its turn."""

    def __init__(self, context: Context, done: Callable[[Path], None]) -> None:
        self._context = context
        self._done = done

    def print_to(self, path: Path, reviewed: Reviewed) -> None:
        """Write a review to a file; `done` gets the path."""
        self._context.work.elsewhere(
            load_numbers,
            done=partial(self._draw_months, path, reviewed),
            title=self._context.say("Drawing charts"),
        )

    def _draw_months(self, path: Path, reviewed: Reviewed, _loaded: None) -> None:
        months = self._picture(self._charts(reviewed).by_month())
        self._context.work.elsewhere(
            load_numbers,
            done=partial(self._draw_kinds, path, reviewed, months),
            title=self._context.say("Drawing charts"),
        )

    def _draw_kinds(self, path: Path, reviewed: Reviewed, months: Picture, _loaded: None) -> None:
        from tubcare.desktop.print.review_report import ReviewPictures  # noqa: PLC0415  seldom used

        kinds = self._picture(self._charts(reviewed).by_kind())
        pictures = ReviewPictures(months=months, kinds=kinds)
        self._context.work.elsewhere(
            partial(_report, self._context.speech, reviewed, pictures),
            done=partial(self._write, path),
            title=self._context.say("Printing the review"),
        )

    def _write(self, path: Path, report: Report) -> None:
        from tubcare.desktop.print.pdf import pdf_of  # noqa: PLC0415  seldom used
        from tubcare.desktop.print.review_report import page_words  # noqa: PLC0415

        pages = pdf_of(report, partial(page_words, self._context.speech))
        self._context.work.elsewhere(
            partial(_keep, path, pages),
            done=self._done,
            title=self._context.say("Printing the review"),
        )

    def _charts(self, reviewed: Reviewed) -> ReviewCharts:
        return ReviewCharts(self._context.speech, reviewed, reviewed.review.used)

    @staticmethod
    def _picture(chart: Chart) -> Picture:
        from tubcare.desktop.print.chart_picture import chart_picture  # noqa: PLC0415  seldom used

        return chart_picture(plot_class(), chart)


def _report(
    speech: Speech, reviewed: Reviewed, pictures: ReviewPictures, _ticket: Ticket
) -> Report:
    from tubcare.desktop.print.review_report import review_report  # noqa: PLC0415  seldom used

    return review_report(speech, reviewed, pictures)


def _keep(path: Path, pages: bytes, _ticket: Ticket) -> Path:
    return write_bytes(path, pages)
