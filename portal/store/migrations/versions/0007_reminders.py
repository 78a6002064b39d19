"""A reminder before a quote lapses: when it was written, so that it is written once.

Added and dropped without a batch: that would rebuild the table, and its triggers would go with the old one.
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("revision", sa.Column("reminded_at", sa.DateTime(timezone=True), nullable=True))


def downgrade() -> None:
    op.drop_column("revision", "reminded_at")
