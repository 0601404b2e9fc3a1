"""Speeches that the tests talk in."""

from __future__ import annotations

import pytest

from tubcare.words.locale import Speech, speech_for


@pytest.fixture
def english() -> Speech:
    """British English, euros, metric units."""
    return speech_for({}, chosen="en_GB", currency_code="EUR")


@pytest.fixture
def german() -> Speech:
    """German as in Germany, euros, metric units."""
    return speech_for({}, chosen="de_DE", currency_code="EUR")


@pytest.fixture
def finnish() -> Speech:
    """Finnish, euros, metric units."""
    return speech_for({}, chosen="fi_FI", currency_code="EUR")
