"""A page that scrolls where it does not fit."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

FIELD_CHARACTERS = 90
"""Wider than this, a row of a form is hard to follow with the eye."""


def scrolling(*parts: QWidget) -> QScrollArea:
    """Return an area with the parts below each other, no wider than a form should be."""
    holder = QWidget()
    holder.setObjectName("page")
    rows = QVBoxLayout(holder)
    rows.setContentsMargins(0, 0, 8, 0)
    rows.setSpacing(12)
    for part in parts:
        part.setMaximumWidth(FIELD_CHARACTERS * part.fontMetrics().averageCharWidth())
        rows.addWidget(part)
    rows.addStretch(1)
    area = QScrollArea()
    area.setWidget(holder)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area
