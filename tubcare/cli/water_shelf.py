"""Commands about products, scoops, fill waters and ranges."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.cli.choosing import member
from tubcare.cli.figures import exact, named_number
from tubcare.errors import InputError
from tubcare.services.ranges import edit_range, reset_range, tub_ranges
from tubcare.services.water_kit import tub_kit
from tubcare.services.water_shelf import drop_measure, drop_product, put_measure, put_product
from tubcare.services.water_sources import choose_source, drop_source, put_source
from tubcare.services.water_supplies import WaterShelf, water_shelf
from tubcare.water.compounds import Compound
from tubcare.water.judged import FIELD_OF_READING, READING_OF
from tubcare.water.measures import Measure
from tubcare.water.products import Form, StrengthKind, usual_product
from tubcare.water.ranges import Quantity
from tubcare.water.reading import WaterTest
from tubcare.words.dates import medium_date
from tubcare.words.numbers import number, percent
from tubcare.words.sentences.water import loosened_text, range_source, range_text
from tubcare.words.sentences.water_amounts import amount_text
from tubcare.words.sentences.water_care import apart_text
from tubcare.words.water_values import quantity_name

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk
    from tubcare.water.kit import Kit
    from tubcare.water.ranges import Range
    from tubcare.words.locale import Speech

_FILL_C = 10.0


def shelf(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show products, scoops and fill waters."""
    _ = arguments
    found = water_shelf(desk)
    today, speech = found.today, output.speech
    output.data(
        {
            "products": [
                {
                    "supply": each.supply,
                    "name": each.label.name,
                    "compound": each.label.compound.value,
                    "strength_kind": each.label.kind.value,
                    "strength": each.label.strength,
                    "strength_today": round(each.on(today)[0].strength, 3),
                    "filled_on": None if each.filled_on is None else each.filled_on.isoformat(),
                    "left": each.left,
                    "unit": each.label.unit,
                }
                for each in found.products
            ],
            "never_together": [list(pair) for pair in found.apart],
            "measures": [
                {
                    "name": each.measure.name,
                    "capacity_ml": each.measure.capacity_ml,
                    "divisions": each.measure.divisions,
                }
                for each in found.measures
            ],
            "sources": [
                {"name": each.name, "tested_on": each.tested_on.isoformat()}
                for each in found.sources
            ],
        }
    )
    if not found.products and not found.measures:
        output.line(speech.say("Nothing yet. Add a product: tubcare water product NAME …"))
    _products(found, output)
    if found.apart:
        output.line(apart_text(speech, found.apart))
    for each in found.measures:
        output.line(f"{each.measure.name}  {amount_text(speech, each.measure.capacity_ml, 'ml')}")
    for source in found.sources:
        output.line(f"{source.name}  {medium_date(speech, source.tested_on)}")


