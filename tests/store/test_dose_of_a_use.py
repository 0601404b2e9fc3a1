"""A logbook of before learns which use of stock belongs to which dose."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from tests.support.clocks import noon
from tests.support.stores import new_address, server_is_expected
from tubcare.store.engine import make_engine
from tubcare.store.migrate import migrate
from tubcare.store.open import open_store
from tubcare.store.places import logbook_url

if TYPE_CHECKING:
    from pathlib import Path

KINDS = ["sqlite", "postgresql"] if server_is_expected() else ["sqlite"]
# Two equal doses, one of another day, and one whose use was changed by hand since.
DOSES = (
    (1, 20.0, "2026-05-01"),
    (2, 20.0, "2026-05-01"),
    (3, 20.0, "2026-05-02"),
    (4, 7.0, "2026-05-03"),
)
USES = (
    (11, "used", 20_000, "2026-05-01"),
    (12, "used", 20_000, "2026-05-02"),
    (13, "expired", 20_000, "2026-05-01"),
    (14, "used", 20_000, "2026-05-01"),
    (15, "used", 9_000, "2026-05-03"),
)


@pytest.mark.parametrize("kind", KINDS)
def test_doses_on_record_are_paired_with_the_uses_they_made(kind: str, tmp_path: Path) -> None:
    url = logbook_url(new_address(kind, tmp_path))
    migrate(url, to="0004")
    engine = make_engine(url)
    with engine.begin() as connection:
        connection.execute(
            text(
                "INSERT INTO tub (id, name, zone, profile, added_on) "
                "VALUES (1, 'North', 'UTC', '{}', '2026-04-01')"
            )
        )
        connection.execute(
            text(
                "INSERT INTO supply (id, name, unit, category, active) "
                "VALUES (1, 'pH minus', 'g', 'chemicals', :yes)"
            ),
            {"yes": True},
        )
        for row_id, amount, on in DOSES:
            connection.execute(
                text(
                    "INSERT INTO dose (id, tub_id, supply_id, product, amount, unit, on_date, at, "
                    "note) VALUES (:id, 1, 1, 'pH minus', :amount, 'g', :on, :at, '')"
                ),
                {"id": row_id, "amount": amount, "on": on, "at": f"{on} 12:00:00+00:00"},
            )
        for row_id, what, quantity, on in USES:
            connection.execute(
                text(
                    "INSERT INTO stock_use (id, on_date, kind, supply_id, quantity_milli, tub_id, "
                    "cost_minor, note) VALUES (:id, :on, :kind, 1, :quantity, 1, 0, '')"
                ),
                {"id": row_id, "kind": what, "quantity": quantity, "on": on},
            )
    engine.dispose()
    open_store(url.render_as_string(hide_password=False), noon(2026, 6, 1)).close()
    again = make_engine(url)
    with again.connect() as connection:
        rows = connection.execute(text("SELECT id, dose_id FROM stock_use ORDER BY id")).all()
    again.dispose()
    assert [tuple(row) for row in rows] == [(11, 1), (12, 3), (13, None), (14, 2), (15, None)]
