"""Lots asked for together: one request, one package of quotes.

The cover of a package, frozen when the package is sent, is kept so by the database itself.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "package",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=30), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("created_by", sa.String(length=20), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_package_company_id")),
        sa.ForeignKeyConstraint(["created_by"], ["person.id"], name=op.f("fk_package_created_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_package")),
        sa.UniqueConstraint("number", name=op.f("uq_package_number")),
    )
    op.create_index("ix_package_company_id_created_at", "package", ["company_id", "created_at", "id"])
    # Said as both databases say it: a batch would make the table of lots anew, and all that refers to it.
    op.execute(
        "ALTER TABLE lot ADD COLUMN package_id VARCHAR(20)"
        " CONSTRAINT fk_lot_package_id REFERENCES package (id)"
    )
    op.create_index(op.f("ix_lot_package_id"), "lot", ["package_id"])
    op.create_table(
        "package_cover",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("package_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("sent_by", sa.String(length=200), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["package_id"], ["package.id"], name=op.f("fk_package_cover_package_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_package_cover")),
        sa.UniqueConstraint("package_id", "number", name=op.f("uq_package_cover_package_id_number")),
    )
    guard()


def guard() -> None:
    """Have the database refuse to change or drop a cover."""
    words = "package_cover only grows"
    postgres = op.get_bind().dialect.name == "postgresql"
    # The function is 0001's.
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    for act in ("update", "delete"):
        op.execute(
            f"CREATE TRIGGER package_cover_refuses_{act} BEFORE {act.upper()} ON package_cover"
            f" FOR EACH ROW {does}"
        )
    if postgres:
        op.execute(
            "CREATE TRIGGER package_cover_refuses_truncate BEFORE TRUNCATE ON package_cover"
            " FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('package_cover is never emptied')"
        )


def downgrade() -> None:
    op.drop_table("package_cover")
    op.drop_index(op.f("ix_lot_package_id"), table_name="lot")
    op.execute("ALTER TABLE lot DROP COLUMN package_id")
    op.drop_table("package")
