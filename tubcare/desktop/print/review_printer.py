"""Prints a review: charts are drawn in the window's thread, the rest beside it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from tubcare.desktop.charts import load_plot
from tubcare.desktop.review_charts import ReviewCharts
from tubcare.exchange.files import write_bytes

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tubcare.desktop.plotting import Plot
    from tubcare.desktop.print.review_report import ReviewPictures
    from tubcare.desktop.screen import Context
    from tubcare.desktop.work import Ticket
    from tubcare.services.reviews import Reviewed
    from tubcare.words.locale import Speech


class ReviewPrinter:
    """Writes reviews as PDF, one at a time."""

    def __init__(self, context: Context, done: Callable[[Path], None]) -> None:
        self._context = context
        self._done = done

    def print_to(self, path: Path, reviewed: Reviewed) -> None:
        """Write a review to a file; `done` gets the path."""
        self._context.work.elsewhere(
            load_plot,
            done=partial(self._draw, path, reviewed),
            title=self._context.say("Drawing charts"),
        )

    def _draw(self, path: Path, reviewed: Reviewed, make: type[Plot]) -> None:
        from tubcare.desktop.print.chart_picture import chart_picture  # noqa: PLC0415  seldom used
        from tubcare.desktop.print.review_report import ReviewPictures  # noqa: PLC0415  as above

        speech = self._context.speech
        charts = ReviewCharts(speech, reviewed, reviewed.review.used)
        pictures = ReviewPictures(
            months=chart_picture(make, charts.by_month()),
            kinds=chart_picture(make, charts.by_kind()),
        )
        self._context.work.elsewhere(
            partial(_write, path, speech, reviewed, pictures),
            done=self._done,
            title=self._context.say("Printing the review"),
        )


def _write(
    path: Path, speech: Speech, reviewed: Reviewed, pictures: ReviewPictures, _ticket: Ticket
) -> Path:
    from tubcare.desktop.print.pdf import pdf_of  # noqa: PLC0415  seldom used
    from tubcare.desktop.print.review_report import page_words, review_report  # noqa: PLC0415

    report = review_report(speech, reviewed, pictures)
    return write_bytes(path, pdf_of(report, partial(page_words, speech)))
