"""Who reported trouble stands in the report alone, where it can be removed, and no longer in its first step."""

from alembic import op

revision = "0028"
down_revision = "0027"
branch_labels = None
depends_on = None

REFUSES = "trouble_step_refuses_update"


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def upgrade() -> None:
    # The one change that this append-only table sees: the trigger is away for it, within one transaction.
    op.execute(f"DROP TRIGGER {REFUSES}" + (" ON trouble_step" if postgres() else ""))
    op.execute("UPDATE trouble_step SET by = '' WHERE kind = 'reported'")
    does = (
        "EXECUTE FUNCTION sillbook_refuse('trouble_step only grows')"
        if postgres()
        else "BEGIN SELECT RAISE(ABORT, 'trouble_step only grows'); END"
    )
    op.execute(f"CREATE TRIGGER {REFUSES} BEFORE UPDATE ON trouble_step FOR EACH ROW {does}")
    op.create_index("ix_holder_until_removed_at", "holder", ["until", "removed_at"])


def downgrade() -> None:
    op.drop_index("ix_holder_until_removed_at", "holder")
