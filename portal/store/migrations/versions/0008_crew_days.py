"""Crew days: the frame's window, technicians' hours and days off, calendars.

Columns are added without a batch: that would rebuild tables that others point at. Jobs that are there
already get the minutes that their accepted quote says, and what is booked is told to calendars from now on.
"""

from decimal import ROUND_CEILING, Decimal

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("lot", sa.Column("framing_done", sa.Date(), nullable=True))
    op.add_column("job", sa.Column("minutes", sa.Integer(), nullable=False, server_default="0"))
    op.create_table(
        "technician_week",
        sa.Column("person_id", sa.String(length=20), nullable=False),
        sa.Column("minutes", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_technician_week_person_id")),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_technician_week")),
    )
    op.create_table(
        "day_off",
        sa.Column("person_id", sa.String(length=20), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("words", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_day_off_person_id")),
        sa.PrimaryKeyConstraint("person_id", "day", name=op.f("pk_day_off")),
    )
    op.create_table(
        "calendar_address",
        sa.Column("person_id", sa.String(length=20), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_calendar_address_person_id")),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_calendar_address")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_calendar_address_token_hash")),
    )
    op.create_table(
        "calendar_stop",
        sa.Column("job_id", sa.String(length=20), nullable=False),
        sa.Column("reader_id", sa.String(length=20), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("called_off", sa.Boolean(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_calendar_stop_job_id")),
        sa.PrimaryKeyConstraint("job_id", "reader_id", name=op.f("pk_calendar_stop")),
    )
    op.create_index("ix_calendar_stop_reader_id_day", "calendar_stop", ["reader_id", "day"], unique=False)
    fill_minutes()
    tell_calendars()


def fill_minutes() -> None:
    """What each job's accepted quote says it takes on site; a begun minute counts."""
    job = sa.table("job", sa.column("id"), sa.column("revision_id"), sa.column("minutes"))
    quoted = sa.table("revision", sa.column("id"), sa.column("document", sa.JSON()))
    found = sa.select(job.c.id, quoted.c.document).join_from(job, quoted, quoted.c.id == job.c.revision_id)
    for job_id, document in op.get_bind().execute(found).all():
        elapsed = Decimal(document["estimate"]["minutes"]["elapsed"])
        minutes = int(elapsed.to_integral_value(ROUND_CEILING))
        op.execute(job.update().where(job.c.id == job_id).values(minutes=minutes))


def tell_calendars() -> None:
    """What is booked, for the technician's calendar and for the builder's."""
    for reader, join in (("job.technician_id", ""), ("lot.company_id", "JOIN lot ON lot.id = job.lot_id ")):
        op.execute(
            "INSERT INTO calendar_stop (job_id, reader_id, day, sequence, called_off, changed_at) "
            f"SELECT job.id, {reader}, job.day, 0, false, CURRENT_TIMESTAMP FROM job {join}"
            "WHERE job.day IS NOT NULL AND job.technician_id IS NOT NULL"
        )


def downgrade() -> None:
    for table in ("calendar_stop", "calendar_address", "day_off", "technician_week"):
        op.drop_table(table)
    op.drop_column("job", "minutes")
    op.drop_column("lot", "framing_done")
