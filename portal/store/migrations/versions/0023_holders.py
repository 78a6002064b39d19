"""A warranty handed on: transfers, holders' links asked for anew, and what of a holder was removed."""

import sqlalchemy as sa
from alembic import op

revision = "0023"
down_revision = "0022"
branch_labels = None
depends_on = None

WAITING = "state IN ('office', 'open')"


def text(name: str, length: int) -> sa.Column[str]:
    """A text that is always there."""
    return sa.Column(name, sa.String(length=length), nullable=False)


def long(name: str) -> sa.Column[str]:
    """A text of any length that is always there."""
    return sa.Column(name, sa.Text(), nullable=False)


def moment(name: str, nullable: bool = False) -> sa.Column[object]:
    """A moment."""
    return sa.Column(name, sa.DateTime(timezone=True), nullable=nullable)


def upgrade() -> None:
    with op.batch_alter_table("holder") as table:
        table.add_column(sa.Column("turn", sa.Integer(), nullable=False, server_default="0"))
        table.add_column(moment("removed_at", nullable=True))
    op.create_table(
        "transfer",
        text("id", 20), text("warranty_id", 20), text("from_id", 20), sa.Column("to_id", sa.String(20)),
        text("name", 200), text("email", 254), sa.Column("closed_on", sa.Date(), nullable=False),
        text("state", 20), text("asked_by", 20), moment("asked_at"),
        sa.Column("fee", sa.BigInteger(), nullable=False), text("fee_state", 20), long("evidence"),
        text("evidence_name", 200), text("evidence_sha256", 64), long("reason"), text("decided_by", 200),
        moment("decided_at", nullable=True),
        sa.ForeignKeyConstraint(["warranty_id"], ["warranty.id"], name=op.f("fk_transfer_warranty_id")),
        sa.ForeignKeyConstraint(["from_id"], ["holder.id"], name=op.f("fk_transfer_from_id")),
        sa.ForeignKeyConstraint(["to_id"], ["holder.id"], name=op.f("fk_transfer_to_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_transfer")),
    )  # fmt: skip
    op.create_index("uq_transfer_warranty_id_now", "transfer", ["warranty_id"], unique=True,
                    sqlite_where=sa.text(WAITING), postgresql_where=sa.text(WAITING))  # fmt: skip
    op.create_index("ix_transfer_warranty_id_asked_at", "transfer", ["warranty_id", "asked_at"])
    op.create_table(
        "link_asked",
        text("id", 20), text("number", 40), text("email", 254), moment("asked_at"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link_asked")),
    )  # fmt: skip
    op.create_index("ix_link_asked_asked_at", "link_asked", ["asked_at"])


def downgrade() -> None:
    op.drop_table("link_asked")
    op.drop_table("transfer")
    with op.batch_alter_table("holder") as table:
        table.drop_column("removed_at")
        table.drop_column("turn")
