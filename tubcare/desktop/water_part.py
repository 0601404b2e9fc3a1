"""What the pages of the section Water have in common."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.tub_part import Part

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.words.locale import Speech


class WaterPart(Part):
    """A page about the water of one tub; its section reads it once for all pages."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._shown: WaterShown | None = None

    @property
    def speech(self) -> Speech:
        """Return how things are told, as the logbook that was read has it."""
        return self.context.speech if self._shown is None else self._shown.speech

    def show_water(self, shown: WaterShown) -> None:
        """Show a tub's water in place of what was shown; what is being typed stays."""
        self._shown = shown
