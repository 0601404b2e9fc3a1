"""What was bought for the shelf may say how long it keeps."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the last day on which a purchase can be used."""
    op.add_column("entry", sa.Column("expires_on", sa.Date(), nullable=True))
