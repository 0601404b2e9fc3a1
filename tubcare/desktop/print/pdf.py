"""Writes a report as PDF, each page with its number."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QFont,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QTextDocument,
)

from tubcare.desktop.print.page_document import heading_markup, page_document
from tubcare.desktop.print.paper import on_paper

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.print.report import Report

DOTS_AN_INCH = 96
MARGIN_MM = 17.0
FOOTER_DOTS = 34
FOOTER_POINTS = 8.0


@dataclass(frozen=True, slots=True)
class _Pages:
    """A laid-out document and how its pages lie."""

    document: QTextDocument
    orientation: QPageLayout.Orientation


def pdf_of(report: Report, page_words: Callable[[int, int], str]) -> bytes:
    """Return a report as a PDF file; call it in the window's thread.

    Parameters
    ----------
    page_words
        Writes the number of a page and how many there are, as in "Page 2 of 5".
    """
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DOTS_AN_INCH)
    writer.setTitle(report.title)
    writer.setCreator("tubcare")
    paper = QPageSize.PageSizeId.Letter if report.letter_paper else QPageSize.PageSizeId.A4
    writer.setPageSize(QPageSize(paper))
    writer.setPageMargins(
        QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM), QPageLayout.Unit.Millimeter
    )
    batches = _batches(report, writer)
    count = sum(batch.document.pageCount() for batch in batches)
    # The first page takes the way it lies when painting begins.
    writer.setPageOrientation(batches[0].orientation)
    painter = QPainter(writer)
    number = 0
    for batch in batches:
        for page in range(batch.document.pageCount()):
            number += 1
            if number > 1:
                writer.setPageOrientation(batch.orientation)
                writer.newPage()
            area = _area(writer)
            _paint_page(painter, batch.document, page, area)
            _paint_footer(painter, area, report.footer, page_words(number, count))
    painter.end()
    buffer.close()
    return bytes(buffer.data().data())


def _batches(report: Report, writer: QPdfWriter) -> list[_Pages]:
    found = []
    for parts, head, orientation in (
        (
            report.upright,
            heading_markup(report.title, report.subtitle),
            QPageLayout.Orientation.Portrait,
        ),
        (report.lying, "", QPageLayout.Orientation.Landscape),
    ):
        if parts:
            writer.setPageOrientation(orientation)
            area = _area(writer)
            size = QSizeF(area.width(), area.height() - FOOTER_DOTS)
            found.append(_Pages(page_document(head, parts, writer, size), orientation))
    return found


def _area(writer: QPdfWriter) -> QRectF:
    inside = writer.pageLayout().paintRectPixels(DOTS_AN_INCH)
    return QRectF(0, 0, inside.width(), inside.height())


def _paint_page(painter: QPainter, document: QTextDocument, page: int, area: QRectF) -> None:
    height = document.pageSize().height()
    painter.save()
    painter.translate(0, -page * height)
    document.drawContents(painter, QRectF(0, page * height, area.width(), height))
    painter.restore()


def _paint_footer(painter: QPainter, area: QRectF, left: str, right: str) -> None:
    font = QFont(painter.font())
    font.setPointSizeF(FOOTER_POINTS)
    painter.save()
    painter.setFont(font)
    painter.setPen(on_paper().colour("muted"))
    foot = QRectF(0, area.height() - FOOTER_DOTS / 2, area.width(), FOOTER_DOTS / 2)
    painter.drawText(foot, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, left)
    painter.drawText(foot, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom, right)
    painter.restore()
