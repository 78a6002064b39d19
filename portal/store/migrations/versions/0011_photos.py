"""Photos of walls and problems. Their bytes are in the blobs."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def guard() -> None:
    """A photo is evidence: it is never changed."""
    postgres = op.get_bind().dialect.name == "postgresql"
    # The function is 0001's.
    does = (
        "EXECUTE FUNCTION sillbook_refuse('photo only grows')"
        if postgres
        else "BEGIN SELECT RAISE(ABORT, 'photo only grows'); END"
    )
    for act in ("update", "delete"):
        op.execute(f"CREATE TRIGGER photo_refuses_{act} BEFORE {act.upper()} ON photo FOR EACH ROW {does}")
    if postgres:
        op.execute(
            "CREATE TRIGGER photo_refuses_truncate BEFORE TRUNCATE ON photo"
            " FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('photo is never emptied')"
        )


def upgrade() -> None:
    op.create_table(
        "photo",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=20), nullable=False),
        sa.Column("person_id", sa.String(length=20), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("device_id", sa.String(length=36), nullable=False),
        sa.Column("wall", sa.String(length=60), nullable=False),
        sa.Column("words", sa.String(length=500), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("small_sha256", sa.String(length=64), nullable=False),
        sa.Column("sent_sha256", sa.String(length=64), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("device_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("late", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_photo_job_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_photo_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photo")),
    )
    op.create_index("ix_photo_job_id", "photo", ["job_id"])
    guard()


def downgrade() -> None:
    op.drop_table("photo")
