"""Weather and price files that are made up, for tests of taking them over."""

from __future__ import annotations

import math
from datetime import datetime, timedelta


def hourly_csv(
    first: datetime,
    hours: int,
    *,
    mean_c: float = 15.0,
    swing_k: float = 5.0,
    slope_k: float = 0.0,
) -> str:
    """Return hours of air temperature, coldest at 03:00, rising by `slope_k` each day."""
    lines = ["time,air temp (C),GHI (W/m^2)"]
    for number in range(hours):
        at = first + timedelta(hours=number)
        day = number / 24.0
        air = mean_c + slope_k * day - swing_k * math.cos(2 * math.pi * (at.hour - 3) / 24)
        sun = max(0.0, 500.0 * math.sin(math.pi * (at.hour - 6) / 12)) if 6 <= at.hour <= 18 else 0
        lines.append(f"{at:%Y-%m-%d %H:%M},{air:.2f},{sun:.0f}")
    return "\n".join(lines) + "\n"


def prices_csv(first: datetime, hours: int, *, name: str = "price EUR/kWh") -> str:
    """Return hourly prices: 0.10 by night, 0.30 by day."""
    lines = [f"time,{name}"]
    for number in range(hours):
        at = first + timedelta(hours=number)
        price = 0.30 if 7 <= at.hour < 23 else 0.10
        lines.append(f"{at:%Y-%m-%d %H:%M},{price:.2f}")
    return "\n".join(lines) + "\n"
