"""Agreements on prices, how far a lot is, and extras of the rate book's list."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

ONLY_GROWS = ("agreement", "agreement_end")
#: Table and column, all of them texts that are empty where nothing was entered.
TEXTS = (("subdivision", "miles", 12), ("lot", "miles", 12), ("extra", "quantity", 20), ("extra", "unit", 10),
         ("extra", "rate", 30))  # fmt: skip


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def guard(table: str) -> None:
    """An agreement is ended or superseded, never edited. The function is 0001's."""
    words = f"{table} only grows"
    for act in ("UPDATE", "DELETE"):
        does = (
            f"EXECUTE FUNCTION sillbook_refuse('{words}')"
            if postgres()
            else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
        )
        op.execute(
            f"CREATE TRIGGER {table}_refuses_{act.lower()} BEFORE {act} ON {table} FOR EACH ROW {does}"
        )
    if postgres():
        op.execute(
            f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
            f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
        )


def upgrade() -> None:
    op.create_table(
        "agreement",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=30), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("subdivision_id", sa.String(length=20), nullable=True),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=True),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("made_by", sa.String(length=200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_agreement_company_id")),
        sa.ForeignKeyConstraint(
            ["subdivision_id"], ["subdivision.id"], name=op.f("fk_agreement_subdivision_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_agreement")),
        sa.UniqueConstraint("number", name=op.f("uq_agreement_number")),
    )
    op.create_index(op.f("ix_agreement_company_id"), "agreement", ["company_id"])
    op.create_table(
        "agreement_end",
        sa.Column("agreement_id", sa.String(length=20), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=False),
        sa.Column("reason", sa.String(length=500), nullable=False),
        sa.Column("ended_by", sa.String(length=200), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["agreement_id"], ["agreement.id"], name=op.f("fk_agreement_end_agreement_id")
        ),
        sa.PrimaryKeyConstraint("agreement_id", name=op.f("pk_agreement_end")),
    )
    for table, column, length in TEXTS:
        op.add_column(table, sa.Column(column, sa.String(length), nullable=False, server_default=""))
    op.create_index(op.f("ix_revision_sent_at"), "revision", ["sent_at"])
    for table in ONLY_GROWS:
        guard(table)


def downgrade() -> None:
    op.drop_index(op.f("ix_revision_sent_at"), "revision")
    for table, column, _length in TEXTS:
        op.drop_column(table, column)
    op.drop_table("agreement_end")
    op.drop_table("agreement")
