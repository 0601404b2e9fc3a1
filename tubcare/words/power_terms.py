"""The words for builds, evaporators, tariffs and cautions of power."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.energy.build_data import Topic
from tubcare.energy.chiller import Evaporator
from tubcare.energy.price_text import PricePer
from tubcare.energy.standing_charge import StandingView
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping
    from enum import StrEnum

    from tubcare.words.locale import Speech

_BUILD_UPS: Mapping[str, Term] = MappingProxyType(
    {
        "bare_plastic": term("build-up", "bare plastic, 5 mm"),
        "bare_steel": term("build-up", "bare steel, 1.5 mm"),
        "wood_40": term("build-up", "wood, 40 mm"),
        "inflatable_100": term("build-up", "two skins with 100 mm of air"),
        "foam_50": term("build-up", "foam, 50 mm (freezer chest)"),
        "foam_25_wood_20": term("build-up", "foam 25 mm and wood 20 mm"),
        "foam_50_wood_20": term("build-up", "foam 50 mm and wood 20 mm"),
        "xps_80_wood_20": term("build-up", "rigid foam (XPS) 80 mm and wood 20 mm"),
        "thin_cover": term("build-up", "thin cover, 1 mm"),
        "wood_lid_20": term("build-up", "wooden lid, 20 mm"),
        "foam_lid_40": term("build-up", "foam lid, 40 mm"),
        "foam_lid_80": term("build-up", "foam lid, 80 mm"),
    }
)
_MATERIALS: Mapping[str, Term] = MappingProxyType(
    {
        "pu_foam": term("material", "PU foam"),
        "xps": term("material", "rigid foam (XPS)"),
        "eps": term("material", "bead foam (EPS)"),
        "softwood": term("material", "softwood"),
        "pvc": term("material", "PVC"),
        "rubber": term("material", "rubber"),
        "polyethylene": term("material", "polyethylene"),
        "grp": term("material", "glass-fibre plastic (GRP)"),
        "acrylic": term("material", "acrylic"),
        "stainless_steel": term("material", "stainless steel"),
        "aluminium": term("material", "aluminium"),
    }
)
_MEMBERS: Mapping[type[StrEnum], Mapping[StrEnum, Term]] = MappingProxyType(
    {
        Evaporator: {
            Evaporator.WALL_COIL: term("evaporator", "coil on the wall"),
            Evaporator.COIL_IN_WATER: term("evaporator", "coil in the water"),
            Evaporator.FLOW_THROUGH: term("evaporator", "flow-through"),
        },
        StandingView: {
            StandingView.MARGINAL: term("standing charge", "paid anyway: none of it is the tub's"),
            StandingView.BY_ENERGY: term("standing charge", "shared by kilowatt hours"),
            StandingView.OWN_METER: term("standing charge", "all of it: a meter of its own"),
        },
        PricePer: {
            PricePer.UNIT_KWH: term("price for", "a kilowatt hour, in whole units"),
            PricePer.CENT_KWH: term("price for", "a kilowatt hour, in hundredths"),
            PricePer.UNIT_MWH: term("price for", "a megawatt hour, in whole units"),
        },
        Topic: {
            Topic.COLD_WATER: term("caution topic", "Cold water"),
            Topic.ELECTRICITY: term("caution topic", "Electricity"),
            Topic.REFRIGERANT: term("caution topic", "Refrigerant"),
            Topic.EVAPORATOR: term("caution topic", "This kind of unit"),
            Topic.FROST: term("caution topic", "Frost"),
        },
    }
)


def power_word(speech: Speech, member: StrEnum) -> str:
    """Return the word for an evaporator, a view of the standing charge, a price or a topic."""
    return say_term(speech, _MEMBERS[type(member)][member])


def build_up_word(speech: Speech, key: str) -> str:
    """Return the name of a build-up; one that is not known is told as it is written."""
    known = _BUILD_UPS.get(key)
    return key.replace("_", " ") if known is None else say_term(speech, known)


def material_word(speech: Speech, key: str) -> str:
    """Return the name of a material; one that is not known is told as it is written."""
    known = _MATERIALS.get(key)
    return key.replace("_", " ") if known is None else say_term(speech, known)
