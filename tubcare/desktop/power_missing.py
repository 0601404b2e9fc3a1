"""What stands on a page of power while something it needs is missing, and where that is given."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QStackedWidget

from tubcare.desktop.screen import EmptyState

if TYPE_CHECKING:
    from collections.abc import Mapping

    from PySide6.QtWidgets import QWidget

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_part import TubPart


class Missing(QStackedWidget):
    """Shows the content of a page, or what is missing: weather, a price or an opening."""

    def __init__(self, context: Context, page: TubPart, content: QWidget) -> None:
        super().__init__()
        say = context.say
        self._context = context
        self._content = content
        weather = page.add_page_action(say("Add weather"), self._to_weather)
        price = page.add_page_action(say("Set the price of power"), self._to_tariff)
        opening = page.add_page_action(say("Open the tub"), self._to_tub)
        self._states: Mapping[str, EmptyState] = {
            "weather": EmptyState(
                say("No weather yet"),
                say(
                    "Type twelve monthly means, or import weather from a file: then the model"
                    " tells what the cold draws."
                ),
                weather,
            ),
            "typical": EmptyState(
                say("No typical weather yet"),
                say(
                    "A season to come needs it: type twelve monthly means, or import a typical"
                    " year."
                ),
                weather,
            ),
            "price": EmptyState(
                say("No price of power yet"), say("Costs and savings need it."), price
            ),
            "opening": EmptyState(
                say("Nothing ran yet"),
                say("A season begins when the tub is opened; then each day's power is told here."),
                opening,
            ),
        }
        for widget in (content, *self._states.values()):
            self.addWidget(widget)

    def show_missing(self, what: str) -> bool:
        """Say that something is missing; return whether it is one of the things known here."""
        state = self._states.get(what)
        self.setCurrentWidget(state or self._content)
        return state is not None

    @Slot()
    def _to_weather(self) -> None:
        self._context.go("power", "weather")

    @Slot()
    def _to_tariff(self) -> None:
        self._context.go("power", "tariff")

    @Slot()
    def _to_tub(self) -> None:
        self._context.go("tub")
