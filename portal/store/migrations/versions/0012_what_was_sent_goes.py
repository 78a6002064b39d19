"""What phones sent of a stop goes with its record, once that is forgotten, and not before."""

from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None

SENT = ("field_entry", "photo")
#: The stops whose record a line says is forgotten.
FORGOTTEN = (
    "SELECT treatment_record.job_id FROM treatment_record"
    " JOIN forgotten_record ON forgotten_record.record_id = treatment_record.id"
)


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def drop(table: str) -> None:
    """Take the refusal of deleting off a table."""
    op.execute(f"DROP TRIGGER {table}_refuses_delete{f' ON {table}' if postgres() else ''}")


def let_go(table: str) -> None:
    """Refuse to delete a row, unless the record of its stop is forgotten."""
    if not postgres():
        op.execute(
            f"CREATE TRIGGER {table}_refuses_delete BEFORE DELETE ON {table} FOR EACH ROW"
            f" WHEN OLD.job_id NOT IN ({FORGOTTEN})"
            f" BEGIN SELECT RAISE(ABORT, '{table} only grows'); END"
        )
        return
    op.execute(
        f"CREATE FUNCTION sillbook_keep_{table}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
        f" IF OLD.job_id NOT IN ({FORGOTTEN}) THEN RAISE EXCEPTION '{table} only grows'"
        " USING ERRCODE = 'integrity_constraint_violation'; END IF; RETURN OLD; END $$"
    )
    op.execute(
        f"CREATE TRIGGER {table}_refuses_delete BEFORE DELETE ON {table}"
        f" FOR EACH ROW EXECUTE FUNCTION sillbook_keep_{table}()"
    )


def refuse(table: str) -> None:
    """Refuse to delete any row, as before. The function is 0001's."""
    words = f"{table} only grows"
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres()
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    op.execute(f"CREATE TRIGGER {table}_refuses_delete BEFORE DELETE ON {table} FOR EACH ROW {does}")


def upgrade() -> None:
    for table in SENT:
        drop(table)
        let_go(table)
        # What was left of records that were forgotten while nothing of this could go.
        op.execute(f"DELETE FROM {table} WHERE job_id IN ({FORGOTTEN})")


def downgrade() -> None:
    for table in SENT:
        drop(table)
        refuse(table)
        if postgres():
            op.execute(f"DROP FUNCTION sillbook_keep_{table}()")
