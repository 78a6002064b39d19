"""House plans of a builder: a library with editions.

The columns of a lot are added and dropped in place. A batch would rebuild the table on
SQLite, which other tables point at: with its references enforced, no lot could be there.
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def guard() -> None:
    """An edition of a plan only grows, like a takeoff."""
    postgres = op.get_bind().dialect.name == "postgresql"
    says = "plan_edition only grows"
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{says}')"
        if postgres
        else f"BEGIN SELECT RAISE(ABORT, '{says}'); END"
    )
    for act in ("update", "delete"):
        op.execute(
            f"CREATE TRIGGER plan_edition_refuses_{act} BEFORE {act.upper()} ON plan_edition"
            f" FOR EACH ROW {does}"
        )
    if postgres:
        op.execute(
            "CREATE TRIGGER plan_edition_refuses_truncate BEFORE TRUNCATE ON plan_edition"
            " FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('plan_edition is never emptied')"
        )


def upgrade() -> None:
    op.create_table(
        "house_plan",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("name_key", sa.String(length=600), nullable=False),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_by", sa.String(length=200), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("created_by", sa.String(length=20), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_house_plan_company_id")),
        sa.ForeignKeyConstraint(["created_by"], ["person.id"], name=op.f("fk_house_plan_created_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_house_plan")),
        sa.UniqueConstraint("company_id", "name_key", name=op.f("uq_house_plan_company_id_name_key")),
    )
    op.create_table(
        "plan_edition",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("plan_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("house", sa.JSON(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("entered_by", sa.String(length=200), nullable=False),
        sa.Column("entered_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["plan_id"], ["house_plan.id"], name=op.f("fk_plan_edition_plan_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan_edition")),
        sa.UniqueConstraint("plan_id", "number", name=op.f("uq_plan_edition_plan_id_number")),
    )
    guard()
    op.execute(
        "ALTER TABLE lot ADD COLUMN plan_edition_id VARCHAR(20)"
        " CONSTRAINT fk_lot_plan_edition_id REFERENCES plan_edition (id)"
    )
    op.add_column("lot", sa.Column("mirrored", sa.Boolean(), server_default=sa.false(), nullable=False))
    op.create_index("ix_lot_plan_edition_id", "lot", ["plan_edition_id"])


def downgrade() -> None:
    op.drop_index("ix_lot_plan_edition_id", table_name="lot")
    op.execute("ALTER TABLE lot DROP COLUMN mirrored")
    op.execute("ALTER TABLE lot DROP COLUMN plan_edition_id")
    op.drop_table("plan_edition")
    op.drop_table("house_plan")
