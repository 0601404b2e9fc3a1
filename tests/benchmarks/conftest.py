"""What the figures share: the demo's logbook, made once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tubcare.clock import SystemClock
from tubcare.services.demo import demo_logbook

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="session")
def demo() -> Path:
    """Return the logbook of the demo; take a copy of it before writing."""
    return demo_logbook(SystemClock())
