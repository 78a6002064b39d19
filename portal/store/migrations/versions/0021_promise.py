"""Certificates as they were issued, and their signed papers, which only grow; and a link that can be revoked."""

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None

ONLY_GROWS = ("certificate", "sealed_paper")


def guard() -> None:
    """A certificate was issued or it was not. The function is 0001's."""
    for table in ONLY_GROWS:
        words = f"{table} only grows"
        for act in ("UPDATE", "DELETE"):
            does = (
                f"EXECUTE FUNCTION sillbook_refuse('{words}')"
                if postgres()
                else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
            )
            name = f"{table}_refuses_{act.lower()}"
            op.execute(f"CREATE TRIGGER {name} BEFORE {act} ON {table} FOR EACH ROW {does}")
        if postgres():
            op.execute(
                f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
                f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
            )


#: What a warranty says. Its link was among it until links could be revoked.
SAID = ("id", "number", "house_key", "lot_id", "record_id", "document")


def freeze_warranty(columns: tuple[str, ...]) -> None:
    """Have these columns never change, in place of those that were frozen until now."""
    on = " ON warranty" if postgres() else ""
    words = "what a warranty says never changes"
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres()
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    op.execute(f"DROP TRIGGER warranty_refuses_update{on}")
    op.execute(
        f"CREATE TRIGGER warranty_refuses_update BEFORE UPDATE OF {', '.join(columns)} ON warranty"
        f" FOR EACH ROW {does}"
    )


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def upgrade() -> None:
    """Two tables, and what of a warranty stays."""
    op.create_table(
        "certificate",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("warranty_id", sa.String(20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("link_token", sa.String(40), nullable=False),
        sa.Column("begins_on", sa.Date(), nullable=False),
        sa.Column("ends_on", sa.Date()),
        sa.Column("key_name", sa.String(20), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("mark", sa.String(64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["warranty_id"], ["warranty.id"], name=op.f("fk_certificate_warranty_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_certificate")),
        sa.UniqueConstraint("mark", name=op.f("uq_certificate_mark")),
        sa.UniqueConstraint("warranty_id", "number", name=op.f("uq_certificate_warranty_id_number")),
    )
    op.create_table(
        "sealed_paper",
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("certificate_id", sa.String(20), nullable=False),
        sa.Column("key_name", sa.String(20), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["certificate_id"], ["certificate.id"], name=op.f("fk_sealed_paper_certificate_id")
        ),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_sealed_paper")),
    )
    op.create_index("ix_sealed_paper_certificate_id", "sealed_paper", ["certificate_id"])
    guard()
    freeze_warranty(SAID)


def downgrade() -> None:
    """As before: the triggers go with their tables."""
    freeze_warranty((*SAID, "link_token"))
    op.drop_table("sealed_paper")
    op.drop_table("certificate")
