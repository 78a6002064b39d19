"""What a job costs, and the margin of a quote's revision."""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "margin",
        sa.Column("revision_id", sa.String(length=20), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("revenue", sa.BigInteger(), nullable=False),
        sa.Column("cost", sa.BigInteger(), nullable=True),
        sa.Column("reason", sa.String(length=500), nullable=False),
        sa.Column("reason_by", sa.String(length=200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["revision_id"], ["revision.id"], name=op.f("fk_margin_revision_id")),
        sa.PrimaryKeyConstraint("revision_id", name=op.f("pk_margin")),
    )


def downgrade() -> None:
    op.drop_table("margin")
