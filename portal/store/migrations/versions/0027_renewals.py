"""Renewals of warranties: offered, answered, looked at, billed, and what came of each."""

import sqlalchemy as sa
from alembic import op

revision = "0027"
down_revision = "0026"
branch_labels = None
depends_on = None


def text(name: str, length: int) -> sa.Column[str]:
    """A text that is always there."""
    return sa.Column(name, sa.String(length), nullable=False)


def of(other: str) -> sa.ForeignKeyConstraint:
    """The other table's row that a row belongs to."""
    return sa.ForeignKeyConstraint([f"{other}_id"], [f"{other}.id"], name=f"fk_renewal_{other}_id")


def upgrade() -> None:
    op.create_table(
        "renewal",
        text("id", 20), text("warranty_id", 20), text("lot_id", 20), sa.Column("holder_id", sa.String(20)),
        sa.Column("ended_on", sa.Date(), nullable=False), sa.Column("until", sa.Date(), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=False), sa.Column("fee", sa.BigInteger(), nullable=False),
        sa.Column("rate_edition", sa.Integer(), nullable=False),
        sa.Column("inspection", sa.Boolean(), nullable=False),
        sa.Column("offered_at", sa.DateTime(timezone=True), nullable=False), text("state", 20),
        text("answered_by", 200), sa.Column("answered_at", sa.DateTime(timezone=True)),
        sa.Column("looks_on", sa.Date()), text("looked_by", 200), sa.Column("found", sa.Text(), nullable=False),
        sa.Column("invoice_id", sa.String(20)), of("warranty"), of("lot"),
        sa.PrimaryKeyConstraint("id", name="pk_renewal"),
        sa.UniqueConstraint("warranty_id", "ended_on", name="uq_renewal_warranty_id_ended_on"),
    )  # fmt: skip
    op.create_index("ix_renewal_state_last_day", "renewal", ["state", "last_day"])
    op.create_index("ix_renewal_invoice_id", "renewal", ["invoice_id"])
    op.add_column("transfer", sa.Column("fee_invoice_id", sa.String(20)))
    op.create_index("ix_transfer_fee_invoice_id", "transfer", ["fee_invoice_id"])


def downgrade() -> None:
    op.drop_index("ix_transfer_fee_invoice_id", "transfer")
    op.drop_column("transfer", "fee_invoice_id")
    op.drop_table("renewal")
