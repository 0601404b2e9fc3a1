"""Lays the parts of a report out as pages."""

from __future__ import annotations

from dataclasses import dataclass
from string import Template
from typing import TYPE_CHECKING

from PySide6.QtCore import QSizeF, QUrl
from PySide6.QtGui import QFont, QTextDocument

from tubcare.desktop.print.paper import on_paper
from tubcare.words.escape import as_markup

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from PySide6.QtGui import QPaintDevice, QTextBlock

    from tubcare.desktop.plain_table import PlainTable
    from tubcare.desktop.print.report import Part, Picture

BODY_POINTS = 9.5
SMALL_POINTS = 7.5
WIDE_FROM_COLUMNS = 9
_PART_LEVEL = 2
_MOST_ROWS_TOGETHER = 14
_LEAST_TOGETHER = 24
"""Blocks of a long part that stay with its heading: its text and two or three rows."""
_STYLE = Template("""
h1 { font-size: 20pt; font-weight: 600; margin-bottom: 2px; }
h2 { font-size: 13pt; font-weight: 600; margin-top: 20px; margin-bottom: 6px; }
p { margin-top: 3px; margin-bottom: 3px; line-height: 125%; }
p.muted { color: $muted; }
th { font-weight: 600; }
""")
_LINE = "border-{side}-style:solid;border-{side}-width:1px;border-{side}-color:{colour};"


@dataclass(frozen=True, slots=True)
class _Lines:
    """The lines of tables, as styles of their cells."""

    head: str
    row: str
    total: str


def page_document(
    head: str, parts: Sequence[Part], device: QPaintDevice, page: QSizeF
) -> QTextDocument:
    """Return a laid-out document of pages of one size, in units of the device.

    A heading never stands alone at the foot of a page, and what is short stays together; heads of
    long tables come again on each page.
    """
    broken: set[int] = set()
    while True:
        document = _laid_out(head, parts, device, page, frozenset(broken))
        torn = set(_torn_parts(document, page.height(), parts)) - broken
        if not torn:
            return document
        # Made anew: a document that is changed after its layout is not always painted whole.
        broken.add(min(torn))


def _laid_out(
    head: str,
    parts: Sequence[Part],
    device: QPaintDevice,
    page: QSizeF,
    broken: frozenset[int],
) -> QTextDocument:
    document = QTextDocument()
    document.setUseDesignMetrics(True)
    document.documentLayout().setPaintDevice(device)
    font = QFont(document.defaultFont())
    font.setPointSizeF(BODY_POINTS)
    document.setDefaultFont(font)
    document.setDocumentMargin(0)
    colours = on_paper().colours
    document.setDefaultStyleSheet(_STYLE.substitute(colours))
    for place, part in enumerate(parts):
        if part.picture is not None:
            document.addResource(
                QTextDocument.ResourceType.ImageResource, _address(place), part.picture.image
            )
    lines = _lines(colours)
    body = "".join(
        _markup(place, part, page.width(), lines, starts_page=place in broken)
        for place, part in enumerate(parts)
    )
    document.setHtml(f"<html><body>{head}{body}</body></html>")
    document.setPageSize(page)
    # Asking for its size lays it out to the end.
    document.documentLayout().documentSize()
    return document


def heading_markup(title: str, subtitle: Sequence[str]) -> str:
    """Return the head of a report as markup."""
    lines = "".join(f'<p class="muted">{as_markup(line)}</p>' for line in subtitle)
    return f"<h1>{as_markup(title)}</h1>{lines}"


def _lines(colours: Mapping[str, str]) -> _Lines:
    below = _LINE.format(side="bottom", colour=colours["border"])
    above = _LINE.format(side="top", colour=colours["border"])
    thin = _LINE.format(side="bottom", colour=colours["hairline"])
    return _Lines(head=below, row=thin, total=above + below)


def _markup(place: int, part: Part, width: float, lines: _Lines, *, starts_page: bool) -> str:
    style = ' style="page-break-before:always"' if starts_page else ""
    pieces = [f"<h2{style}>{as_markup(part.heading)}</h2>"]
    if part.picture is not None:
        pieces.append(_picture(place, part.picture, width))
    pieces += [f"<p>{as_markup(text)}</p>" for text in part.text]
    if part.table is not None:
        pieces.append(_table(part.table, lines))
    return "".join(pieces)


def _picture(place: int, picture: Picture, width: float) -> str:
    """Return text and picture as one block, so that a heading stays with both."""
    told, address = as_markup(picture.told), _address(place).toString()
    high = picture.image.height() * width / picture.image.width()
    image = f'<img src="{address}" width="{int(width)}" height="{int(high)}">'
    # A line that is higher than its picture would leave a gap below it.
    return f'<p class="muted" style="line-height:100%">{told}<br>{image}</p>'


def _table(table: PlainTable, lines: _Lines) -> str:
    wide = len(table.heads) >= WIDE_FROM_COLUMNS
    points = SMALL_POINTS if wide else BODY_POINTS - 0.5
    size = f"font-size:{points}pt;"
    heads = "".join(
        f'<th style="{size}{lines.head}" align="{_side(place)}" valign="bottom">'
        f"{as_markup(head)}</th>"
        for place, head in enumerate(table.heads)
    )
    last = len(table.rows) - 1
    total = f"font-weight:600;{lines.total}"
    rows = "".join(
        _row(row, size + (total if table.has_sum and place == last else lines.row))
        for place, row in enumerate(table.rows)
    )
    padding = 3 if wide else 4
    return (
        f'<table width="100%" cellspacing="0" cellpadding="{padding}" '
        'style="border-collapse:collapse">'
        f"<thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"
    )


def _row(row: Sequence[str], style: str) -> str:
    cells = "".join(
        f'<td style="{style}" align="{_side(place)}">{as_markup(cell)}</td>'
        for place, cell in enumerate(row)
    )
    return f"<tr>{cells}</tr>"


def _side(place: int) -> str:
    return "left" if place == 0 else "right"


def _address(place: int) -> QUrl:
    return QUrl(f"picture:{place}")


def _torn_parts(document: QTextDocument, height: float, parts: Sequence[Part]) -> Iterator[int]:
    """Yield the places of parts that begin on one page and should not end on another.

    A long part may go on, but not right after its heading.
    """
    for place, (part, blocks) in enumerate(zip(parts, _blocks_by_part(document), strict=True)):
        first = blocks[0]
        last = blocks[-1] if _is_short(part) else blocks[min(_LEAST_TOGETHER, len(blocks) - 1)]
        if _page_of(document, first, height) != _page_of(document, last, height):
            yield place


def _is_short(part: Part) -> bool:
    return part.table is None or len(part.table.rows) <= _MOST_ROWS_TOGETHER


def _blocks_by_part(document: QTextDocument) -> list[list[QTextBlock]]:
    found: list[list[QTextBlock]] = []
    block = document.begin()
    while block.isValid():
        if block.blockFormat().headingLevel() == _PART_LEVEL:
            found.append([])
        if found:
            found[-1].append(block)
        block = block.next()
    return found


def _page_of(document: QTextDocument, block: QTextBlock, height: float) -> int:
    bottom = document.documentLayout().blockBoundingRect(block).bottom()
    return int((bottom - 1) // height)
