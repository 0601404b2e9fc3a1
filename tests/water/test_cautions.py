"""The cautions of each product, and what must never meet."""

from __future__ import annotations

import pytest

from tests.water.waters import RESOURCES, a_request, a_test
from tubcare.errors import InputError
from tubcare.water.cautions import never_together, parse_cautions
from tubcare.water.compounds import ACIDS, HYPOCHLORITES, ISOCYANURATES, NEUTRALISERS, Compound
from tubcare.water.plan import plan


def test_every_step_of_a_product_has_cautions_and_a_wait() -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    found = plan(a_request(a_test(ph=8.3, calcium_mg_l=5, free_chlorine_mg_l=0)))
    for step in found.steps:
        assert step.wait_min > 0
        assert step.compound is not None
        assert len(book.of(step.compound)) > 6


MUST_SAY = {
    **dict.fromkeys(HYPOCHLORITES | ISOCYANURATES, ("never_mix", "acid", "another kind")),
    **dict.fromkeys(ACIDS, ("never_chlorine", "chlorine")),
    Compound.BROMINE_TABLET: ("never_mix", "chlorine", "acid"),
    Compound.HYDROGEN_PEROXIDE: ("never_mix", "chlorine"),
    **dict.fromkeys(NEUTRALISERS, ("never", "chlorine")),
}


@pytest.mark.parametrize("compound", sorted(MUST_SAY))
def test_what_a_product_must_never_meet_stands_in_its_own_cautions(compound: Compound) -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    (text,) = [c.text for c in book.of(compound) if c.key.split(".")[1].startswith("never")]
    for needed in MUST_SAY[compound][1:]:
        assert needed in text, needed


@pytest.mark.parametrize("compound", [c for c in Compound if c is not Compound.SODIUM_CHLORIDE])
def test_every_product_is_stored_apart_and_dangerous_dust_or_fumes_are_aired(
    compound: Compound,
) -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    names = {caution.key.split(".")[1] for caution in book.of(compound)}
    assert "store_apart" in names
    if compound in ACIDS | HYPOCHLORITES | ISOCYANURATES | {Compound.BROMINE_TABLET}:
        assert "ventilate" in names


def test_cautions_missing_for_a_product_are_refused() -> None:
    text = (RESOURCES / "cautions.toml").read_text("utf-8").replace('trichlor = "isocyan', '# "')
    with pytest.raises(InputError, match="trichlor"):
        parse_cautions(text)


@pytest.mark.parametrize("compound", list(Compound))
def test_every_product_has_cautions_of_its_own_and_the_general_ones(compound: Compound) -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    keys = [caution.key for caution in book.of(compound)]
    assert keys[0].split(".")[0] != "general"
    for general in ("follow_label", "product_into_water", "gloves_eyes"):
        assert f"general.{general}" in keys


@pytest.mark.parametrize(
    ("first", "second", "never"),
    [
        (Compound.SODIUM_HYPOCHLORITE, Compound.HYDROCHLORIC_ACID, True),
        (Compound.SODIUM_HYPOCHLORITE, Compound.TRICHLOR, True),
        (Compound.SODIUM_HYPOCHLORITE, Compound.CALCIUM_HYPOCHLORITE, True),
        (Compound.DICHLOR, Compound.HYDROGEN_PEROXIDE, True),
        (Compound.SODA_ASH, Compound.SODIUM_HYPOCHLORITE, False),
        (Compound.SODIUM_BISULFATE, Compound.SODIUM_BISULFATE, False),
    ],
)
def test_products_that_must_never_meet(first: Compound, second: Compound, never: bool) -> None:
    assert never_together(first, second) is never
    assert never_together(second, first) is never
