"""What a bank's list said came, line by line; and a payment that did not hold does so once."""

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def text(name: str, length: int) -> sa.Column[str]:
    """A text that is always there."""
    return sa.Column(name, sa.String(length=length), nullable=False)


def upgrade() -> None:
    op.create_table(
        "bank_list",
        text("id", 20), text("name", 200), text("encoding", 20),
        sa.Column("headers", sa.JSON(), nullable=False), sa.Column("naming", sa.JSON(), nullable=False),
        text("days", 20), text("decimal", 20), sa.Column("rows", sa.JSON(), nullable=False),
        sa.Column("before", sa.Integer(), nullable=False), text("state", 20), text("made_by_name", 200),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bank_list")),
    )  # fmt: skip
    op.create_index("ix_bank_list_made_at", "bank_list", ["made_at", "id"])
    op.create_table(
        "bank_line",
        text("id", 20), text("list_id", 20), sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False), sa.Column("day", sa.Date(), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False), text("text", 1000), text("fingerprint", 64),
        text("state", 20), sa.Column("payment_id", sa.String(20)), text("reason", 500),
        text("decided_by", 200), sa.Column("decided_at", sa.DateTime(timezone=True)),
        sa.ForeignKeyConstraint(["list_id"], ["bank_list.id"], name=op.f("fk_bank_line_list_id")),
        sa.ForeignKeyConstraint(["payment_id"], ["payment.id"], name=op.f("fk_bank_line_payment_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bank_line")),
        sa.UniqueConstraint("fingerprint", name=op.f("uq_bank_line_fingerprint")),
        sa.UniqueConstraint("payment_id", name=op.f("uq_bank_line_payment_id")),
    )  # fmt: skip
    op.create_index("ix_bank_line_list_id_number", "bank_line", ["list_id", "number"])
    op.create_index("ix_bank_line_state_day", "bank_line", ["state", "day"])
    op.create_table(
        "bank_heading",
        text("header", 200), text("stands_for", 40),
        sa.PrimaryKeyConstraint("header", name=op.f("pk_bank_heading")),
    )  # fmt: skip
    op.create_index(
        "uq_adjustment_bounced", "adjustment", ["payment_id"], unique=True,
        sqlite_where=sa.text("kind = 'bounced'"), postgresql_where=sa.text("kind = 'bounced'"),
    )  # fmt: skip


def downgrade() -> None:
    op.drop_index("uq_adjustment_bounced", "adjustment")
    for table in ("bank_heading", "bank_line", "bank_list"):
        op.drop_table(table)
