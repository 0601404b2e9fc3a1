"""Products, scoops and fill waters at hand: what the dosing plan may use."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from sqlalchemy import select

from tubcare.errors import InputError, NotFoundError
from tubcare.ledger.categories import SpendCategory
from tubcare.services import fields
from tubcare.services.named_rows import put_row, row_named
from tubcare.services.supplies import ensure_supply
from tubcare.services.topics import Topic
from tubcare.services.water_cautions import caution_book
from tubcare.store.tables import (
    EntryRow,
    StockRow,
    SupplyRow,
    WaterMeasureRow,
    WaterProductRow,
)
from tubcare.store.unit import table_of
from tubcare.values import SupplyId
from tubcare.water.compounds import Compound
from tubcare.water.measures import Measure
from tubcare.water.plan_model import ShelfItem
from tubcare.water.products import Form, Product, StrengthKind
from tubcare.water.shelf import today_strength

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection, Row

    from tubcare.services.desk import Desk
    from tubcare.water.shelf import ShelfStrength

SHELF_TOPICS = frozenset({Topic.STOCK, Topic.MEASURES})
# Grams or millilitres in one of a supply's unit.
UNIT_SIZE: Final[Mapping[str, tuple[Form, float]]] = MappingProxyType(
    {
        "g": (Form.SOLID, 1.0),
        "kg": (Form.SOLID, 1000.0),
        "ml": (Form.LIQUID, 1.0),
        "l": (Form.LIQUID, 1000.0),
    }
)
_COLDEST_C, _WARMEST_C = -10.0, 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfProduct:
    """A supply with its label.

    Attributes
    ----------
    label
        As printed.
    filled_on
        When it was filled or bought; with it hypochlorite ages.
    storage_c
        Where it stands. [°C]
    size
        Grams or millilitres in one unit of the supply.
    left
        On the shelf by the logbook; None where nothing was ever bought. [g or mL]
    price_minor, price_amount
        What an amount [g or mL] of it cost, in minor units.
    """

    supply: SupplyId
    label: Product
    filled_on: date | None
    storage_c: float
    size: float
    left: float | None
    price_minor: int
    price_amount: float

    @property
    def cautions(self) -> tuple[str, ...]:
        """All that stands beside a dose of it."""
        return tuple(caution.text for caution in caution_book().of(self.label.compound))

    def on(self, day: date) -> tuple[Product, ShelfStrength | None]:
        """Return the product with its strength on a day, and how sure that is."""
        if self.filled_on is None or self.filled_on > day:
            return self.label, None
        return today_strength(
            self.label, filled=self.filled_on, today=day, storage_c=self.storage_c
        )

    def item(self, day: date, *, added_back: float = 0.0) -> ShelfItem:
        """Return it as the plan takes it; `added_back` is what this plan's steps took already."""
        return ShelfItem(
            product=self.on(day)[0],
            left=None if self.left is None else max(0.0, self.left + added_back),
            pack_price_minor=self.price_minor,
            pack_amount=self.price_amount,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMeasure:
    """A scoop or syringe as it is stored."""

    id: int
    measure: Measure


def put_product(
    desk: Desk,
    product: Product,
    *,
    filled_on: date | None = None,
    storage_c: float = 15.0,
) -> SupplyId:
    """Keep what the label of a supply says; a new name becomes a new supply.

    Raises
    ------
    InputError
        When the supply is counted in a unit that does not fit, or the date is yet to come.
    OutOfRangeError
        When the place is colder or warmer than any store.
    """
    fields.quantity("storage_c", storage_c, _COLDEST_C, _WARMEST_C)
    if filled_on is not None:
        fields.not_after("filled_on", filled_on, desk.home_today())
    name = fields.required_name("product", product.name)
    with desk.write("put_product", name, SHELF_TOPICS) as unit:
        supply = ensure_supply(
            unit, name=name, unit=product.unit, category=SpendCategory.CHEMICALS
        )
        _require_unit(unit.connection, supply, product.form)
        values = {
            "compound": product.compound.value,
            "strength_kind": product.kind.value,
            "strength": product.strength,
            "form": product.form.value,
            "density_kg_l": product.density_kg_l,
            "salt_per_chlorine": product.salt_per_chlorine,
            "filled_on": filled_on,
            "storage_c": storage_c,
        }
        put_row(unit, WaterProductRow, "supply_id", supply, values)
        return supply


def drop_product(desk: Desk, supply: SupplyId) -> None:
    """Take a label away; the supply and its stock stay."""
    table, names = table_of(WaterProductRow), table_of(SupplyRow)
    with desk.read() as connection:
        name = connection.execute(select(names.c.name).where(names.c.id == supply)).scalar()
    with desk.write("drop_product", str(name or ""), SHELF_TOPICS) as unit:
        found = unit.connection.execute(
            select(table.c.id).where(table.c.supply_id == supply)
        ).scalar()
        if found is None:
            raise NotFoundError("product", supply)
        unit.remove(WaterProductRow, found)


def put_measure(desk: Desk, measure: Measure) -> None:
    """Keep a scoop, spoon, syringe or cup; a name that is there already is changed."""
    name = fields.required_name("measure", measure.name)
    with desk.write("put_measure", name, SHELF_TOPICS) as unit:
        values = {
            "capacity_ml": measure.capacity_ml,
            "divisions": measure.divisions,
            "for_form": None if measure.for_form is None else measure.for_form.value,
        }
        put_row(unit, WaterMeasureRow, "name", name, values)


def drop_measure(desk: Desk, name: str) -> None:
    """Take a measure away; raise `NotFoundError` when there is none of that name."""
    with desk.write("drop_measure", name, SHELF_TOPICS) as unit:
        unit.remove(WaterMeasureRow, row_named(unit.connection, WaterMeasureRow, "measure", name))


def products_in(connection: Connection) -> tuple[ShelfProduct, ...]:
    """Return the supplies with a label, by name."""
    label, supply, stock = table_of(WaterProductRow), table_of(SupplyRow), table_of(StockRow)
    rows = connection.execute(
        select(label, supply.c.name, supply.c.unit, stock.c.quantity_milli, stock.c.value_minor)
        .join(supply, supply.c.id == label.c.supply_id)
        .outerjoin(stock, stock.c.supply_id == supply.c.id)
        .where(supply.c.active)
        .order_by(supply.c.name)
    ).all()
    return tuple(_product(connection, row) for row in rows)


def measures_in(connection: Connection) -> tuple[OwnMeasure, ...]:
    """Return the measures, the smallest first."""
    table = table_of(WaterMeasureRow)
    rows = connection.execute(select(table).order_by(table.c.capacity_ml, table.c.name))
    return tuple(
        OwnMeasure(
            id=row.id,
            measure=Measure(
                name=row.name,
                capacity_ml=row.capacity_ml,
                divisions=row.divisions,
                for_form=None if row.for_form is None else Form(row.for_form),
            ),
        )
        for row in rows
    )


def _product(connection: Connection, row: Row[tuple[object, ...]]) -> ShelfProduct:
    size = UNIT_SIZE[str(row.unit).casefold()][1]
    price_minor, price_amount = _price(connection, row, size)
    return ShelfProduct(
        supply=SupplyId(row.supply_id),
        label=Product(
            name=row.name,
            compound=Compound(row.compound),
            kind=StrengthKind(row.strength_kind),
            strength=row.strength,
            form=Form(row.form),
            density_kg_l=row.density_kg_l,
            salt_per_chlorine=row.salt_per_chlorine,
        ),
        filled_on=row.filled_on,
        storage_c=row.storage_c,
        size=size,
        left=None if row.quantity_milli is None else row.quantity_milli / 1000.0 * size,
        price_minor=price_minor,
        price_amount=price_amount,
    )


def _price(connection: Connection, row: Row[tuple[object, ...]], size: float) -> tuple[int, float]:
    """Return what an amount cost: the moving average, else the last purchase, else nothing."""
    if row.quantity_milli and row.quantity_milli > 0:
        return row.value_minor, row.quantity_milli / 1000.0 * size
    entry = table_of(EntryRow)
    bought = connection.execute(
        select(entry.c.minor, entry.c.quantity_milli)
        .where(entry.c.supply_id == row.supply_id, entry.c.kind == "stock")
        .order_by(entry.c.on_date.desc(), entry.c.id.desc())
        .limit(1)
    ).first()
    if bought is None or not bought.quantity_milli:
        return 0, 1.0
    return bought.minor, bought.quantity_milli / 1000.0 * size


def _require_unit(connection: Connection, supply: SupplyId, form: Form) -> None:
    table = table_of(SupplyRow)
    unit = str(connection.execute(select(table.c.unit).where(table.c.id == supply)).scalar())
    fits = UNIT_SIZE.get(unit.casefold())
    if fits is None or fits[0] is not form:
        wanted = "g or kg" if form is Form.SOLID else "ml or l"
        raise InputError(
            "product", f"this supply is counted in “{unit}”; count it in {wanted} to dose it"
        )
