"""Numbers, money, dates and short sentences in a person's language and habits."""

from __future__ import annotations

import os
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal

from tubcare.errors import InputError
from tubcare.ledger.currency import currency as iso_currency
from tubcare.ledger.money import about, to_decimal, to_minor

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.ledger.currency import Currency

FALLBACK = "en_GB"
_MINUS = "\N{MINUS SIGN}"
_SPACES = " \u00a0\u202f\u2009'\u2019"


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """The language, number and date habits, and the currency of a logbook."""

    locale: Locale
    currency: Currency

    @property
    def first_weekday(self) -> int:
        """The day on which a week starts, 0 for Monday."""
        return int(self.locale.first_week_day)

    def number(self, value: float, unit: str = "") -> str:
        """Return a number with at most two decimals and its unit."""
        text = format_decimal(round(value, 2), locale=self.locale)
        return f"{text}\u00a0{unit}" if unit else str(text)

    def quantity(self, milli: int, unit: str) -> str:
        """Return thousandths of a unit as a quantity; pieces are counted without a unit's name."""
        return self.number(milli / 1000, "" if unit == "piece" else unit)

    def money(self, minor: int) -> str:
        """Return an amount with its currency, all digits of its minor unit shown."""
        digits = self.currency.exponent
        pattern = self.locale.currency_formats["standard"].pattern
        decimals = "0" * digits
        shaped = pattern.replace("0.00", f"0.{decimals}" if digits else "0")
        return str(
            format_currency(
                to_decimal(minor, self.currency),
                self.currency.code,
                format=shaped,
                locale=self.locale,
                currency_digits=False,
            )
        )

    def about_money(self, minor: int) -> str:
        """Return an amount for a sentence: "about 140"."""
        rounded = to_decimal(about(minor), self.currency)
        whole = rounded == rounded.to_integral_value()
        digits = 0 if whole else self.currency.exponent
        pattern = "#,##0" + ("." + "0" * digits if digits else "")
        return f"about {format_decimal(rounded, format=pattern, locale=self.locale)}"

    def amount(self, text: str) -> int:
        """Return the minor units that a person typed; grouping signs and the local mark are known.

        Raises
        ------
        InputError
            For anything that could be read in two ways, telling what would be right.
        """
        mark = str(self.locale.number_symbols["latn"]["decimal"])
        plain = "".join(c for c in text.strip() if c not in _SPACES).replace(_MINUS, "-")
        plain = plain.removeprefix(self.currency.code).removesuffix(self.currency.code)
        other = "," if mark == "." else "."
        if plain.count(mark) + plain.count(other) > 1:
            raise InputError(
                "amount", f"“{text}” can be read in two ways; write it like 12{mark}50"
            )
        normal = plain.replace(",", ".")
        whole, _point, decimals = normal.partition(".")
        if not whole.isascii() or not whole.isdigit() or (decimals and not decimals.isdigit()):
            raise InputError("amount", f"“{text}” is no amount; write it like 12{mark}50")
        if plain.count(other) and len(decimals) == 3 and self.currency.exponent != 3:
            raise InputError(
                "amount", f"“{text}” can be read in two ways; write it like 12{mark}50"
            )
        return to_minor(Decimal(normal), self.currency)

    def day(self, on: date) -> str:
        """Return a date such as "Tue 12 May 2026"."""
        return f"{format_date(on, 'EEE', locale=self.locale)} {self.short_date(on)}"

    def short_date(self, on: date) -> str:
        """Return a date such as "12 May 2026"."""
        return str(format_date(on, format="medium", locale=self.locale))

    def weekday(self, on: date) -> str:
        """Return the name of the day of the week."""
        return str(format_date(on, "EEEE", locale=self.locale))

    def month(self, on: date) -> str:
        """Return the short name of the month."""
        return str(format_date(on, "LLL", locale=self.locale))

    def month_and_year(self, on: date) -> str:
        """Return the month with its year, for the head of a calendar."""
        return str(format_date(on, "LLLL y", locale=self.locale))

    def relative(self, on: date, today: date) -> str:
        """Return how far a date lies from today: "today", "in 3 days", "2 days ago"."""
        days = (on - today).days
        known = {0: "today", 1: "tomorrow", -1: "yesterday"}
        if days in known:
            return known[days]
        return f"in {days} days" if days > 0 else f"{-days} days ago"

    def minutes(self, minutes: int) -> str:
        """Return a duration such as "1 h 20 min"."""
        hours, rest = divmod(minutes, 60)
        parts = [f"{hours}\u00a0h" if hours else "", f"{rest}\u00a0min" if rest else ""]
        return " ".join(part for part in parts if part) or "0\u00a0min"


def speech_for(code: str, environment: Mapping[str, str] | None = None) -> Speech:
    """Return the speech of this computer for a logbook in one currency."""
    found = os.environ if environment is None else environment
    named = next((found[n] for n in ("LC_ALL", "LC_TIME", "LANG") if found.get(n)), FALLBACK)
    return Speech(locale=locale_named(named), currency=iso_currency(code))


def locale_named(name: str) -> Locale:
    """Return a locale by its POSIX name; what nobody knows is British English."""
    plain = name.partition(".")[0].partition("@")[0]
    if plain in {"", "C", "POSIX"}:
        plain = FALLBACK
    try:
        return Locale.parse(plain)
    except (UnknownLocaleError, ValueError):
        return Locale.parse(FALLBACK)
