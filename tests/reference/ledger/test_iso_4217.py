"""Currency table against ISO 4217:2015 list one, as carried by the `iso4217` package.

The package (public domain) ships the XML table of the standard's maintenance agency, SIX Financial
Information AG, and is kept apart from ours.
"""

from __future__ import annotations

import iso4217
import pytest

from tubcare.errors import InputError
from tubcare.ledger.currency import TABLE_PUBLISHED, currency, currency_codes

LISTED = {entry.code: entry.exponent for entry in iso4217.Currency}


def test_every_exponent_is_that_of_the_standard() -> None:
    ours = {code: currency(code).exponent for code in currency_codes()}
    assert ours == {code: exponent for code, exponent in LISTED.items() if exponent is not None}


@pytest.mark.parametrize("code", sorted(code for code, e in LISTED.items() if e is None))
def test_codes_without_a_minor_unit_are_refused_as_such(code: str) -> None:
    with pytest.raises(InputError, match="no minor unit"):
        currency(code)


def test_the_table_is_of_the_same_publication() -> None:
    assert str(iso4217.__published__) == TABLE_PUBLISHED
