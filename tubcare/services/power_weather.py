"""Weather for the power of a tub: a file that is looked at first, or twelve monthly means."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, timedelta, timezone
from enum import StrEnum
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.energy.weather_kind import WeatherKind
from tubcare.energy.weather_series import hourly_weather, typical_year_of
from tubcare.energy.weather_text import ask_about, read_weather
from tubcare.errors import InputError
from tubcare.services.measures import tub_named
from tubcare.services.power_build import POWER_TOPICS
from tubcare.services.power_follow import follow_change
from tubcare.services.power_weather_join import joined_weather
from tubcare.services.power_weather_store import (
    means_as_content,
    standard_offset_s,
    weather_as_content,
)
from tubcare.services.weather_store import KeptWeather, Purpose, keep_weather, kept_weather

if TYPE_CHECKING:
    from datetime import tzinfo

    from tubcare.energy.monthly_means import MonthlyMeans
    from tubcare.energy.row_spacing import Resolution, TimeGap
    from tubcare.energy.weather_columns import Question, Unit
    from tubcare.energy.weather_table import BadRow, WeatherTable
    from tubcare.energy.weather_text import Answers
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId


class FileClock(StrEnum):
    """Which clock the times of a file are told by."""

    PLACE = "place"
    """The tub's own, with summer time."""
    STANDARD = "standard"
    """The tub's own, without summer time."""
    UTC = "utc"


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherPreview:
    """What a file would bring. `typical` says that it is taken for a typical year.

    `unclear` names columns of wind or sun that are not used until their unit is told, `left_out`
    those that are not wanted. `joins` names the weather that it would be put together with,
    `replaces` the one whose place it would take.
    """

    questions: tuple[Question, ...]
    columns: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    unit: Unit | None = None
    resolution: Resolution | None = None
    first_on: date | None = None
    last_on: date | None = None
    rows: int = 0
    typical: bool = False
    gaps: tuple[TimeGap, ...] = ()
    bad_rows: tuple[BadRow, ...] = ()
    repeated: int = 0
    replaces: str = ""
    joins: str = ""
    refusal: str = ""

    @property
    def usable(self) -> bool:
        """Whether the file can be taken over as it was answered."""
        return not self.questions and not self.refusal


def preview_weather(
    desk: Desk,
    tub: TubId | str | None,
    text: str,
    *,
    answers: Answers | None = None,
    clock: FileClock = FileClock.PLACE,
) -> WeatherPreview:
    """Return what a weather file holds; nothing is written.

    Raises
    ------
    InputError
        When no table or no time can be read in it.
    """
    questions = ask_about(text, answers)
    if questions:
        return WeatherPreview(questions=questions)
    table = read_weather(text, answers)
    with desk.read() as connection:
        place = tub_named(connection, tub)
        purpose = Purpose.TYPICAL if table.looks_typical() else Purpose.POWER
        old = kept_weather(connection, place.id, purpose)
    refusal, joins = "", False
    try:
        purpose, kept = _kept(table, place, clock, "")
        joins = purpose is Purpose.POWER and joined_weather(old, kept) is not None
    except InputError as error:
        refusal = error.reason
    return WeatherPreview(
        questions=(),
        columns=tuple(table.columns.by_quantity.values()),
        unclear=table.columns.unclear,
        left_out=table.columns.left_out,
        unit=table.columns.unit,
        resolution=table.resolution,
        first_on=min(table.starts).date(),
        last_on=max(table.starts).date(),
        rows=len(table.starts),
        typical=table.looks_typical(),
        gaps=table.gaps,
        bad_rows=table.bad_rows,
        repeated=table.repeated,
        replaces="" if old is None or joins else old.source,
        joins=old.source if joins and old is not None else "",
        refusal=refusal,
    )


def import_weather(
    desk: Desk,
    tub: TubId | str | None,
    text: str,
    *,
    source: str,
    answers: Answers | None = None,
    clock: FileClock = FileClock.PLACE,
) -> TubPlace:
    """Take over weather by the hour or by the day, a typical year for what was not measured.

    Measured weather that goes on from what is kept is put together with it.

    Raises
    ------
    InputError
        When something has to be asked first or the file cannot be used: then nothing is written.
    """
    table = read_weather(text, answers)
    with desk.read() as connection:
        place = tub_named(connection, tub)
    purpose, kept = _kept(table, place, clock, source)
    with desk.write("import_weather", place.name, POWER_TOPICS) as unit:
        if purpose is Purpose.POWER:
            old = kept_weather(unit.connection, place.id, purpose)
            kept = joined_weather(old, kept) or kept
        keep_weather(unit, place.id, purpose, kept, desk.now())
        follow_change(unit, desk, place.id)
    return place


def type_monthly_means(desk: Desk, tub: TubId | str | None, means: MonthlyMeans) -> TubPlace:
    """Keep twelve monthly means; days and hours are drawn from them by a stated method.

    Raises
    ------
    InputError, OutOfRangeError
        When there are not twelve, or one cannot be right; raised by `MonthlyMeans` itself.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    today = desk.today(place.zone)
    kept = KeptWeather(
        kind=WeatherKind.MONTHLY_MEANS,
        source="",
        first_on=date(today.year, 1, 1),
        last_on=date(today.year, 12, 31),
        content=means_as_content(means),
    )
    with desk.write("type_monthly_means", place.name, POWER_TOPICS) as unit:
        keep_weather(unit, place.id, Purpose.TYPICAL, kept, desk.now())
        follow_change(unit, desk, place.id)
    return place


def _kept(
    table: WeatherTable, place: TubPlace, clock: FileClock, source: str
) -> tuple[Purpose, KeptWeather]:
    zone = ZoneInfo(place.zone)
    if table.looks_typical():
        year = typical_year_of(table, standard_offset_s=standard_offset_s(zone))
        content = weather_as_content(year.weather, start=None)
        return Purpose.TYPICAL, _row(table, WeatherKind.TYPICAL_YEAR, source, content)
    hours, weather = hourly_weather(table, clock=_tzinfo(clock, zone), zone=zone)
    content = weather_as_content(weather, start=hours.start.astimezone(UTC))
    return Purpose.POWER, _row(table, WeatherKind.MEASURED, source, content)


def _row(
    table: WeatherTable, kind: WeatherKind, source: str, content: dict[str, object]
) -> KeptWeather:
    return KeptWeather(
        kind=kind,
        source=source,
        first_on=min(table.starts).date(),
        last_on=max(table.starts).date(),
        content=content,
    )


def _tzinfo(clock: FileClock, zone: ZoneInfo) -> tzinfo:
    match clock:
        case FileClock.PLACE:
            return zone
        case FileClock.STANDARD:
            return timezone(timedelta(seconds=standard_offset_s(zone)))
        case FileClock.UTC:
            return UTC
