"""Lots tied to another (treated again, added), owners' accounts, and additions asked for."""

import sqlalchemy as sa
from alembic import op

revision = "0026"
down_revision = "0025"
branch_labels = None
depends_on = None


def text(name: str, length: int) -> sa.Column[str]:
    """A text that is always there."""
    return sa.Column(name, sa.String(length), nullable=False)


def of(table: str, other: str) -> sa.ForeignKeyConstraint:
    """The other table's row that a row belongs to."""
    return sa.ForeignKeyConstraint([f"{other}_id"], [f"{other}.id"], name=f"fk_{table}_{other}_id")


def upgrade() -> None:
    op.add_column("company", sa.Column("kind", sa.String(20), nullable=False, server_default="builder"))
    op.add_column("company", sa.Column("holder_id", sa.String(20)))
    op.create_index("uq_company_holder_id", "company", ["holder_id"], unique=True)
    op.add_column("lot", sa.Column("kind", sa.String(20), nullable=False, server_default="house"))
    op.add_column("lot", sa.Column("of_lot_id", sa.String(20)))
    op.create_index("ix_lot_of_lot_id", "lot", ["of_lot_id"])
    op.add_column("trouble", sa.Column("retreat_lot_id", sa.String(20)))
    op.create_index("ix_trouble_retreat_lot_id", "trouble", ["retreat_lot_id"])
    op.create_table(
        "addition",
        text("id", 20), text("number", 30), text("warranty_id", 20), text("lot_id", 20), text("asked_by", 20),
        text("name", 200), text("email", 254), text("phone", 40), sa.Column("words", sa.Text(), nullable=False),
        sa.Column("framed_on", sa.Date()), sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        text("state", 20), sa.Column("reason", sa.Text(), nullable=False), text("decided_by", 200),
        sa.Column("decided_at", sa.DateTime(timezone=True)), sa.Column("made_lot_id", sa.String(20)),
        of("addition", "warranty"), of("addition", "lot"),
        sa.ForeignKeyConstraint(["made_lot_id"], ["lot.id"], name="fk_addition_made_lot_id"),
        sa.PrimaryKeyConstraint("id", name="pk_addition"),
        sa.UniqueConstraint("number", name="uq_addition_number"),
    )  # fmt: skip
    op.create_index("ix_addition_state_made_at", "addition", ["state", "made_at"])
    op.create_index("ix_addition_lot_id", "addition", ["lot_id"])
    op.create_index("ix_addition_warranty_id", "addition", ["warranty_id"])


def downgrade() -> None:
    op.drop_table("addition")
    op.drop_index("ix_trouble_retreat_lot_id", "trouble")
    op.drop_column("trouble", "retreat_lot_id")
    op.drop_index("ix_lot_of_lot_id", "lot")
    op.drop_column("lot", "of_lot_id")
    op.drop_column("lot", "kind")
    op.drop_index("uq_company_holder_id", "company")
    op.drop_column("company", "holder_id")
    op.drop_column("company", "kind")
