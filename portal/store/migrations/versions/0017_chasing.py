"""Reminders, disputes and promises to pay, interest that was billed, and statements.

Reminders, promises and billed interest only grow; of a dispute, what was said stays; a statement is frozen.
"""

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

ONLY_GROWS = ("reminder", "payment_promise", "billed_interest")
FROZEN = {
    "dispute": ("id", "invoice_id", "reason", "opened_by", "opened_at"),
    "statement": (
        "id", "number", "company_id", "first_day", "last_day", "document", "fingerprint", "closing",
        "made_by", "made_at",
    ),
}  # fmt: skip


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def refuse(table: str, act: str, words: str) -> None:
    """Refuse an act on every row of a table. The function is 0001's."""
    name = f"{table}_refuses_{act.partition(' ')[0].lower()}"
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres()
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    op.execute(f"CREATE TRIGGER {name} BEFORE {act} ON {table} FOR EACH ROW {does}")


def keep(table: str, changed: str) -> None:
    """Refuse these changes of a table, and that anything of it is dropped."""
    refuse(table, changed, f"{table} only grows")
    refuse(table, "DELETE", f"{table} only grows")
    if postgres():
        op.execute(
            f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
            f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
        )


def of_invoice(table: str, column: str = "invoice_id") -> sa.ForeignKeyConstraint:
    """The invoice that a row is about."""
    return sa.ForeignKeyConstraint([column], ["invoice.id"], name=f"fk_{table}_{column}")


def upgrade() -> None:
    op.create_table(
        "reminder",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("days", sa.Integer(), nullable=False),
        sa.Column("edition", sa.Integer(), nullable=False),
        sa.Column("told", sa.Integer(), nullable=False),
        sa.Column("sent_on", sa.Date(), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=False),
        of_invoice("reminder"),
        sa.PrimaryKeyConstraint("id", name="pk_reminder"),
        sa.UniqueConstraint("invoice_id", "days", name="uq_reminder_invoice_id_days"),
    )
    op.create_table(
        "dispute",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("reason", sa.String(1000), nullable=False),
        sa.Column("opened_by", sa.String(200), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("words", sa.String(1000), nullable=False),
        sa.Column("settled_by", sa.String(200), nullable=False),
        sa.Column("settled_at", sa.DateTime(timezone=True)),
        of_invoice("dispute"),
        sa.PrimaryKeyConstraint("id", name="pk_dispute"),
    )
    op.create_index("ix_dispute_invoice_id", "dispute", ["invoice_id"])
    op.create_index(
        "uq_dispute_open", "dispute", ["invoice_id"], unique=True,
        sqlite_where=sa.text("settled_at IS NULL"), postgresql_where=sa.text("settled_at IS NULL"),
    )  # fmt: skip
    op.create_table(
        "payment_promise",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("by_day", sa.Date(), nullable=False),
        sa.Column("said_by", sa.String(200), nullable=False),
        sa.Column("words", sa.String(500), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        of_invoice("payment_promise"),
        sa.PrimaryKeyConstraint("id", name="pk_payment_promise"),
    )
    op.create_index("ix_payment_promise_invoice_id", "payment_promise", ["invoice_id"])
    op.create_table(
        "billed_interest",
        sa.Column("bill_id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        of_invoice("billed_interest"),
        of_invoice("billed_interest", "bill_id"),
        sa.PrimaryKeyConstraint("bill_id", name="pk_billed_interest"),
        sa.UniqueConstraint("invoice_id", "first_day", name="uq_billed_interest_invoice_id_first_day"),
    )
    op.create_table(
        "statement",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("number", sa.String(30), nullable=False),
        sa.Column("company_id", sa.String(20), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("closing", sa.BigInteger(), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True)),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name="fk_statement_company_id"),
        sa.PrimaryKeyConstraint("id", name="pk_statement"),
        sa.UniqueConstraint("number", name="uq_statement_number"),
    )
    op.create_index("ix_statement_company_id", "statement", ["company_id"])
    for table in ONLY_GROWS:
        keep(table, "UPDATE")
    for table, columns in FROZEN.items():
        keep(table, f"UPDATE OF {', '.join(columns)}")


def downgrade() -> None:
    for table in ("statement", "billed_interest", "payment_promise", "dispute", "reminder"):
        op.drop_table(table)
