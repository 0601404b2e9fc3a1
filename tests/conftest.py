"""What every test shares: no screen, stated hypothesis profiles, a quiet log."""

from __future__ import annotations

import logging
import os
from typing import TYPE_CHECKING

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_QPA_PLATFORMTHEME", "")

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from collections.abc import Iterator

settings.register_profile(
    "default", max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("long", settings.get_profile("default"), max_examples=500)
settings.load_profile("long" if os.environ.get("TUBCARE_LONG") else "default")


@pytest.fixture(autouse=True)
def nothing_unexpected_in_the_log(
    request: pytest.FixtureRequest, caplog: pytest.LogCaptureFixture
) -> Iterator[None]:
    """Fail a test that logs a warning or worse, unless it is marked `logs`."""
    yield
    if request.node.get_closest_marker("logs"):
        return
    bad = [r for r in caplog.get_records("call") if r.levelno >= logging.WARNING]
    assert not bad, [r.getMessage() for r in bad]
