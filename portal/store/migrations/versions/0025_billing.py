"""How a builder is billed, which deposits an invoice took off, and papers of retainage that was released."""

import sqlalchemy as sa
from alembic import op

revision = "0025"
down_revision = "0024"
branch_labels = None
depends_on = None

ONLY_GROWS = ("billing_terms", "deposit_use", "retainage_paper")


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def only_grows(table: str) -> None:
    """A table whose rows are neither changed nor dropped. The function is 0001's."""
    words = f"{table} only grows"
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres()
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    for act in ("UPDATE", "DELETE"):
        name = f"{table}_refuses_{act.lower()}"
        op.execute(f"CREATE TRIGGER {name} BEFORE {act} ON {table} FOR EACH ROW {does}")
    if postgres():
        op.execute(
            f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
            f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
        )


def upgrade() -> None:
    op.create_table(
        "billing_terms",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("company_id", sa.String(20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name="fk_billing_terms_company_id"),
        sa.PrimaryKeyConstraint("id", name="pk_billing_terms"),
        sa.UniqueConstraint("company_id", "number", name="uq_billing_terms_company_id"),
    )
    op.create_table(
        "deposit_use",
        sa.Column("seq", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("deposit_id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["deposit_id"], ["invoice.id"], name="fk_deposit_use_deposit_id"),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name="fk_deposit_use_invoice_id"),
        sa.PrimaryKeyConstraint("seq", name="pk_deposit_use"),
    )
    for column in ("deposit_id", "invoice_id"):
        op.create_index(f"ix_deposit_use_{column}", "deposit_use", [column])
    op.create_table(
        "retainage_paper",
        sa.Column("adjustment_id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("company_id", sa.String(20), nullable=False),
        sa.Column("number", sa.String(30), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(
            ["adjustment_id"], ["adjustment.id"], name="fk_retainage_paper_adjustment_id"
        ),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name="fk_retainage_paper_company_id"),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name="fk_retainage_paper_invoice_id"),
        sa.PrimaryKeyConstraint("adjustment_id", name="pk_retainage_paper"),
        sa.UniqueConstraint("number", name="uq_retainage_paper_number"),
    )
    op.create_index("ix_retainage_paper_invoice_id", "retainage_paper", ["invoice_id"])
    for table in ONLY_GROWS:
        only_grows(table)


def downgrade() -> None:
    for table in reversed(ONLY_GROWS):
        op.drop_table(table)
