"""Currencies of ISO 4217 and how many digits their minor unit has.

The exponents are those of the standard, not the digits that are usual on a price tag: a code such
as IQD has three here though shops show none.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from tubcare.errors import InputError

TABLE_PUBLISHED = "2026-01-01"
"""Publication date of the ISO 4217:2015 list one (maintenance agency SIX) in this table."""

_BY_EXPONENT = MappingProxyType(
    {
        0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
        2: (
            "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN "
            "BZD CAD CDF CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD "
            "FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW "
            "KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR "
            "MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG "
            "SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD "
            "USN UYU UZS VED VES WST XAD XCD XCG YER ZAR ZMW ZWG"
        ),
        3: "BHD IQD JOD KWD LYD OMR TND",
        4: "CLF UYW",
    }
)

_WITHOUT_MINOR_UNIT = frozenset(
    {"XAG", "XAU", "XBA", "XBB", "XBC", "XBD", "XDR", "XPD", "XPT", "XSU", "XTS", "XUA", "XXX"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Currency:
    """A currency: its alphabetic code and how many decimal digits its minor unit has."""

    code: str
    exponent: int

    @property
    def minor_per_unit(self) -> int:
        """How many minor units make one unit: 100 cents, 1000 fils, 1 yen."""
        return int(10**self.exponent)


_TABLE = MappingProxyType(
    {
        code: Currency(code=code, exponent=exponent)
        for exponent, codes in _BY_EXPONENT.items()
        for code in codes.split()
    }
)


def currency(code: str) -> Currency:
    """Return the currency of an alphabetic ISO 4217 code, in any case of letters.

    Raises
    ------
    InputError
        For an unknown code, and for metals, funds and test codes that have no minor unit.
    """
    wanted = code.strip().upper()
    found = _TABLE.get(wanted)
    if found is not None:
        return found
    if wanted in _WITHOUT_MINOR_UNIT:
        raise InputError(
            "currency", f"{wanted} has no minor unit; choose a currency people pay in"
        )
    raise InputError("currency", f"{code!r} is no ISO 4217 code; write three letters such as EUR")


def currency_codes() -> tuple[str, ...]:
    """Return the codes that a logbook can be kept in, by letter."""
    return tuple(sorted(_TABLE))
