"""What a dose took off the shelf is told apart from other uses."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

# Grams or millilitres in a thousandth of one of a supply's unit.
_THOUSANDTHS = {"kg": 1.0, "l": 1.0}
_USES = sa.text(
    "SELECT id, supply_id, tub_id, completion_id, on_date, quantity_milli "
    "FROM stock_use WHERE kind = 'used' AND tub_id IS NOT NULL ORDER BY id"
)
_DOSES = sa.text(
    "SELECT dose.id, supply_id, tub_id, completion_id, on_date, amount, supply.unit "
    "FROM dose JOIN supply ON supply.id = supply_id ORDER BY dose.id"
)


def upgrade() -> None:
    """Add the dose of a use, and name it for the doses that are on record."""
    # Written out: SQLite can add a reference with its column alone, not as a constraint.
    op.execute(
        "ALTER TABLE stock_use ADD COLUMN dose_id INTEGER "
        "CONSTRAINT fk_stock_use_dose_id_dose REFERENCES dose (id) ON DELETE RESTRICT"
    )
    _name_doses()


def _name_doses() -> None:
    """Pair each dose with a use of as much of the same on the same day; equal ones by age."""
    connection = op.get_bind()
    free: dict[tuple[object, ...], list[int]] = {}
    for use in connection.execute(_USES):
        key = (use.supply_id, use.tub_id, use.completion_id, str(use.on_date))
        free.setdefault((*key, use.quantity_milli), []).append(use.id)
    for dose in connection.execute(_DOSES).all():
        key = (dose.supply_id, dose.tub_id, dose.completion_id, str(dose.on_date))
        size = _THOUSANDTHS.get(dose.unit.casefold(), 0.001)
        uses = free.get((*key, max(1, round(dose.amount / size))))
        if uses:
            connection.execute(
                sa.text("UPDATE stock_use SET dose_id = :dose WHERE id = :use"),
                {"dose": dose.id, "use": uses.pop(0)},
            )
