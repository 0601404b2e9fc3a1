"""What stands on the shelf: products with their labels, scoops, fill waters."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QTabWidget
from typing_extensions import override

from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.theme import worded
from tubcare.desktop.water_forms import MeasureForm, ProductForm, SourceForm
from tubcare.desktop.water_kept_list import Change, KeptList
from tubcare.desktop.water_part import WaterPart
from tubcare.services.water_shelf import drop_measure, drop_product, put_measure, put_product
from tubcare.services.water_sources import choose_source, drop_source, put_source
from tubcare.words.dates import medium_date
from tubcare.words.numbers import number, percent
from tubcare.words.sentences.water_amounts import amount_text
from tubcare.words.sentences.water_care import apart_text
from tubcare.words.water_products import compound_name, strength_name
from tubcare.words.water_values import kit_value

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.services.desk import Desk
    from tubcare.services.water_shelf import OwnMeasure, ShelfProduct
    from tubcare.services.water_sources import FillSource
    from tubcare.values import TubId
    from tubcare.water.reading import WaterTest

R = TypeVar("R")


class WaterShelfPage(WaterPart):
    """Lists what the plan may use, and takes new ones below each list."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName(context.say("What stands on the shelf"))
        self.page = self.add_tall_page()
        rows = self.page.rows
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        self.apart = worded(QLabel(), "error")
        self.apart.setWordWrap(True)
        self.apart.setTextFormat(Qt.TextFormat.PlainText)
        self.apart.setContentsMargins(12, 8, 12, 0)
        self.apart.hide()
        rows.addWidget(self.apart)
        rows.addWidget(self.tabs, 1)
        self.product_form: ProductForm | None = None
        self.measure_form: MeasureForm | None = None
        self.source_form: SourceForm | None = None
        say = context.say
        self.products = self._table(
            "products",
            say("Products"),
            Column(key="name", title=say("Product"), text=_product_name),
            Column(key="holds", title=say("Holds"), text=self._holds, stretch=True),
            Column(key="label", title=say("On the label"), text=self._label),
            Column(key="today", title=say("Strength today"), text=self._today),
            Column(key="left", title=say("On the shelf"), text=self._left, numeric=True),
        )
        self.measures = self._table(
            "measures",
            say("Scoops and syringes"),
            Column(key="name", title=say("Name"), text=_measure_name, stretch=True),
            Column(key="ml", title=say("Level full"), text=self._capacity, numeric=True),
        )
        self.sources = self._table(
            "sources",
            say("Fill waters"),
            Column(key="name", title=say("Name"), text=_source_name, stretch=True),
            Column(key="on", title=say("Tested"), text=self._tested),
            Column(key="ph", title="pH", text=self._ph, numeric=True),
            Column(key="alkalinity", title=say("Alkalinity"), text=self._alkalinity, numeric=True),
        )

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Show the shelf; what is being typed stays."""
        super().show_water(shown)
        if self.product_form is None:
            self._build(shown)
        self.products.rows_model.set_rows(shown.shelf.products)
        self.measures.rows_model.set_rows(shown.shelf.measures)
        self.sources.rows_model.set_rows(shown.shelf.sources)
        apart = apart_text(shown.speech, shown.shelf.apart)
        self.apart.setText(apart)
        self.apart.setVisible(bool(apart))
        self.page.fit()
        for column in range(2, 4):
            self.products.resizeColumnToContents(column)

    def _build(self, shown: WaterShown) -> None:
        context, say = self.context, self.context.say
        product_form = self.product_form = ProductForm(context, shown.shelf.today)
        measure_form = self.measure_form = MeasureForm(context)
        source_form = self.source_form = SourceForm(context, shown.now.kit)
        self.tabs.addTab(
            KeptList(
                context,
                self.products,
                product_form,
                keep=partial(self._kept_product, product_form),
                drop=self._dropped_product,
            ),
            say("Products"),
        )
        self.tabs.addTab(
            KeptList(
                context,
                self.measures,
                measure_form,
                keep=partial(self._kept_measure, measure_form),
                drop=self._dropped_measure,
            ),
            say("Scoops"),
        )
        self.tabs.addTab(
            KeptList(
                context,
                self.sources,
                source_form,
                keep=partial(self._kept_source, source_form),
                drop=self._dropped_source,
            ),
            say("Fill water"),
        )

    def _kept_product(self, form: ProductForm) -> Change:
        product = form.product()
        call = partial(
            put_product,
            self.context.desk,
            product,
            filled_on=form.filled.day(),
            storage_c=form.storage_c(),
        )
        return Change(call, product.name)

    def _dropped_product(self) -> Change | None:
        row = self.products.current_row
        if row is None:
            return None
        return Change(partial(drop_product, self.context.desk, row.supply), row.label.name)

    def _kept_measure(self, form: MeasureForm) -> Change:
        measure = form.measure()
        return Change(partial(put_measure, self.context.desk, measure), measure.name)

    def _dropped_measure(self) -> Change | None:
        row = self.measures.current_row
        if row is None:
            return None
        name = row.measure.name
        return Change(partial(drop_measure, self.context.desk, name), name)

    def _kept_source(self, form: SourceForm) -> Change:
        assert self._shown is not None  # noqa: S101  a form is made when something is shown
        name, test = form.name.read(), form.test()
        tub = self._shown.now.tub.id
        return Change(partial(_put_and_choose, self.context.desk, tub, name, test), name)

    def _dropped_source(self) -> Change | None:
        row = self.sources.current_row
        if row is None:
            return None
        return Change(partial(drop_source, self.context.desk, row.name), row.name)

    def _table(self, key: str, name: str, *columns: Column[R]) -> Table[R]:
        model = RowsModel(columns, self.context.icons)
        return Table(name, f"water-{key}", model, self.context.keeping)

    def _holds(self, each: ShelfProduct) -> str:
        return compound_name(self.speech, each.label.compound)

    def _label(self, each: ShelfProduct) -> str:
        speech = self.speech
        kind = strength_name(speech, each.label.kind)
        return f"{number(speech, each.label.strength)} {kind}"

    def _today(self, each: ShelfProduct) -> str:
        if self._shown is None:
            return ""
        _product, left = each.on(self._shown.shelf.today)
        if left is None:
            return self.speech.say("as labelled")
        return self.speech.say("{share} left", share=percent(self.speech, left.share))

    def _left(self, each: ShelfProduct) -> str:
        if each.left is None:
            return "\N{EN DASH}"
        return amount_text(self.speech, each.left, each.label.unit)

    def _capacity(self, each: OwnMeasure) -> str:
        return amount_text(self.speech, each.measure.capacity_ml, "ml")

    def _tested(self, each: FillSource) -> str:
        return medium_date(self.speech, each.tested_on)

    def _ph(self, each: FillSource) -> str:
        return number(self.speech, each.test.ph)

    def _alkalinity(self, each: FillSource) -> str:
        if self._shown is None:
            return ""
        kit = self._shown.now.kit
        return kit_value(self.speech, kit, "alkalinity_mg_l", each.test.alkalinity_mg_l)


def _product_name(each: ShelfProduct) -> str:
    return each.label.name


def _measure_name(each: OwnMeasure) -> str:
    return each.measure.name


def _source_name(each: FillSource) -> str:
    return each.name


def _put_and_choose(desk: Desk, tub: TubId, name: str, test: WaterTest) -> None:
    put_source(desk, name, test, tested_on=desk.home_today())
    choose_source(desk, tub, name)
