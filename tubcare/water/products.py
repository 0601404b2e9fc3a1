"""What stands on the shelf: a compound, its strength by the label, and how it is measured."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from tubcare.errors import InputError, OutOfRangeError
from tubcare.water import masses
from tubcare.water.compounds import EFFECTS, Compound, Effect

_DENSITY_KG_L = (0.5, 2.0)
_SALT_PER_CHLORINE = (0.0, 5.0)


class StrengthKind(StrEnum):
    """How a label states strength."""

    MASS_PERCENT = "mass_percent"
    AVAILABLE_CHLORINE_PERCENT = "available_chlorine_percent"
    TRADE_PERCENT = "trade_percent"
    GRAMS_PER_LITRE = "grams_per_litre"


class Form(StrEnum):
    """Whether it is weighed or poured."""

    SOLID = "solid"
    LIQUID = "liquid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """A product as its label describes it.

    Attributes
    ----------
    name
        What the person calls it.
    compound
        The pure chemical that does the work.
    kind, strength
        Label strength: per cent by mass of the pure compound; per cent by mass of available
        chlorine; trade per cent (g available chlorine in 100 mL); or g/L of the pure compound.
    form
        Solids are dosed in grams, liquids in millilitres.
    density_kg_l
        Of a liquid; of a solid the bulk density in a scoop. [kg/L], 0.5..2
    salt_per_chlorine
        Mol of common salt beside each mol of hypochlorite: about 1 in bleach. [-], 0..5
    """

    name: str
    compound: Compound
    kind: StrengthKind = StrengthKind.MASS_PERCENT
    strength: float = 100.0
    form: Form = Form.SOLID
    density_kg_l: float = 1.0
    salt_per_chlorine: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a label that cannot be."""
        low, high = _DENSITY_KG_L
        if not low <= self.density_kg_l <= high:
            raise OutOfRangeError("density_kg_l", self.density_kg_l, low, high)
        limit = 1500.0 if self.kind is StrengthKind.GRAMS_PER_LITRE else 100.0
        if not 0.0 < self.strength <= limit:
            raise OutOfRangeError("strength", self.strength, 0.0, limit)
        low, high = _SALT_PER_CHLORINE
        if not low <= self.salt_per_chlorine <= high:
            raise OutOfRangeError("salt_per_chlorine", self.salt_per_chlorine, low, high)
        if self.form is Form.SOLID and self.kind in _LIQUID_KINDS:
            raise InputError("kind", "a strength per volume belongs to a liquid")
        if self.kind in _CHLORINE_KINDS and EFFECTS[self.compound].chlorine <= 0.0:
            raise InputError("kind", "a strength in available chlorine belongs to a chlorine")
        if self.pure_per_unit > self.density_kg_l * 1.0001 and self.form is Form.LIQUID:
            raise InputError("strength", "holds more than the whole liquid weighs")
        if self.form is Form.SOLID and self._stated_share > _ROUNDED_UP:
            raise InputError("strength", "is more than the pure compound has")

    @property
    def pure_per_unit(self) -> float:
        """Pure compound in one gram (solid) or one millilitre (liquid) [g]."""
        if self.kind is StrengthKind.GRAMS_PER_LITRE:
            return self.strength / 1000.0
        if self.kind is StrengthKind.TRADE_PERCENT:
            return self._stated_share
        if self.form is Form.LIQUID:
            return self._stated_share * self.density_kg_l
        return min(self._stated_share, 1.0)

    @property
    def _stated_share(self) -> float:
        """Pure compound that the label's per cent stand for, as a share."""
        share = self.strength / 100.0
        if self.kind in _CHLORINE_KINDS:
            effect = EFFECTS[self.compound]
            share *= effect.molar_mass / (effect.chlorine * masses.CHLORINE)
        return share

    @property
    def effect(self) -> Effect:
        """What one mole of the active compound, with its companion salt, does."""
        pure = EFFECTS[self.compound]
        if not self.salt_per_chlorine:
            return pure
        salt = self.salt_per_chlorine * pure.chlorine
        return replace(pure, sodium=pure.sodium + salt, chloride=pure.chloride + salt)

    @property
    def unit(self) -> str:
        """Unit of its amounts: g or ml."""
        return "ml" if self.form is Form.LIQUID else "g"

    def mmol_l(self, amount: float, volume_l: float) -> float:
        """Return the dose in mmol/L that an amount [g or ml] makes in a volume [L]."""
        return amount * self.pure_per_unit / EFFECTS[self.compound].molar_mass / volume_l * 1e3

    def amount(self, mmol_l: float, volume_l: float) -> float:
        """Return the amount [g or ml] that makes a dose [mmol/L] in a volume [L]."""
        return mmol_l * EFFECTS[self.compound].molar_mass * volume_l / self.pure_per_unit * 1e-3


_LIQUID_KINDS = frozenset({StrengthKind.TRADE_PERCENT, StrengthKind.GRAMS_PER_LITRE})
_CHLORINE_KINDS = frozenset({StrengthKind.TRADE_PERCENT, StrengthKind.AVAILABLE_CHLORINE_PERCENT})
_ROUNDED_UP = 1.02
"""Labels round up: dichlor dihydrate holds 55.4 % of available chlorine and is sold as 56 %."""


def usual_product(compound: Compound) -> Product:
    """Return the product as it is commonly sold, for a label that was not read.

    Strengths and densities are common practice, no source; the label always wins.
    """
    name = compound.value.replace("_", " ")
    if compound is Compound.SODIUM_HYPOCHLORITE:
        return Product(
            name=name,
            compound=compound,
            kind=StrengthKind.TRADE_PERCENT,
            strength=12.5,
            form=Form.LIQUID,
            density_kg_l=1.2,
            salt_per_chlorine=1.0,
        )
    if compound is Compound.HYDROCHLORIC_ACID:
        return Product(
            name=name, compound=compound, strength=31.45, form=Form.LIQUID, density_kg_l=1.16
        )
    if compound is Compound.HYDROGEN_PEROXIDE:
        return Product(
            name=name, compound=compound, strength=30.0, form=Form.LIQUID, density_kg_l=1.11
        )
    # What a person reads off a chlorine is its available chlorine; taken for a share by mass,
    # dichlor would count as half as strong as it is, and be dosed twice.
    chlorines = {
        Compound.CALCIUM_HYPOCHLORITE: (65.0, 0.9),
        Compound.DICHLOR: (62.0, 0.9),
        Compound.DICHLOR_DIHYDRATE: (55.0, 0.9),
        Compound.TRICHLOR: (90.0, 0.95),
    }
    if compound in chlorines:
        strength, density = chlorines[compound]
        return Product(
            name=name,
            compound=compound,
            kind=StrengthKind.AVAILABLE_CHLORINE_PERCENT,
            strength=strength,
            density_kg_l=density,
        )
    strengths = {
        Compound.SODIUM_BISULFATE: (93.0, 1.4),
        Compound.CALCIUM_CHLORIDE_DIHYDRATE: (100.0, 0.85),
        Compound.CALCIUM_CHLORIDE: (94.0, 0.85),
        Compound.SODA_ASH: (99.0, 1.0),
        Compound.SODIUM_BICARBONATE: (99.0, 1.0),
    }
    strength, density = strengths.get(compound, (100.0, 1.0))
    return Product(name=name, compound=compound, strength=strength, density_kg_l=density)
