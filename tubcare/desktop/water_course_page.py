"""The course of one reading as a chart, with all that was added and changed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel
from typing_extensions import override

from tubcare.desktop.charts import ChartView
from tubcare.desktop.water_course_chart import course_chart
from tubcare.desktop.water_part import WaterPart
from tubcare.services.water_course import WaterCourse, water_course
from tubcare.water.ranges import Quantity
from tubcare.words.water_values import quantity_name

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown

_SANITISERS = frozenset({Quantity.FREE_CHLORINE, Quantity.BROMINE, Quantity.PEROXIDE})


class WaterCoursePage(WaterPart):
    """Reads the course of the chosen quantity when it is looked at or anything changed."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self._quantity = Quantity.PH
        self.quantities = QComboBox()
        self.quantities.setAccessibleName(context.say("Reading"))
        self.quantities.activated.connect(self._choose)
        self.chart = ChartView(context, "water-course")
        self.note = QLabel(
            context.say(
                "What is expected of the pH stands on the air alone; what of the sanitiser, on "
                "this tub's own readings."
            )
        )
        self.note.setWordWrap(True)
        head = QHBoxLayout()
        head.addWidget(self.quantities)
        head.addStretch(1)
        page = self.add_tall_page()
        page.rows.addLayout(head)
        page.rows.addWidget(self.chart, 1)
        page.rows.addWidget(self.note)

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Offer the tub's quantities, and read the chosen one anew."""
        super().show_water(shown)
        offered = [each.limits.quantity for each in shown.ranges]
        if self._quantity not in offered and offered:
            self._quantity = offered[0]
        self.quantities.clear()
        for quantity in offered:
            self.quantities.addItem(quantity_name(shown.speech, quantity), quantity.value)
        self.quantities.setCurrentIndex(self.quantities.findData(self._quantity.value))
        self._read()

    @Slot(int)
    def _choose(self, _index: int) -> None:
        self._quantity = Quantity(self.quantities.currentData())
        self._read()

    def _read(self) -> None:
        if self._shown is None:
            return
        tub = self._shown.now.tub.id
        self.context.work.on_logbook(
            partial(water_course, self.context.desk, tub, self._quantity),
            done=self._show,
            title=self.context.say("Reading the course"),
            replaces="water-course",
        )

    def _show(self, course: WaterCourse) -> None:
        if self._shown is None:
            return
        sanitiser = course.quantity in _SANITISERS
        self.chart.show_chart(course_chart(self._shown.speech, course, sanitiser=sanitiser))
