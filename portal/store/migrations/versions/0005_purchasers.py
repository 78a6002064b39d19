"""A purchaser's link to one quote, and the second person over an amount.

Who said yes to what is kept so by the database itself, as invoices and warranties are: a yes can be
taken back, never changed or dropped.
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

FROZEN = (
    "id", "revision_id", "link_id", "person_id", "name", "email", "fingerprint", "purchase_order", "amount",
    "over", "given_at",
)  # fmt: skip


def upgrade() -> None:
    op.add_column("company", sa.Column("second_over", sa.BigInteger(), nullable=True))
    op.create_table(
        "purchaser_link",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.Column("revision_id", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("made_by", sa.String(length=200), nullable=False),
        sa.Column("made_by_id", sa.String(length=20), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_on", sa.Date(), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn_by", sa.String(length=200), nullable=False),
        sa.Column("answer", sa.String(length=20), nullable=False),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("answered_name", sa.String(length=200), nullable=False),
        sa.Column("purchase_order", sa.String(length=80), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_purchaser_link_lot_id")),
        sa.ForeignKeyConstraint(["made_by_id"], ["person.id"], name=op.f("fk_purchaser_link_made_by_id")),
        sa.ForeignKeyConstraint(["revision_id"], ["revision.id"], name=op.f("fk_purchaser_link_revision_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_purchaser_link")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_purchaser_link_token_hash")),
    )
    op.create_index(op.f("ix_purchaser_link_lot_id"), "purchaser_link", ["lot_id"])
    op.create_index(op.f("ix_purchaser_link_revision_id"), "purchaser_link", ["revision_id"])
    op.create_table(
        "consent",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("revision_id", sa.String(length=20), nullable=False),
        sa.Column("link_id", sa.String(length=20), nullable=True),
        sa.Column("person_id", sa.String(length=20), nullable=True),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("purchase_order", sa.String(length=80), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("over", sa.BigInteger(), nullable=True),
        sa.Column("given_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("taken_back_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("taken_back_by", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["link_id"], ["purchaser_link.id"], name=op.f("fk_consent_link_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_consent_person_id")),
        sa.ForeignKeyConstraint(["revision_id"], ["revision.id"], name=op.f("fk_consent_revision_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_consent")),
    )
    op.create_index(op.f("ix_consent_revision_id"), "consent", ["revision_id"])
    guard()


def guard() -> None:
    """Have the database refuse to change or drop a yes."""
    words = "what a consent says never changes"
    postgres = op.get_bind().dialect.name == "postgresql"
    # The function is 0001's.
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    columns = ", ".join(f'"{name}"' for name in FROZEN)
    for act in (f"UPDATE OF {columns}", "DELETE"):
        name = f"consent_refuses_{act.partition(' ')[0].lower()}"
        op.execute(f"CREATE TRIGGER {name} BEFORE {act} ON consent FOR EACH ROW {does}")
    if postgres:
        op.execute(
            "CREATE TRIGGER consent_refuses_truncate BEFORE TRUNCATE ON consent"
            " FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('consent is never emptied')"
        )


def downgrade() -> None:
    op.drop_table("consent")
    op.drop_table("purchaser_link")
    op.drop_column("company", "second_over")
