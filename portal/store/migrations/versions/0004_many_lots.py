"""Many lots from a sheet: what was read, what is entered, how columns were named."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "list_heading",
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("header", sa.String(length=200), nullable=False),
        sa.Column("stands_for", sa.String(length=40), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_list_heading_company_id")),
        sa.PrimaryKeyConstraint("company_id", "header", name=op.f("pk_list_heading")),
    )
    op.create_table(
        "lot_list",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("encoding", sa.String(length=20), nullable=False),
        sa.Column("delimiter", sa.String(length=1), nullable=False),
        sa.Column("headers", sa.JSON(), nullable=False),
        sa.Column("naming", sa.JSON(), nullable=False),
        sa.Column("fill", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("made_by", sa.String(length=20), nullable=False),
        sa.Column("made_by_name", sa.String(length=200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("entered_by", sa.String(length=20), nullable=True),
        sa.Column("finished_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("package_id", sa.String(length=20), nullable=True),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_lot_list_company_id")),
        sa.ForeignKeyConstraint(["entered_by"], ["person.id"], name=op.f("fk_lot_list_entered_by")),
        sa.ForeignKeyConstraint(["made_by"], ["person.id"], name=op.f("fk_lot_list_made_by")),
        sa.ForeignKeyConstraint(["package_id"], ["package.id"], name=op.f("fk_lot_list_package_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lot_list")),
    )
    op.create_index("ix_lot_list_company_id_made_at", "lot_list", ["company_id", "made_at", "id"])
    op.create_index("ix_lot_list_state", "lot_list", ["state"])
    op.create_table(
        "lot_identity",
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("identity", sa.String(length=64), nullable=False),
        sa.Column("content", sa.String(length=64), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_lot_identity_company_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_lot_identity_lot_id")),
        sa.PrimaryKeyConstraint("company_id", "identity", name=op.f("pk_lot_identity")),
    )
    op.create_table(
        "lot_list_row",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("list_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("cells", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("said", sa.JSON(), nullable=True),
        sa.Column("problems", sa.JSON(), nullable=False),
        sa.Column("identity", sa.String(length=64), nullable=False),
        sa.Column("content", sa.String(length=64), nullable=False),
        sa.Column("same_as", sa.Integer(), nullable=True),
        sa.Column("lot_id", sa.String(length=20), nullable=True),
        sa.Column("feet", sa.String(length=20), nullable=False),
        sa.Column("price", sa.String(length=20), nullable=False),
        sa.ForeignKeyConstraint(["list_id"], ["lot_list.id"], name=op.f("fk_lot_list_row_list_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_lot_list_row_lot_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lot_list_row")),
        sa.UniqueConstraint("list_id", "number", name=op.f("uq_lot_list_row_list_id_number")),
    )
    op.create_index("ix_lot_list_row_list_id_state", "lot_list_row", ["list_id", "state", "number"])


def downgrade() -> None:
    for table in ("lot_list_row", "lot_identity", "lot_list", "list_heading"):
        op.drop_table(table)
