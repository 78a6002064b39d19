"""Months that are closed, into which nothing is posted anymore."""

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None

#: What a new row must not do: count for a day of a closed month. Of a posting, its entry says the day.
CLOSED = {
    "ledger_entry": 'EXISTS (SELECT 1 FROM closed_month WHERE through >= NEW."on")',
    "posting": "EXISTS (SELECT 1 FROM closed_month WHERE through >="
    ' (SELECT "on" FROM ledger_entry WHERE seq = NEW.entry_seq))',
}
WORDS = "nothing is posted into a closed month"


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def refuse_closed(table: str) -> None:
    """Refuse rows for a closed month."""
    name = f"{table}_refuses_closed_month"
    if postgres():
        # Not in the trigger's WHEN, which may not ask another table.
        op.execute(
            f"CREATE FUNCTION sillbook_{table}_open() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
            f" IF {CLOSED[table]} THEN RAISE EXCEPTION '{WORDS}'; END IF; RETURN NEW; END $$"
        )
        op.execute(
            f"CREATE TRIGGER {name} BEFORE INSERT ON {table} FOR EACH ROW"
            f" EXECUTE FUNCTION sillbook_{table}_open()"
        )
    else:
        op.execute(
            f"CREATE TRIGGER {name} BEFORE INSERT ON {table} FOR EACH ROW WHEN {CLOSED[table]}"
            f" BEGIN SELECT RAISE(ABORT, '{WORDS}'); END"
        )


def only_grows(table: str) -> None:
    """A table whose rows are neither changed nor dropped. The function is 0001's."""
    for act in ("UPDATE", "DELETE"):
        words = f"{table} only grows"
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
        "closed_month",
        sa.Column("through", sa.Date(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("closed_by", sa.String(200), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("through", name="pk_closed_month"),
    )
    only_grows("closed_month")
    for table in CLOSED:
        refuse_closed(table)


def downgrade() -> None:
    for table in CLOSED:
        on = f" ON {table}" if postgres() else ""
        op.execute(f"DROP TRIGGER {table}_refuses_closed_month{on}")
        if postgres():
            op.execute(f"DROP FUNCTION sillbook_{table}_open()")
    op.drop_table("closed_month")
