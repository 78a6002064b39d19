"""What a phone in the field sent, each entry once.

Entries of stops that were begun before stay where they are, in the job: there is nobody who could say
when each of them was entered, and what is entered from now on is laid over them.
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def guard() -> None:
    """An entry is never changed: another takes its place."""
    postgres = op.get_bind().dialect.name == "postgresql"
    # The function is 0001's.
    does = (
        "EXECUTE FUNCTION sillbook_refuse('field_entry only grows')"
        if postgres
        else "BEGIN SELECT RAISE(ABORT, 'field_entry only grows'); END"
    )
    for act in ("update", "delete"):
        op.execute(
            f"CREATE TRIGGER field_entry_refuses_{act} BEFORE {act.upper()} ON field_entry FOR EACH ROW {does}"
        )
    if postgres:
        op.execute(
            "CREATE TRIGGER field_entry_refuses_truncate BEFORE TRUNCATE ON field_entry"
            " FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('field_entry is never emptied')"
        )


def upgrade() -> None:
    op.create_table(
        "field_entry",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.String(length=20), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("source", sa.String(length=10), nullable=False),
        sa.Column("device_id", sa.String(length=36), nullable=False),
        sa.Column("device_seq", sa.Integer(), nullable=False),
        sa.Column("field", sa.String(length=80), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("knows", sa.JSON(), nullable=False),
        sa.Column("device_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("offset_seconds", sa.Integer(), nullable=False),
        sa.Column("late", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_field_entry_job_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_field_entry_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_field_entry")),
        sa.UniqueConstraint("job_id", "number", name=op.f("uq_field_entry_job_id_number")),
    )
    guard()


def downgrade() -> None:
    op.drop_table("field_entry")