def product(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Keep or drop what the label of a product says."""
    values = arguments.values
    if values.drop:
        wanted = values.name.casefold()
        known = water_shelf(desk).products
        found = next((p for p in known if p.label.name.casefold() == wanted), None)
        if found is None:
            raise InputError("product", f"there is no product named “{values.name}”")
        drop_product(desk, found.supply)
        output.data({"product": values.name, "dropped": True})
        return
    if values.compound is None:
        raise InputError("compound", "say what it holds with --compound")
    usual = usual_product(member(Compound, "compound", values.compound))
    label = replace(
        usual,
        name=values.name,
        kind=usual.kind if values.kind is None else member(StrengthKind, "kind", values.kind),
        strength=usual.strength if values.strength is None else values.strength,
        density_kg_l=usual.density_kg_l if values.density is None else values.density,
    )
    put_product(desk, label, filled_on=values.filled, storage_c=values.storage_c)
    output.data({"product": label.name, "strength": label.strength, "kind": label.kind.value})
    output.line(f"{label.name}: {number(output.speech, label.strength)} ({label.kind.value})")


def scoop(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Keep or drop a scoop, spoon, syringe or cup."""
    values = arguments.values
    if values.drop:
        drop_measure(desk, values.name)
    else:
        if values.ml is None:
            raise InputError("ml", "say how much it holds, such as: water scoop spoon 5")
        form = None if values.form is None else Form(values.form)
        put_measure(
            desk,
            Measure(
                name=values.name,
                capacity_ml=values.ml,
                divisions=values.divisions,
                for_form=form,
            ),
        )
    output.data({"measure": values.name, "dropped": values.drop})
    output.line(values.name)


def source(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Keep or drop the test of a fill water, and say that a tub gets it."""
    values = arguments.values
    if values.drop:
        drop_source(desk, values.name)
        output.data({"source": values.name, "dropped": True})
        return
    if values.values:
        kit = tub_kit(desk, values.tub)
        read = dict(named_number(output.speech, "source", text) for text in values.values)
        unknown = [name for name in read if name not in {*FIELD_OF_READING, "water_c"}]
        if unknown:
            raise InputError("quantity", f"“{unknown[0]}” is not known")
        inside = {
            FIELD_OF_READING.get(name, name): kit.inside(name, value)
            for name, value in read.items()
        }
        put_source(
            desk,
            values.name,
            _fill_test(inside),
            tested_on=values.on or arguments.today or desk.home_today(),
        )
    choose_source(desk, values.tub, values.name)
    output.data({"source": values.name})
    output.line(values.name)


def _fill_test(inside: Mapping[str, float]) -> WaterTest:
    for name in ("ph", "alkalinity_mg_l"):
        if name not in inside:
            raise InputError("source", f"a fill water needs its {name}; write it like {name}=…")
    return WaterTest(**({"water_c": _FILL_C, "calcium_mg_l": 0.0, **inside}))


def ranges(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show the ranges of a tub with their documents."""
    kit, found = tub_kit(desk, arguments.values.tub), tub_ranges(desk, arguments.values.tub)
    speech = output.speech
    output.data(
        {
            "ranges": [
                {
                    "quantity": each.limits.quantity.value,
                    "low": each.limits.low,
                    "aim": each.limits.aim,
                    "high": each.limits.high,
                    "document": each.limits.document,
                    "section": each.limits.section,
                    "basis": each.limits.basis.value,
                    "edited": each.edited,
                    "loosened": [warning.end for warning in each.loosened],
                }
                for each in found
            ]
        }
    )
    for each in found:
        name = quantity_name(speech, each.limits.quantity)
        output.line(f"{name}: {range_text(speech, kit, each.limits)}")
        output.line(f"    {range_source(speech, each.limits, edited=each.edited)}")
        for warning in each.loosened:
            output.line(f"    {loosened_text(speech, kit, warning)}")


def change_range(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Change a range of a tub, or bring back the one of the book."""
    values = arguments.values
    quantity = member(Quantity, "quantity", values.quantity)
    kit = tub_kit(desk, values.tub)
    if values.reset:
        reset_range(desk, values.tub, quantity)
        output.data({"quantity": quantity.value, "edited": False})
        return
    now = _limits(desk, values.tub, quantity)
    low, aim, high = (
        _end(kit, output.speech, (quantity, end), getattr(values, end), getattr(now, end))
        for end in ("low", "aim", "high")
    )
    found = edit_range(desk, values.tub, quantity, low=low, aim=aim, high=high)
    output.data(
        {
            "quantity": quantity.value,
            "edited": True,
            "loosened": [warning.end for warning in found.loosened],
        }
    )
    speech = output.speech
    output.line(f"{quantity_name(speech, quantity)}: {range_text(speech, kit, found.limits)}")
    for warning in found.loosened:
        output.line(loosened_text(speech, kit, warning))


def _limits(desk: Desk, tub: str | None, quantity: Quantity) -> Range:
    for each in tub_ranges(desk, tub):
        if each.limits.quantity is quantity:
            return each.limits
    raise InputError("quantity", f"this tub has no range for {quantity.value}")


def _end(
    kit: Kit, speech: Speech, which: tuple[Quantity, str], text: str | None, kept: float | None
) -> float | None:
    """Return an end of a range: as it is where nothing is said of it, None for `none`."""
    quantity, end = which
    if text is None:
        return kept
    if text.strip().casefold() == "none":
        return None
    return kit.inside(READING_OF[quantity], float(exact(speech, end, text)))


def _products(found: WaterShelf, output: Output) -> None:
    speech, today = output.speech, found.today
    rows = []
    for each in found.products:
        _product, left = each.on(today)
        share = (
            "" if left is None else speech.say("{share} left", share=percent(speech, left.share))
        )
        amount = "" if each.left is None else amount_text(speech, each.left, each.label.unit)
        rows.append((each.label.name, each.label.compound.value.replace("_", " "), amount, share))
    output.table(rows)
