"""What each person of a company may do, the mails each wants, and when somebody left.

Everybody of a company who is there already keeps what they had: every right, every mail.
"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

RIGHTS = ("may_accept", "may_see_money", "may_manage_people")


def upgrade() -> None:
    # Added without rebuilding the table: what points at a person stays as it is.
    for right in RIGHTS:
        op.add_column("person", sa.Column(right, sa.Boolean(), nullable=False, server_default=sa.false()))
    op.add_column("person", sa.Column("mails_off", sa.JSON(), nullable=False, server_default="[]"))
    op.add_column("person", sa.Column("left_at", sa.DateTime(timezone=True), nullable=True))
    op.add_column("person", sa.Column("left_email", sa.String(254), nullable=False, server_default=""))
    op.add_column("letter", sa.Column("unsubscribe", sa.Text(), nullable=False, server_default=""))
    person = sa.table("person", sa.column("kind"), *(sa.column(right) for right in RIGHTS))
    op.execute(person.update().where(person.c.kind == "builder").values(dict.fromkeys(RIGHTS, sa.true())))


def downgrade() -> None:
    op.drop_column("letter", "unsubscribe")
    for name in ("left_email", "left_at", "mails_off", *reversed(RIGHTS)):
        op.drop_column("person", name)
