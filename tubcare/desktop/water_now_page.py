"""How the water stands: the facts in a few lines, and each reading against its range."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from typing_extensions import override

from tubcare.desktop.marks import Mark
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.theme import worded
from tubcare.desktop.water_part import WaterPart
from tubcare.water.judged import READING_OF, Standing
from tubcare.words.dates import weekday_date
from tubcare.words.sentences.water import (
    assumed_text,
    index_meaning,
    index_text,
    range_source,
    range_text,
    standing_text,
    step_in_text,
)
from tubcare.words.sentences.water_care import (
    active_text,
    borate_text,
    clash_text,
    combined_text,
    galvanic_text,
    leak_text,
)
from tubcare.words.sentences.water_plan import next_text
from tubcare.words.sentences.water_wear import exposure_text, wear_text
from tubcare.words.water_values import kit_value, observation, quantity_name, sighting_text

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.services.water_now import WaterNow
    from tubcare.water.judged import Judged
    from tubcare.words.locale import Speech

STANDING_MARKS: Final = {
    Standing.INSIDE: Mark("inside", "done"),
    Standing.BELOW: Mark("below", "late"),
    Standing.ABOVE: Mark("above", "late"),
    Standing.UNKNOWN: Mark("unknown", "coming"),
}


class WaterNowPage(WaterPart):
    """Shows what a service said about the water; it judges nothing by itself."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        say = context.say
        self.question = worded(QLabel(say("May we step in? What is known:")), "strong")
        self.facts = QLabel()
        self.next = worded(QLabel(), "strong")
        self.care = worded(QLabel(), "error")
        self.scale = QLabel()
        self.assumed = worded(QLabel(), "muted")
        self.wear = QLabel()
        self.liner = QLabel()
        columns = (
            Column(key="what", title=say("Reading"), text=self._name),
            Column(key="value", title=say("Value"), text=self._value, numeric=True),
            Column(key="stands", title=say("Stands"), text=self._stands, mark=_mark),
            Column(key="range", title=say("Range of the tub"), text=self._range),
            Column(
                key="source", title=say("Where it comes from"), text=self._source, stretch=True
            ),
        )
        self.model = RowsModel(columns, context.icons, identity=_identity)
        self.table = Table(
            say("Readings and their ranges"), "water-now", self.model, context.keeping
        )
        rows = self.add_tall_page().rows
        rows.setSpacing(8)
        for label in (
            self.facts,
            self.next,
            self.care,
            self.scale,
            self.assumed,
            self.wear,
            self.liner,
        ):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        rows.addWidget(self.question)
        rows.addWidget(self.facts)
        rows.addWidget(self.next)
        rows.addWidget(self.table, 1)
        rows.addWidget(self.care)
        rows.addWidget(self.scale)
        rows.addWidget(self.assumed)
        rows.addWidget(self.wear)
        rows.addWidget(self.liner)

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Show a tub's water in place of what was shown."""
        super().show_water(shown)
        found, speech = shown.now, shown.speech
        self.facts.setText(" ".join([*step_in_text(speech, found.step_in), *_seen(speech, found)]))
        self.next.setText(_next(speech, shown))
        self.scale.setText(_scale(speech, found))
        self.assumed.setText(assumed_text(speech, found.kit, found.assumed))
        self.assumed.setVisible(bool(found.assumed))
        care = " ".join(care_texts(speech, found))
        self.care.setText(care)
        self.care.setVisible(bool(care))
        wear = wear_text(speech, shown.wear.advice)
        leak = leak_text(speech, shown.wear.topped_up_week_l, shown.wear.volume_l)
        self.wear.setText(" ".join(part for part in (wear, leak) if part))
        self.wear.setVisible(not found.drained)
        exposure = shown.liner.exposure
        if exposure is not None:
            told = exposure_text(
                speech, exposure, shown.liner.window, inspected=shown.liner.inspected
            )
            self.liner.setText(" ".join(told))
        self.liner.setVisible(exposure is not None)
        self.model.set_rows(found.judged)
        for place in range(4):
            self.table.resizeColumnToContents(place)

    def _name(self, each: Judged) -> str:
        return quantity_name(self.speech, each.quantity)

    def _value(self, each: Judged) -> str:
        if each.sighting is None or self._shown is None:
            return "\N{EN DASH}"
        kit = self._shown.now.kit
        return sighting_text(self.speech, kit, READING_OF[each.quantity], each.sighting)

    def _stands(self, each: Judged) -> str:
        if self._shown is None:
            return ""
        told = standing_text(self.speech, self._shown.now.kit, each)
        return f"{told[:1].upper()}{told[1:]}"

    def _range(self, each: Judged) -> str:
        if self._shown is None:
            return ""
        return range_text(self.speech, self._shown.now.kit, each.limits)

    def _source(self, each: Judged) -> str:
        return range_source(self.speech, each.limits, edited=each.edited)


def _next(speech: Speech, shown: WaterShown) -> str:
    plan = shown.plan
    return next_text(
        speech,
        state=plan.state.value,
        left=sum(each.done is None for each in plan.steps),
        test_from=None if plan.retest_at is None else shown.moment(plan.retest_at),
        test_by=weekday_date(speech, shown.next_test),
    )


def _seen(speech: Speech, found: WaterNow) -> list[str]:
    told = [observation(speech, name, seen.value) for name, seen in found.observed.items()]
    return [speech.say("Seen last: {list}.", list=", ".join(told))] if told else []


def _scale(speech: Speech, found: WaterNow) -> str:
    if found.contradiction:
        return speech.say("The values contradict each other: {why}", why=found.contradiction)
    if found.drained:
        return ""
    if found.index is None:
        return speech.say("The saturation index needs a pH. Enter a test to see it.")
    water_c = kit_value(speech, found.kit, "water_c", found.water_c)
    if not found.measured_c:
        water_c = speech.say("{temperature} (the set point)", temperature=water_c)
    index = index_text(speech, found.index, water_c)
    told = f"{index}. {index_meaning(speech, found.index, found.liner)}"
    if found.borate is None:
        return told
    return f"{told} {borate_text(speech, found.kit, found.borate)}"


def care_texts(speech: Speech, found: WaterNow) -> list[str]:
    """Return what the water calls for beside dosing."""
    told = [galvanic_text(speech, pair) for pair in found.pairs]
    if found.clash is not None:
        told.insert(0, clash_text(speech, found.kit, found.clash))
    if found.active is not None:
        told.insert(0, active_text(speech, found.active))
    if found.combined is not None:
        told.insert(0, combined_text(speech, found.kit, found.combined, found.volume_l))
    return [each for each in told if each]


def _mark(each: Judged) -> Mark:
    return STANDING_MARKS[each.standing]


def _identity(each: Judged) -> str:
    return each.quantity.value
