"""Treatment records: amended by further pages, sent back, kept as long as is set.

A record that was kept as long as it has to be may be forgotten: a line in `forgotten_record` says by whom
and when, and from then on, and not before, the database lets what the record said go.
"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

ONLY_GROWS = ("record_page", "forgotten_record")


def guard() -> None:
    """A further page is as final as the record it belongs to."""
    for table in ONLY_GROWS:
        for act in ("UPDATE", "DELETE"):
            refuse(table, act)
        if postgres():
            op.execute(
                f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
                f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
            )


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


#: Whose document alone may be emptied, how it is found in `forgotten_record`, and what never changes.
GO = {
    "treatment_record": ("id", ("id", "number", "job_id", "lot_id", "fingerprint", "marked_by", "marked_at")),
    "record_page": (
        "record_id",
        ("id", "record_id", "number", "kind", "fingerprint", "person_id", "made_at"),
    ),
}


def let_go(table: str) -> None:
    """Have a table's document emptied once a line says that the record is forgotten, and not before."""
    record, others = GO[table]
    op.execute(f"DROP TRIGGER {table}_refuses_update{on(table)}")
    known = f"EXISTS (SELECT 1 FROM forgotten_record WHERE record_id = OLD.{record})"
    old, new = (", ".join(f"{row}.{column}" for column in others) for row in ("OLD", "NEW"))
    if not postgres():
        op.execute(
            f"CREATE TRIGGER {table}_refuses_update BEFORE UPDATE ON {table} FOR EACH ROW"
            f" WHEN NOT {known} OR NEW.document <> '{{}}' OR ({old}) IS NOT ({new})"
            f" BEGIN SELECT RAISE(ABORT, '{table} only grows'); END"
        )
        return
    op.execute(
        f"CREATE FUNCTION sillbook_keep_{table}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
        f" IF NOT {known} OR NEW.document::text <> '{{}}' OR ({old}) IS DISTINCT FROM ({new})"
        f" THEN RAISE EXCEPTION '{table} only grows'"
        " USING ERRCODE = 'integrity_constraint_violation'; END IF; RETURN NEW; END $$"
    )
    op.execute(
        f"CREATE TRIGGER {table}_refuses_update BEFORE UPDATE ON {table}"
        f" FOR EACH ROW EXECUTE FUNCTION sillbook_keep_{table}()"
    )


def on(table: str) -> str:
    """What PostgreSQL wants to hear when a trigger is dropped."""
    return f" ON {table}" if postgres() else ""


def upgrade() -> None:
    op.create_table(
        "record_page",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("record_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("person_id", sa.String(length=20), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["record_id"], ["treatment_record.id"], name=op.f("fk_record_page_record_id")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_record_page_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_record_page")),
        sa.UniqueConstraint("record_id", "number", name=op.f("uq_record_page_record_id_number")),
    )
    op.create_table(
        "forgotten_record",
        sa.Column("record_id", sa.String(length=20), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("kept_until", sa.Date(), nullable=False),
        sa.Column("forgotten_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["record_id"], ["treatment_record.id"], name=op.f("fk_forgotten_record_record_id")
        ),
        sa.PrimaryKeyConstraint("record_id", name=op.f("pk_forgotten_record")),
    )
    op.add_column("person", sa.Column("supervisor", sa.String(200), nullable=False, server_default=""))
    guard()
    for table in GO:
        let_go(table)


def downgrade() -> None:
    op.execute(f"DROP TRIGGER treatment_record_refuses_update{on('treatment_record')}")
    refuse("treatment_record", "UPDATE")
    op.drop_column("person", "supervisor")
    op.drop_table("forgotten_record")
    op.drop_table("record_page")
    if postgres():
        for table in GO:
            op.execute(f"DROP FUNCTION sillbook_keep_{table}()")
