"""Tax tables and exemptions.

Editions only grow, as those of the rate book do; a jurisdiction keeps its name for good, because papers and
books say it. Where a table holds is set anew in its row. An exemption is never changed but to be withdrawn.
"""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None

ONLY_GROWS = ("jurisdiction", "tax_edition")
#: What never changes of an exemption.
KEPT = ("id", "company_id", "jurisdiction_id", "number", "first_day", "last_day", "entered_by", "entered_at")
FUNCTION = "sillbook_keep_tax_exemption"


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def refuse(table: str, act: str) -> None:
    """Refuse an act on every row of a table. The function is 0001's."""
    words = f"{table} only grows"
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres()
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    op.execute(f"CREATE TRIGGER {table}_refuses_{act.lower()} BEFORE {act} ON {table} FOR EACH ROW {does}")


def keep_exemptions() -> None:
    """Have an exemption withdrawn once, and nothing else of it changed."""
    refuse("tax_exemption", "DELETE")
    old, new = (", ".join(f"{row}.{column}" for column in KEPT) for row in ("OLD", "NEW"))
    words = "tax_exemption is withdrawn, not changed"
    if not postgres():
        op.execute(
            "CREATE TRIGGER tax_exemption_refuses_update BEFORE UPDATE ON tax_exemption FOR EACH ROW"
            f" WHEN OLD.withdrawn_at IS NOT NULL OR ({old}) IS NOT ({new})"
            f" BEGIN SELECT RAISE(ABORT, '{words}'); END"
        )
        return
    op.execute(
        f"CREATE FUNCTION {FUNCTION}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
        f" IF OLD.withdrawn_at IS NOT NULL OR ({old}) IS DISTINCT FROM ({new}) THEN RAISE EXCEPTION '{words}'"
        " USING ERRCODE = 'integrity_constraint_violation'; END IF; RETURN NEW; END $$"
    )
    op.execute(
        "CREATE TRIGGER tax_exemption_refuses_update BEFORE UPDATE ON tax_exemption"
        f" FOR EACH ROW EXECUTE FUNCTION {FUNCTION}()"
    )


def upgrade() -> None:
    op.create_table(
        "jurisdiction",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("name_key", sa.String(length=100), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jurisdiction")),
        sa.UniqueConstraint("name_key", name=op.f("uq_jurisdiction_name_key")),
    )
    op.create_table(
        "tax_edition",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("jurisdiction_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("made_by", sa.String(length=200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["jurisdiction_id"], ["jurisdiction.id"], name=op.f("fk_tax_edition_jurisdiction_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tax_edition")),
        sa.UniqueConstraint("jurisdiction_id", "number", name=op.f("uq_tax_edition_jurisdiction_id_number")),
    )
    op.create_table(
        "tax_place",
        sa.Column("place_key", sa.String(length=200), nullable=False),
        sa.Column("jurisdiction_id", sa.String(length=20), nullable=False),
        sa.Column("subdivision_id", sa.String(length=20), nullable=True),
        sa.Column("town", sa.String(length=100), nullable=False),
        sa.Column("state", sa.String(length=40), nullable=False),
        sa.Column("set_by", sa.String(length=200), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["jurisdiction_id"], ["jurisdiction.id"], name=op.f("fk_tax_place_jurisdiction_id")
        ),
        sa.ForeignKeyConstraint(
            ["subdivision_id"], ["subdivision.id"], name=op.f("fk_tax_place_subdivision_id")
        ),
        sa.PrimaryKeyConstraint("place_key", name=op.f("pk_tax_place")),
    )
    op.create_index("ix_tax_place_jurisdiction_id", "tax_place", ["jurisdiction_id"])
    op.create_table(
        "tax_exemption",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("jurisdiction_id", sa.String(length=20), nullable=True),
        sa.Column("number", sa.String(length=60), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=False),
        sa.Column("entered_by", sa.String(length=200), nullable=False),
        sa.Column("entered_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn_by", sa.String(length=200), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_tax_exemption_company_id")),
        sa.ForeignKeyConstraint(
            ["jurisdiction_id"], ["jurisdiction.id"], name=op.f("fk_tax_exemption_jurisdiction_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tax_exemption")),
    )
    op.create_index("ix_tax_exemption_company_id_last_day", "tax_exemption", ["company_id", "last_day"])
    op.create_index("ix_tax_exemption_last_day", "tax_exemption", ["last_day"])
    for table in ONLY_GROWS:
        for act in ("UPDATE", "DELETE"):
            refuse(table, act)
        if postgres():
            op.execute(
                f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
                f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
            )
    keep_exemptions()


def downgrade() -> None:
    for table in ("tax_exemption", "tax_place", "tax_edition", "jurisdiction"):
        op.drop_table(table)
    if postgres():
        op.execute(f"DROP FUNCTION {FUNCTION}()")
