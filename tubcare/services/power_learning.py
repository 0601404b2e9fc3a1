"""Learning from the meter: what readings and a drift test tell, and keeping it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.energy.back_test import BackTest, back_test
from tubcare.energy.calibration import calibrate
from tubcare.energy.calibration_result import Basis, Calibration, Help, Refusal
from tubcare.energy.evidence import Evidence, MeterSpan
from tubcare.energy.hours import HourRange
from tubcare.errors import RuleError
from tubcare.services.power_build import (
    POWER_TOPICS,
    keep_power_plan,
    power_plan,
    read_build,
)
from tubcare.services.power_days import MeterStep, Mode, meter_steps, states_of, stretches
from tubcare.services.power_drift import TEST, DriftTest, drift_test_from, fit_test
from tubcare.services.power_follow import follow_change
from tubcare.services.power_learned import LEARNED, learned_data
from tubcare.services.power_site import PowerSite, read_site
from tubcare.store.tables import FillRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.energy.drift_test import DriftResult
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Learning:
    """What can be learned about a tub now.

    `found` is a calibration, or the refusal that says what would help; `checked` the back-test on
    weeks that were held out; `goes_by` what the model of the tub goes by now.
    """

    tub: TubPlace
    found: Calibration | Refusal
    checked: BackTest | None
    spans: int
    disturbed: int
    without_weather: int
    drift: DriftResult | None
    drift_test: DriftTest | None
    goes_by: Basis

    @property
    def kept(self) -> bool:
        """Say whether a calibration is in use already."""
        return self.goes_by is Basis.METER


def learning(desk: Desk, tub: TubId | str | None = None) -> Learning:
    """Return what the meter readings tell; takes up to seconds, so never on a UI thread.

    Raises
    ------
    NotFoundError, InputError
        When there is no such tub, or several to choose from.
    """
    with desk.read() as connection:
        site = read_site(connection, tub)
        place = site.build.place
        steps = meter_steps(connection, place.id)
        disturbed = _disturbed(connection, desk, place, steps)
        drift = power_plan(connection, place.id).get("drift", {})
    test = drift_test_from(drift)
    result = None if test is None else fit_test(site.build, test)
    spans = [_span(step, disturbed=step.reading in disturbed) for step in steps]
    evidence, left_out = _evidence(site, spans, result)
    found: Calibration | Refusal = Refusal(
        days=0.0, temperature_spread_k=0.0, would_help=(Help.MORE_DAYS,)
    )
    checked = None
    if evidence is not None:
        found = calibrate(site.described_tub, evidence)
        tested = back_test(site.described_tub, evidence)
        checked = tested if isinstance(tested, BackTest) else None
    return Learning(
        tub=place,
        found=found,
        checked=checked,
        spans=len(spans),
        disturbed=len(disturbed),
        without_weather=left_out,
        drift=result,
        drift_test=test,
        goes_by=site.learned.basis,
    )


def keep_learning(desk: Desk, tub: TubId | str | None = None) -> Learning:
    """Use what the meter readings tell from now on, until it is forgotten or learned anew.

    Raises
    ------
    RuleError
        When the readings cannot tell, and what would help.
    """
    found = learning(desk, tub)
    if isinstance(found.found, Refusal):
        raise RuleError("the readings cannot tell this tub's leak yet; nothing was kept")
    _write(desk, found.tub, "keep_learning", {LEARNED: learned_data(found.found)})
    return replace(found, goes_by=Basis.METER)


def forget_learning(desk: Desk, tub: TubId | str | None = None) -> TubPlace:
    """Go by the description again, or by the drift test, which stays."""
    with desk.read() as connection:
        place = read_build(connection, tub).place
    _write(desk, place, "forget_learning", {LEARNED: None})
    return place


def add_drift_test(desk: Desk, tub: TubId | str | None, test: DriftTest) -> DriftResult:
    """Keep a drift test in place of the one before; the model takes its leak until a meter's fit.

    Raises
    ------
    InputError, OutOfRangeError
        When its readings cannot tell the leak, and what would: longer, or air further away.
    """
    with desk.read() as connection:
        build = read_build(connection, tub)
    result = fit_test(build, test)
    data = {"readings": [list(each) for each in test.readings], "air_c": test.air_c}
    _write(desk, build.place, "add_drift_test", {TEST: data})
    return result


def delete_drift_test(desk: Desk, tub: TubId | str | None = None) -> TubPlace:
    """Take the drift test away, and the leak that it told."""
    with desk.read() as connection:
        place = read_build(connection, tub).place
    _write(desk, place, "delete_drift_test", {TEST: None})
    return place


def _write(desk: Desk, place: TubPlace, label: str, parts: dict[str, Any]) -> None:
    with desk.write(label, place.name, POWER_TOPICS) as unit:
        kept = power_plan(unit.connection, place.id).get("drift", {})
        drift = {name: value for name, value in (kept | parts).items() if value is not None}
        keep_power_plan(unit, place.id, drift=drift)
        follow_change(unit, desk, place.id)


def _span(step: MeterStep, *, disturbed: bool) -> MeterSpan:
    stop = max(step.ended, step.began + timedelta(minutes=1))
    return MeterSpan(
        first=step.began,
        stop=stop,
        kwh=step.energy_wh / 1000.0,
        undisturbed=not disturbed and step.ended > step.began,
    )


def _disturbed(
    connection: Connection, desk: Desk, place: TubPlace, steps: Sequence[MeterStep]
) -> frozenset[int]:
    """Return the steps in which the tub was filled, closed or resting, by their reading."""
    if not steps:
        return frozenset()
    table = table_of(FillRow)
    fills: set[date] = set(
        connection.execute(select(table.c.on_date).where(table.c.tub_id == place.id)).scalars()
    )
    today = desk.today(place.zone)
    ran = stretches(states_of(connection, place.id), steps[0].after, max(today, steps[-1].until))
    idle = {
        stretch.first + timedelta(days=n)
        for stretch in ran
        if stretch.mode is not Mode.RUNNING
        for n in range((stretch.last - stretch.first).days + 1)
    }
    return frozenset(
        step.reading for step in steps if any(day in fills or day in idle for day in step.days())
    )


def _evidence(
    site: PowerSite, spans: Sequence[MeterSpan], drift: DriftResult | None
) -> tuple[Evidence | None, int]:
    """Return the spans within measured weather, and how many lie outside it."""
    measured = site.site.weather.measured
    if measured is None:
        return None, len(spans)
    start, end = measured.hours.start.astimezone(UTC), measured.hours.end
    inside = [span for span in spans if span.first >= start and span.stop <= end]
    if not inside:
        return None, len(spans)
    first = _floor(min(span.first for span in inside))
    last = max(span.stop for span in inside)
    hours = HourRange(
        start=first, count=-int(-(last - first) // _HOUR), zone=site.site.weather.zone
    )
    weather, _typical = site.site.weather.for_hours(hours)
    if weather.missing:
        return None, len(spans)
    evidence = Evidence(hours=hours, weather=weather, spans=tuple(inside), drift=drift)
    return evidence, len(spans) - len(inside)


def _floor(at: datetime) -> datetime:
    return at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
