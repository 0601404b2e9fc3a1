"""When a task that the plan does not start with is offered: with the season that it is for."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.care.profile import in_open_season
from tubcare.care.terms import Edge, Scope
from tubcare.care.timeline import planned_days
from tubcare.values import MonthDay

if TYPE_CHECKING:
    from tubcare.care.templates_read import Template
    from tubcare.values import TubProfile

#: The first weeks belong to the starters alone.
_SETTLING_IN = timedelta(days=14)
#: Long enough before a turn of the season to order parts and find a free weekend.
_BEFORE_TURN = timedelta(days=42)
_AUTUMN = {Edge.CLOSING.value, Edge.FROST_DRY.value, Edge.FROST_WATCH.value}


def offered_on(template: Template, profile: TubProfile, today: date) -> date:
    """Return the day from which a template is offered; starters and safety at once."""
    if template.starter or template.rules.get("safety", False):
        return today
    edges = {trigger["edge"] for trigger in template.triggers if trigger.get("kind") == "season"}
    scope = template.rules.get("scope", Scope.ALWAYS.value)
    is_open = in_open_season(profile, MonthDay(month=today.month, day=today.day))
    day = today + _SETTLING_IN
    if edges & _AUTUMN or scope == Scope.CLOSED_SEASON:
        day = _next(profile.season_closes, today) - _BEFORE_TURN if is_open else today
    elif Edge.OPENING.value in edges:
        day = _next(profile.season_opens, today) - _BEFORE_TURN
    elif scope == Scope.IN_SEASON and not is_open:
        day = _next(profile.season_opens, today) + _SETTLING_IN
    return max(today, day)


def _next(day: MonthDay, today: date) -> date:
    ahead = planned_days(day, today.year, today.year + 1)
    return date.fromordinal(min(at for at in ahead if at >= today.toordinal()))
