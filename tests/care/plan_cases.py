"""The shipped templates and profiles of many kinds of tub."""

from __future__ import annotations

from datetime import date
from functools import cache

from hypothesis import strategies as st

from tubcare.care.templates import TemplateSet, load_templates
from tubcare.resource_files import read_texts
from tubcare.values import (
    Cladding,
    FilterKind,
    LidKind,
    Liner,
    MonthDay,
    Sanitiser,
    TubProfile,
)

TODAY = date(2026, 5, 1)
PLAIN = TubProfile(name="Plain", chiller_w=400.0, pump_w=40.0, latitude_deg=60.2)

month_days = st.builds(
    MonthDay,
    month=st.integers(min_value=1, max_value=12),
    day=st.integers(min_value=1, max_value=28),
)
profiles = st.builds(
    TubProfile,
    name=st.just("Tub"),
    volume_l=st.floats(min_value=20, max_value=20_000),
    liner=st.sampled_from(Liner),
    cladding=st.sampled_from(Cladding),
    sanitiser=st.sampled_from(Sanitiser),
    has_ozone=st.booleans(),
    has_uv=st.booleans(),
    chiller_w=st.sampled_from([0.0, 400.0]),
    pump_w=st.sampled_from([0.0, 40.0]),
    filter_kind=st.sampled_from(FilterKind),
    lid=st.sampled_from(LidKind),
    latitude_deg=st.none() | st.floats(min_value=-90, max_value=90),
    season_opens=month_days,
    season_closes=month_days,
    people=st.integers(min_value=1, max_value=50),
).filter(lambda profile: profile.season_opens != profile.season_closes)


@cache
def shipped() -> TemplateSet:
    return load_templates(read_texts("care_plans", ".toml"))
