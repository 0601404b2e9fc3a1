"""Borate carries a part of the alkalinity and steadies the pH."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.water.waters import a_request, a_test
from tubcare.water.balance import balance
from tubcare.water.borate import borate_share
from tubcare.water.plan import plan

BORON_G_MOL = 10.81
CALCIUM_CARBONATE_MEQ_MG = 50.04


@pytest.mark.parametrize(("ph", "share"), [(7.4, 0.0091), (8.2, 0.0550)])
def test_the_part_of_the_alkalinity_follows_from_boric_acid_s_constant(
    ph: float, share: float
) -> None:
    """1 / (1 + 10^(pKa - pH)), by hand, with pKa 9.435 at 5 °C (handbook, from memory).

    The activity of the ions in a tub makes it up to a tenth more.
    """
    found = borate_share(balance(a_test(ph=ph, boron_mg_l=50.0, alkalinity_mg_l=100.0)))
    assert found is not None
    expected = 50.0 / BORON_G_MOL * share * CALCIUM_CARBONATE_MEQ_MG
    assert found.alkalinity_mg_l == pytest.approx(expected * 1.05, rel=0.06)


@given(boron=st.floats(1.0, 60.0), ph=st.floats(7.0, 8.4))
def test_more_borate_steadies_more(boron: float, ph: float) -> None:
    less, more = (
        borate_share(balance(a_test(ph=ph, boron_mg_l=each, alkalinity_mg_l=150.0)))
        for each in (boron / 2, boron)
    )
    assert less is not None
    assert more is not None
    assert 0.0 < less.steadies < more.steadies < 1.0


def test_water_without_borate_has_no_part_of_it() -> None:
    assert borate_share(balance(a_test())) is None


def test_the_plan_takes_more_acid_through_borate() -> None:
    amounts = []
    for boron in (0.0, 50.0):
        found = plan(a_request(a_test(ph=8.1, alkalinity_mg_l=80.0, boron_mg_l=boron)))
        acid = [step.portion.exact for step in found.steps if step.kind == "acid" and step.portion]
        amounts.append(sum(acid))
    assert amounts[1] > 1.15 * amounts[0] > 0.0
