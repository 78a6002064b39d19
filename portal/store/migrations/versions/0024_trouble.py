"""Reports of trouble, their steps and photos."""

import sqlalchemy as sa
from alembic import op

revision = "0024"
down_revision = "0023"
branch_labels = None
depends_on = None

KEPT = ("trouble_step", "trouble_photo")


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def keep(table: str) -> None:
    """Refuse that a row is changed or dropped. The function is 0001's."""
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


def text(name: str, length: int) -> sa.Column[str]:
    """A text that is always there."""
    return sa.Column(name, sa.String(length), nullable=False)


def of(table: str, other: str) -> sa.ForeignKeyConstraint:
    """The other table's row that a row belongs to."""
    return sa.ForeignKeyConstraint([f"{other}_id"], [f"{other}.id"], name=f"fk_{table}_{other}_id")


def upgrade() -> None:
    op.create_table(
        "trouble",
        text("id", 20), text("number", 30), text("warranty_id", 20), text("lot_id", 20), text("name", 200),
        text("email", 254), text("phone", 40), sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("reported_on", sa.Date(), nullable=False), sa.Column("due_on", sa.Date(), nullable=False),
        text("state", 20), text("decision", 20), of("trouble", "warranty"), of("trouble", "lot"),
        sa.PrimaryKeyConstraint("id", name="pk_trouble"),
        sa.UniqueConstraint("number", name="uq_trouble_number"),
    )  # fmt: skip
    op.create_index("ix_trouble_state_made_at", "trouble", ["state", "made_at"])
    op.create_index("ix_trouble_warranty_id", "trouble", ["warranty_id"])
    op.create_table(
        "trouble_step",
        text("id", 20), text("trouble_id", 20), sa.Column("seq", sa.Integer(), nullable=False), text("kind", 20),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False), text("by", 200),
        sa.Column("words", sa.Text(), nullable=False), sa.Column("day", sa.Date()), text("person", 200),
        sa.Column("clauses", sa.JSON(), nullable=False), of("trouble_step", "trouble"),
        sa.PrimaryKeyConstraint("id", name="pk_trouble_step"),
    )  # fmt: skip
    op.create_index("uq_trouble_step_trouble_id_seq", "trouble_step", ["trouble_id", "seq"], unique=True)
    op.create_table(
        "trouble_photo",
        text("id", 20), text("step_id", 20), text("trouble_id", 20), text("sha256", 64), text("small_sha256", 64),
        sa.ForeignKeyConstraint(["step_id"], ["trouble_step.id"], name="fk_trouble_photo_step_id"),
        of("trouble_photo", "trouble"), sa.PrimaryKeyConstraint("id", name="pk_trouble_photo"),
    )  # fmt: skip
    for column in ("step_id", "trouble_id"):
        op.create_index(f"ix_trouble_photo_{column}", "trouble_photo", [column])
    for table in KEPT:
        keep(table)


def downgrade() -> None:
    for table in ("trouble_photo", "trouble_step", "trouble"):
        op.drop_table(table)
