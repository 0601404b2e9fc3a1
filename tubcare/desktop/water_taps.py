"""One answer out of a few, given with one tap: what was seen, or which colour a pad has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QRadioButton, QWidget

if TYPE_CHECKING:
    from collections.abc import Sequence


_IN_LINE, _LETTERS_IN_LINE = 4, 44


class Taps(QWidget):
    """Radio buttons in a line or two; none is chosen before the person chooses."""

    answered = Signal(object)
    """Carries the place of the answer (int)."""

    def __init__(self, name: str, answers: Sequence[str]) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self._group = QButtonGroup(self)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 2, 0, 2)
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(4)
        # Many or long ones stand in two lines: a pad of six colours, or a language of long words.
        short = len(answers) <= _IN_LINE and sum(map(len, answers)) <= _LETTERS_IN_LINE
        in_line = len(answers) if short else -(-len(answers) // 2)
        self.buttons: list[QRadioButton] = []
        for place, answer in enumerate(answers):
            button = QRadioButton(answer)
            button.setAccessibleDescription(name)
            self._group.addButton(button, place)
            self.buttons.append(button)
            grid.addWidget(button, place // in_line, place % in_line)
        grid.setColumnStretch(in_line, 1)
        self.setFocusProxy(self.buttons[0])
        self._group.idClicked.connect(self._tell)

    @property
    def chosen(self) -> int | None:
        """The place of the answer, None where none was given."""
        place = self._group.checkedId()
        return None if place < 0 else place

    def choose(self, place: int) -> None:
        """Give an answer as if it were tapped."""
        self.buttons[place].setChecked(True)
        self.answered.emit(place)

    def clear(self) -> None:
        """Take the answer back."""
        self._group.setExclusive(False)
        for button in self.buttons:
            button.setChecked(False)
        self._group.setExclusive(True)

    @Slot(int)
    def _tell(self, place: int) -> None:
        self.answered.emit(place)
