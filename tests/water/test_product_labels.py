"""What the figure on a product's label stands for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tubcare.errors import InputError
from tubcare.water.compounds import EFFECTS, Compound
from tubcare.water.products import Product, StrengthKind, usual_product

SOLID_CHLORINES = (
    Compound.CALCIUM_HYPOCHLORITE,
    Compound.DICHLOR,
    Compound.DICHLOR_DIHYDRATE,
    Compound.TRICHLOR,
)


@pytest.mark.parametrize("compound", SOLID_CHLORINES)
def test_the_figure_of_a_solid_chlorine_is_its_available_chlorine(
    compound: Compound,
) -> None:
    usual = usual_product(compound)
    # A gram puts as many milligrams of chlorine into a litre as its label says, times ten.
    chlorine_mg = usual.mmol_l(1.0, 1.0) * EFFECTS[compound].chlorine * 70.906
    assert usual.kind is StrengthKind.AVAILABLE_CHLORINE_PERCENT
    assert chlorine_mg == pytest.approx(usual.strength * 10.0, rel=1e-3)


def test_a_label_that_rounds_its_available_chlorine_up_counts_as_the_pure_compound() -> None:
    # 2 x 70.906 / 255.98 (IUPAC 2021 masses) is 55.4 %; its labels say 56 %.
    label = replace(usual_product(Compound.DICHLOR_DIHYDRATE), strength=56.0)
    assert label.pure_per_unit == pytest.approx(1.0)
    with pytest.raises(InputError, match="more than the pure compound"):
        replace(label, strength=62.0)


def test_a_label_in_trade_per_cent_counts_available_chlorine_by_volume() -> None:
    """Trade per cent: g of available chlorine in 100 mL (common practice)."""
    bleach = usual_product(Compound.SODIUM_HYPOCHLORITE)
    assert bleach.amount(2.0 / 70.9, 1000.0) == pytest.approx(2.0 / 0.125, rel=1e-6)


def test_hydrochloric_acid_of_31_per_cent() -> None:
    """31.45 % at 1.16 g/mL holds 365 g/L (handbook density, from memory)."""
    acid = usual_product(Compound.HYDROCHLORIC_ACID)
    assert 1000 * acid.pure_per_unit == pytest.approx(365.0, abs=0.5)


def test_a_label_stronger_than_pure_is_refused() -> None:
    with pytest.raises(InputError, match="strength"):
        Product(
            name="x",
            compound=Compound.DICHLOR,
            kind=StrengthKind.AVAILABLE_CHLORINE_PERCENT,
            strength=80.0,
        )
