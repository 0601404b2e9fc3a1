"""Daily minima from a file: looked at first, then taken over whole or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from tubcare.energy.frost_dates import DailyMinima, first_frosts
from tubcare.energy.weather_text import ask_about, read_weather
from tubcare.errors import InputError
from tubcare.services.frost_store import (
    FROST_TOPICS,
    keep_frost_plan,
    season_start,
    stored_choices,
)
from tubcare.services.power_build import read_build
from tubcare.services.weather_store import (
    KeptWeather,
    Purpose,
    keep_weather,
    kept_weather,
    minima_as_content,
)

if TYPE_CHECKING:
    from datetime import date

    from tubcare.energy.weather_columns import Question, Unit
    from tubcare.energy.weather_table import BadRow, WeatherTable
    from tubcare.energy.weather_text import Answers
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

LEAST_SEASONS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingDays:
    """Days in a row that the file leaves out."""

    first: date
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MinimaPreview:
    """What a file would bring. With questions open, only those are told.

    `seasons` counts the frost seasons with enough days; `replaces` names the file whose minima
    would be replaced. `refusal` says why the file cannot be used, empty when it can.
    """

    questions: tuple[Question, ...]
    columns: tuple[str, ...] = ()
    unit: Unit | None = None
    first_on: date | None = None
    last_on: date | None = None
    days: int = 0
    seasons: int = 0
    missing: tuple[MissingDays, ...] = ()
    bad_rows: tuple[BadRow, ...] = ()
    repeated: int = 0
    replaces: str = ""
    refusal: str = ""

    @property
    def usable(self) -> bool:
        """Whether the file can be taken over as it was answered."""
        return not self.questions and not self.refusal


def preview_minima(
    desk: Desk, tub: TubId | str | None, text: str, answers: Answers | None = None
) -> MinimaPreview:
    """Return what a file of daily or hourly temperatures holds; nothing is written.

    Raises
    ------
    InputError
        When no table or no time can be read in it.
    """
    questions = ask_about(text, answers)
    if questions:
        return MinimaPreview(questions=questions)
    table = read_weather(text, answers)
    days = table.daily_minima()
    with desk.read() as connection:
        build = read_build(connection, tub)
        old = kept_weather(connection, build.place.id, Purpose.FROST)
        choices = stored_choices(connection, build.place.id)
    refusal = _why_refused(table)
    measured = DailyMinima(by_day=days)
    rule = choices.watch_rule(season_start(build.profile, measured))
    seasons = 0 if refusal else len(first_frosts(measured, rule))
    if not refusal and seasons < LEAST_SEASONS:
        refusal = (
            f"too few winters with enough days for a date: {seasons}; a range needs"
            f" {LEAST_SEASONS}, a date 15 or more"
        )
    return MinimaPreview(
        questions=(),
        columns=tuple(table.columns.by_quantity.values()),
        unit=table.columns.unit,
        first_on=min((day for day, _ in days), default=None),
        last_on=max((day for day, _ in days), default=None),
        days=len(days),
        seasons=seasons,
        missing=_missing(days),
        bad_rows=table.bad_rows,
        repeated=table.repeated,
        replaces="" if old is None else old.source,
        refusal=refusal,
    )


def import_minima(
    desk: Desk,
    tub: TubId | str | None,
    text: str,
    *,
    source: str,
    answers: Answers | None = None,
) -> TubPlace:
    """Take over daily minima; the frost dates are worked out anew in the same step.

    Raises
    ------
    InputError
        When something has to be asked first, when the file is a typical year, or holds fewer than
        three winters: then nothing is written.
    """
    minima = _usable(read_weather(text, answers))
    with desk.read() as connection:
        build = read_build(connection, tub)
    with desk.write("import_minima", source, FROST_TOPICS) as unit:
        keep_weather(unit, build.place.id, Purpose.FROST, _kept(minima, source), desk.now())
        choices = stored_choices(unit.connection, build.place.id)
        keep_frost_plan(unit, build, choices, minima)
    return build.place


def _usable(table: WeatherTable) -> DailyMinima:
    refusal = _why_refused(table)
    if refusal:
        raise InputError("weather", refusal)
    return DailyMinima(by_day=table.daily_minima())


def _why_refused(table: WeatherTable) -> str:
    """Return why no frost date can be told from a file, empty when one can."""
    if not table.daily_minima():
        return "no day has a lowest temperature that can be read"
    if table.looks_typical():
        return (
            "this is a typical year, put together from average months: it holds no spread between"
            " years, so no frost date can be told from it; import daily minima as measured"
        )
    return ""


def _kept(minima: DailyMinima, source: str) -> KeptWeather:
    days = [day for day, _ in minima.by_day]
    return KeptWeather(
        kind=minima.kind,
        source=source,
        first_on=min(days),
        last_on=max(days),
        content=minima_as_content(minima.by_day),
    )


def _missing(days: tuple[tuple[date, float], ...]) -> tuple[MissingDays, ...]:
    """Return the stretches without a minimum between the first and the last day."""
    found = []
    have = sorted({day for day, _ in days})
    for before, after in pairwise(have):
        gap = (after - before).days - 1
        if gap > 0:
            found.append(MissingDays(first=_next(before), days=gap))
    return tuple(found)


def _next(day: date) -> date:
    return day.fromordinal(day.toordinal() + 1)
