"""Which species the totals split into at a given pH: the algebra of the closed system.

With h = a(H+) and x = [HCO3-], every carbonate species and calcium pair is a rational function
of x, so both "alkalinity known" and "carbon known" end in a quadratic (Stumm & Morgan, Aquatic
Chemistry, ch. 4, for the system; own derivation of the quadratics). The same functions take one
water or arrays of them. Concentrations in mol/L.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic

from tubcare.water.activity import Activities, activities_at
from tubcare.water.number import Number

if TYPE_CHECKING:
    from tubcare.water.equilibria import Constants

_CYANURATE_STEPS = 60
_CONVERGED = 1e-15


@dataclass(frozen=True, slots=True, kw_only=True)
class Medium(Generic[Number]):
    """What temperature, ionic strength and sodium fix before the pH is known.

    Attributes
    ----------
    constants, activities
        At the water's temperature and ionic strength.
    sodium_bicarbonate, sodium_carbonate
        [NaHCO3]/[HCO3-] and [NaCO3-]/[CO3--]. [-]
    """

    constants: Constants[Number]
    activities: Activities[Number]
    sodium_bicarbonate: Number
    sodium_carbonate: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame(Generic[Number]):
    """The factors that a pH adds to its medium, before any total is known.

    Attributes
    ----------
    hydrogen, hydroxide
        Concentrations. [mol/L]
    co2_ratio, co3_ratio
        [CO2]/[HCO3-] and [CO3--]/[HCO3-]. [-]
    bicarbonate_sum, carbonate_sum
        ([HCO3-] + [NaHCO3])/[HCO3-] and ([CO3--] + [NaCO3-])/[HCO3-]. [-]
    pair_bicarbonate, pair_carbonate
        [CaHCO3+] and [CaCO3aq] per [Ca++][HCO3-]. [L/mol]
    hypochlorite_ratio, hypobromite_ratio, borate_ratio, cyanuric_ratio
        [OCl-]/[HOCl], [OBr-]/[HOBr], [B(OH)4-]/[B(OH)3], [H3Cy]/[H2Cy-]. [-]
    first_chlorine, second_chlorine
        [HClCy-]/[H2Cy-] and [Cl2Cy-]/[HClCy-], each per [HOCl]. [L/mol]
    """

    hydrogen: Number
    hydroxide: Number
    co2_ratio: Number
    co3_ratio: Number
    bicarbonate_sum: Number
    carbonate_sum: Number
    pair_bicarbonate: Number
    pair_carbonate: Number
    hypochlorite_ratio: Number
    hypobromite_ratio: Number
    borate_ratio: Number
    cyanuric_ratio: Number
    first_chlorine: Number
    second_chlorine: Number


def medium_at(constants: Constants[Number], strength: Number, sodium: Number) -> Medium[Number]:
    """Return the medium at an ionic strength and a sodium concentration, both [mol/L].

    Sodium bound in its pairs (under 2 % of the bicarbonate) is not taken off the sodium.
    """
    found = activities_at(constants.debye_a, constants.debye_b, strength)
    free = sodium * found.sodium
    return Medium(
        constants=constants,
        activities=found,
        sodium_bicarbonate=constants.k_nahco3 * free * found.bicarbonate / found.neutral,
        sodium_carbonate=constants.k_naco3 * free * found.carbonate / found.monovalent,
    )


def frame_at(medium: Medium[Number], ph: Number) -> Frame[Number]:
    """Return the factors at a pH (minus log10 of the hydrogen activity)."""
    constants, gamma = medium.constants, medium.activities
    activity: Number = 10.0**-ph
    co3_ratio = constants.k2 * gamma.bicarbonate / (activity * gamma.carbonate)
    anion = gamma.neutral / (activity * gamma.monovalent)
    return Frame(
        hydrogen=activity / gamma.hydrogen,
        hydroxide=constants.kw / (activity * gamma.hydroxide),
        co2_ratio=activity * gamma.bicarbonate / (constants.k1 * gamma.neutral),
        co3_ratio=co3_ratio,
        bicarbonate_sum=1.0 + medium.sodium_bicarbonate,
        carbonate_sum=co3_ratio * (1.0 + medium.sodium_carbonate),
        pair_bicarbonate=constants.k_cahco3
        * gamma.calcium
        * gamma.bicarbonate
        / gamma.calcium_bicarbonate,
        pair_carbonate=constants.k_caco3
        * gamma.calcium
        * gamma.carbonate
        / gamma.neutral
        * co3_ratio,
        hypochlorite_ratio=constants.k_hocl * anion,
        hypobromite_ratio=constants.k_hobr * anion,
        borate_ratio=constants.k_boric * anion,
        cyanuric_ratio=1.0 / (constants.k_cy6 * anion),
        # The cyanurate anions carry one charge each: only HOCl's coefficient is left.
        first_chlorine=gamma.neutral / constants.k_cy9,
        second_chlorine=gamma.neutral / constants.k_cy7,
    )


def _positive_root(a: Number, b: Number, c: Number) -> Number:
    """Return the root of a x² + b x - c = 0 that has the sign of c."""
    root: Number = (b * b + 4.0 * a * c) ** 0.5
    # b turns negative only above pH 10, and there stays small beside the root: no branch needed.
    return 2.0 * c / (b + root)


def bicarbonate_from_alkalinity(
    frame: Frame[Number], carbonate_alkalinity: Number, calcium: Number
) -> Number:
    """Return [HCO3-] that gives the alkalinity left to carbonate species and pairs [mol/L]."""
    pairs = frame.pair_bicarbonate + frame.pair_carbonate
    free = frame.bicarbonate_sum + 2.0 * frame.carbonate_sum
    bound = calcium * (frame.pair_bicarbonate + 2.0 * frame.pair_carbonate)
    return _positive_root(
        free * pairs, free + bound - carbonate_alkalinity * pairs, carbonate_alkalinity
    )


def bicarbonate_from_carbon(frame: Frame[Number], carbon: Number, calcium: Number) -> Number:
    """Return [HCO3-] that gives the total inorganic carbon [mol/L]."""
    pairs = frame.pair_bicarbonate + frame.pair_carbonate
    free = frame.bicarbonate_sum + frame.co2_ratio + frame.carbonate_sum
    return _positive_root(free * pairs, free + (calcium - carbon) * pairs, carbon)


def free_calcium(frame: Frame[Number], bicarbonate: Number, calcium: Number) -> Number:
    """Return [Ca++] left outside its pairs [mol/L]."""
    return calcium / (1.0 + (frame.pair_bicarbonate + frame.pair_carbonate) * bicarbonate)


def carbonate_alkalinity(frame: Frame[Number], bicarbonate: Number, calcium: Number) -> Number:
    """Return the alkalinity that carbonate species and calcium pairs carry [mol/L]."""
    unbound = free_calcium(frame, bicarbonate, calcium)
    pairs = frame.pair_bicarbonate + 2.0 * frame.pair_carbonate
    return bicarbonate * (frame.bicarbonate_sum + 2.0 * frame.carbonate_sum + pairs * unbound)


def total_carbon(frame: Frame[Number], bicarbonate: Number, calcium: Number) -> Number:
    """Return the total inorganic carbon, pairs included [mol/L]."""
    unbound = free_calcium(frame, bicarbonate, calcium)
    pairs = frame.pair_bicarbonate + frame.pair_carbonate
    return bicarbonate * (
        frame.bicarbonate_sum + frame.co2_ratio + frame.carbonate_sum + pairs * unbound
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ChlorineSpecies(Generic[Number]):
    """Free chlorine and cyanurate, species by species [mol/L]."""

    hocl: Number
    ocl: Number
    h3cy: Number
    h2cy: Number
    hclcy: Number
    cl2cy: Number

    @property
    def alkalinity(self) -> Number:
        """Alkalinity that the anions carry [mol/L]."""
        return self.ocl + self.h2cy + self.hclcy + self.cl2cy


def chlorine_species(
    frame: Frame[float], chlorine: float, cyanurate: float
) -> ChlorineSpecies[float]:
    """Return how free chlorine shares between HOCl, OCl- and cyanurate.

    Parameters
    ----------
    chlorine, cyanurate
        Totals. [mol/L], any from 0 on

    References
    ----------
    Mass balances over the model of Wahman & Alexander 2019; one unknown, HOCl, found by Newton's
    rule kept inside its bracket.
    """
    if cyanurate <= 0.0:
        hocl = chlorine / (1.0 + frame.hypochlorite_ratio)
        return ChlorineSpecies(
            hocl=hocl,
            ocl=hocl * frame.hypochlorite_ratio,
            h3cy=0.0,
            h2cy=0.0,
            hclcy=0.0,
            cl2cy=0.0,
        )
    hocl = _unbound_hocl(frame, chlorine, cyanurate)
    return chlorine_from_hocl(frame, hocl, cyanurate)


def chlorine_from_hocl(
    frame: Frame[Number], hocl: Number, cyanurate: Number
) -> ChlorineSpecies[Number]:
    """Return the species that stand in equilibrium with `hocl` [mol/L]."""
    one = hocl * frame.first_chlorine
    two = one * hocl * frame.second_chlorine
    h2cy = cyanurate / (1.0 + frame.cyanuric_ratio + one + two)
    return ChlorineSpecies(
        hocl=hocl,
        ocl=hocl * frame.hypochlorite_ratio,
        h3cy=h2cy * frame.cyanuric_ratio,
        h2cy=h2cy,
        hclcy=h2cy * one,
        cl2cy=h2cy * two,
    )


def _unbound_hocl(frame: Frame[float], chlorine: float, cyanurate: float) -> float:
    """Solve chlorine = HOCl (1 + OCl/HOCl) + HClCy + 2 Cl2Cy for HOCl."""
    if chlorine <= 0.0:
        return 0.0
    unbound = 1.0 + frame.hypochlorite_ratio
    empty = 1.0 + frame.cyanuric_ratio
    first = frame.first_chlorine
    second = first * frame.second_chlorine
    low, high = 0.0, chlorine / unbound
    # Cyanurate far in excess: one chlorine to each.
    u = min(high, chlorine / (unbound + cyanurate * first / empty))
    for _ in range(_CYANURATE_STEPS):
        one, two = first * u, second * u * u
        whole = empty + one + two
        bound = (one + 2.0 * two) / whole
        excess = u * unbound + cyanurate * bound - chlorine
        if excess > 0.0:
            high = u
        else:
            low = u
        # u dn/du of the binding curve is the variance of the number bound.
        spread = (one + 4.0 * two) / whole - bound * bound
        step = excess / (unbound + cyanurate * spread / u)
        following = u - step
        if not low <= following <= high:
            following = 0.5 * (low + high)
        if abs(following - u) <= _CONVERGED * u:
            return following
        u = following
    return u
