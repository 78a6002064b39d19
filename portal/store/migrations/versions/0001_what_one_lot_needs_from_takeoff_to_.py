"""What one lot needs from takeoff to warranty.

What is promised to stay as it is, is kept so by the database itself: triggers refuse
changes to history, records, payments, and to what a sent quote, an invoice and a
warranty say. A later migration that rebuilds one of these tables (a batch on SQLite
does) has to call for its triggers again; a test looks that they are all there.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


#: Tables that only grow, and of others the columns that never change once they are filled.
APPEND_ONLY = ("history", "takeoff", "edition", "treatment_record", "payment")
FROZEN = {
    "invoice": (
        "id",
        "number",
        "lot_id",
        "company_id",
        "document",
        "fingerprint",
        "total",
        "issued_on",
        "due_on",
    ),
    "warranty": ("id", "number", "link_token", "house_key", "lot_id", "record_id", "document"),
    "revision": (
        "id",
        "quote_id",
        "number",
        "takeoff_id",
        "document",
        "fingerprint",
        "total",
        "expires_on",
        "sent_at",
    ),
}
#: When a frozen table is not frozen yet.
OPEN = {"revision": "OLD.sent_at IS NOT NULL"}


def start_the_history() -> None:
    """The chain's first link, so that no two first lines are ever written side by side."""
    head = sa.table("history_head", sa.column("id"), sa.column("seq"), sa.column("hash"))
    op.bulk_insert(head, [{"id": 1, "seq": 0, "hash": "0" * 64}])


def guarded() -> list[tuple[str, str, str, str]]:
    """Table, what is refused, on which condition, and in which words."""
    rules = []
    for table in APPEND_ONLY:
        rules += [(table, act, "", f"{table} only grows") for act in ("UPDATE", "DELETE")]
    for table, columns in FROZEN.items():
        when, words = OPEN.get(table, ""), f"what a {table} says never changes"
        rules += [(table, f"UPDATE OF {', '.join(columns)}", when, words), (table, "DELETE", when, words)]
    return rules


def guard() -> None:
    """Have the database refuse what must not happen."""
    postgres = op.get_bind().dialect.name == "postgresql"
    if postgres:
        op.execute(
            "CREATE FUNCTION sillbook_refuse() RETURNS trigger LANGUAGE plpgsql AS"
            " $$ BEGIN RAISE EXCEPTION '%', TG_ARGV[0] USING ERRCODE = 'integrity_constraint_violation'; END $$"
        )
    for table, act, when, words in guarded():
        name = f"{table}_refuses_{act.partition(' ')[0].lower()}"
        when = f"WHEN ({when}) " if when else ""
        does = (
            f"EXECUTE FUNCTION sillbook_refuse('{words}')"
            if postgres
            else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
        )
        op.execute(f"CREATE TRIGGER {name} BEFORE {act} ON {table} FOR EACH ROW {when}{does}")
    if postgres:
        for table in (*APPEND_ONLY, *FROZEN):
            op.execute(
                f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
                f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
            )


def unguard() -> None:
    """Triggers go with their tables; the function they call does not."""
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION sillbook_refuse() CASCADE")


def upgrade() -> None:
    op.create_table(
        "company",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("phone", sa.String(length=40), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_company")),
        sa.UniqueConstraint("name", name=op.f("uq_company_name")),
    )
    op.create_table(
        "edition",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("made_by", sa.String(length=200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_edition")),
        sa.UniqueConstraint("kind", "number", name=op.f("uq_edition_kind_number")),
    )
    op.create_table(
        "history",
        sa.Column(
            "seq", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=False, nullable=False
        ),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.String(length=20), nullable=True),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("verb", sa.String(length=60), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=True),
        sa.Column("subject", sa.String(length=300), nullable=False),
        sa.Column("details", sa.JSON(), nullable=False),
        sa.Column("before", sa.String(length=64), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_history")),
    )
    with op.batch_alter_table("history", schema=None) as batch_op:
        batch_op.create_index("ix_history_lot_id_seq", ["lot_id", "seq"], unique=False)

    op.create_table(
        "history_head",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("seq", sa.BigInteger(), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_history_head")),
    )
    op.create_table(
        "letter",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("message_id", sa.String(length=120), nullable=False),
        sa.Column("to", sa.String(length=254), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("html", sa.Text(), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=True),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("next_try_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("trouble", sa.Text(), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_letter")),
        sa.UniqueConstraint("message_id", name=op.f("uq_letter_message_id")),
    )
    with op.batch_alter_table("letter", schema=None) as batch_op:
        batch_op.create_index("ix_letter_sent_at_next_try_at", ["sent_at", "next_try_at"], unique=False)

    op.create_table(
        "number_series",
        sa.Column("name", sa.String(length=30), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_number_series")),
    )
    op.create_table(
        "once_key",
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("content", sa.String(length=64), nullable=False),
        sa.Column("answer", sa.JSON(), nullable=True),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_once_key")),
    )
    op.create_table(
        "paper",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("kind", sa.String(length=30), nullable=False),
        sa.Column("subject_id", sa.String(length=64), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_paper")),
        sa.UniqueConstraint("kind", "subject_id", name=op.f("uq_paper_kind_subject_id")),
    )
    op.create_table(
        "try",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("door", sa.String(length=20), nullable=False),
        sa.Column("subject", sa.String(length=100), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_try")),
    )
    with op.batch_alter_table("try", schema=None) as batch_op:
        batch_op.create_index("ix_try_door_subject_at", ["door", "subject", "at"], unique=False)

    op.create_table(
        "person",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("owner", sa.Boolean(), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=True),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("phone", sa.String(length=40), nullable=False),
        sa.Column("certificate", sa.String(length=80), nullable=False),
        sa.Column("password_hash", sa.Text(), nullable=True),
        sa.Column("password_turn", sa.Integer(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_person_company_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("email", name=op.f("uq_person_email")),
    )
    with op.batch_alter_table("person", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_person_company_id"), ["company_id"], unique=False)

    op.create_table(
        "subdivision",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_subdivision_company_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_subdivision")),
        sa.UniqueConstraint("company_id", "name", name=op.f("uq_subdivision_company_id_name")),
    )
    op.create_table(
        "lot",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("subdivision_id", sa.String(length=20), nullable=True),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("house_number", sa.String(length=20), nullable=False),
        sa.Column("street", sa.String(length=200), nullable=False),
        sa.Column("town", sa.String(length=100), nullable=False),
        sa.Column("state", sa.String(length=40), nullable=False),
        sa.Column("postal_code", sa.String(length=20), nullable=False),
        sa.Column("foundation", sa.String(length=20), nullable=False),
        sa.Column("siding_starts", sa.Date(), nullable=True),
        sa.Column("insulation_starts", sa.Date(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("stage", sa.String(length=20), nullable=False),
        sa.Column("holds_until", sa.Date(), nullable=True),
        sa.Column("feet", sa.String(length=20), nullable=False),
        sa.Column("price", sa.String(length=20), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("created_by", sa.String(length=20), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_lot_company_id")),
        sa.ForeignKeyConstraint(["created_by"], ["person.id"], name=op.f("fk_lot_created_by")),
        sa.ForeignKeyConstraint(["subdivision_id"], ["subdivision.id"], name=op.f("fk_lot_subdivision_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lot")),
    )
    with op.batch_alter_table("lot", schema=None) as batch_op:
        batch_op.create_index("ix_lot_changed_at", ["changed_at", "id"], unique=False)
        batch_op.create_index(
            "ix_lot_company_id_changed_at", ["company_id", "changed_at", "id"], unique=False
        )
        batch_op.create_index("ix_lot_company_id_stage", ["company_id", "stage", "holds_until"], unique=False)
        batch_op.create_index("ix_lot_stage_changed_at", ["stage", "changed_at", "id"], unique=False)
        batch_op.create_index("ix_lot_stage_holds_until", ["stage", "holds_until"], unique=False)
        batch_op.create_index(batch_op.f("ix_lot_subdivision_id"), ["subdivision_id"], unique=False)

    op.create_table(
        "sign_in",
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("person_id", sa.String(length=20), nullable=False),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_sign_in_person_id")),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_sign_in")),
    )
    with op.batch_alter_table("sign_in", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_in_person_id"), ["person_id"], unique=False)

    op.create_table(
        "invoice",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=30), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("total", sa.BigInteger(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("issued_on", sa.Date(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_invoice_company_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_invoice_lot_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_invoice")),
        sa.UniqueConstraint("lot_id", name=op.f("uq_invoice_lot_id")),
        sa.UniqueConstraint("number", name=op.f("uq_invoice_number")),
    )
    with op.batch_alter_table("invoice", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_invoice_company_id"), ["company_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_invoice_state"), ["state"], unique=False)

    op.create_table(
        "quote",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=30), nullable=False),
        sa.Column("current", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_quote_lot_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quote")),
        sa.UniqueConstraint("lot_id", name=op.f("uq_quote_lot_id")),
        sa.UniqueConstraint("number", name=op.f("uq_quote_number")),
    )
    op.create_table(
        "takeoff",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.Column("edition", sa.Integer(), nullable=False),
        sa.Column("house", sa.JSON(), nullable=False),
        sa.Column("estimate", sa.JSON(), nullable=False),
        sa.Column("entered_by", sa.String(length=200), nullable=False),
        sa.Column("entered_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_takeoff_lot_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_takeoff")),
        sa.UniqueConstraint("lot_id", "edition", name=op.f("uq_takeoff_lot_id_edition")),
    )
    op.create_table(
        "payment",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("invoice_id", sa.String(length=20), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("method", sa.String(length=20), nullable=False),
        sa.Column("reference", sa.String(length=80), nullable=False),
        sa.Column("received_on", sa.Date(), nullable=False),
        sa.Column("recorded_by", sa.String(length=200), nullable=False),
        sa.Column("recorded_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name=op.f("fk_payment_invoice_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_payment")),
    )
    with op.batch_alter_table("payment", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_payment_invoice_id"), ["invoice_id"], unique=False)

    op.create_table(
        "revision",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("quote_id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("takeoff_id", sa.String(length=20), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=True),
        sa.Column("fingerprint", sa.String(length=64), nullable=True),
        sa.Column("total", sa.BigInteger(), nullable=True),
        sa.Column("expires_on", sa.Date(), nullable=True),
        sa.Column("approved_by", sa.String(length=200), nullable=False),
        sa.Column("approved_mark", sa.String(length=64), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("decided_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("decided_by", sa.String(length=200), nullable=False),
        sa.Column("purchase_order", sa.String(length=80), nullable=False),
        sa.Column("decline_reason", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_revision_quote_id")),
        sa.ForeignKeyConstraint(["takeoff_id"], ["takeoff.id"], name=op.f("fk_revision_takeoff_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_revision")),
        sa.UniqueConstraint("quote_id", "number", name=op.f("uq_revision_quote_id_number")),
    )
    with op.batch_alter_table("revision", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_revision_expires_on"), ["expires_on"], unique=False)
        batch_op.create_index(batch_op.f("ix_revision_state"), ["state"], unique=False)

    op.create_table(
        "extra",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("revision_id", sa.String(length=20), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("label", sa.String(length=200), nullable=False),
        sa.Column("reason", sa.String(length=500), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("added_by", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["revision_id"], ["revision.id"], name=op.f("fk_extra_revision_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_extra")),
    )
    with op.batch_alter_table("extra", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_extra_revision_id"), ["revision_id"], unique=False)

    op.create_table(
        "job",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=30), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.Column("revision_id", sa.String(length=20), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("technician_id", sa.String(length=20), nullable=True),
        sa.Column("day", sa.Date(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("entry", sa.JSON(), nullable=False),
        sa.Column("sheet", sa.JSON(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_job_lot_id")),
        sa.ForeignKeyConstraint(["revision_id"], ["revision.id"], name=op.f("fk_job_revision_id")),
        sa.ForeignKeyConstraint(["technician_id"], ["person.id"], name=op.f("fk_job_technician_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
        sa.UniqueConstraint("lot_id", name=op.f("uq_job_lot_id")),
        sa.UniqueConstraint("number", name=op.f("uq_job_number")),
    )
    with op.batch_alter_table("job", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_job_state"), ["state"], unique=False)
        batch_op.create_index("ix_job_technician_id_day", ["technician_id", "day"], unique=False)

    op.create_table(
        "treatment_record",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=30), nullable=False),
        sa.Column("job_id", sa.String(length=20), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("marked_by", sa.String(length=200), nullable=False),
        sa.Column("marked_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_treatment_record_job_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_treatment_record_lot_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_treatment_record")),
        sa.UniqueConstraint("job_id", name=op.f("uq_treatment_record_job_id")),
        sa.UniqueConstraint("lot_id", name=op.f("uq_treatment_record_lot_id")),
        sa.UniqueConstraint("number", name=op.f("uq_treatment_record_number")),
    )
    op.create_table(
        "warranty",
        sa.Column("id", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=20), nullable=False),
        sa.Column("link_token", sa.String(length=40), nullable=False),
        sa.Column("house_key", sa.String(length=60), nullable=False),
        sa.Column("lot_id", sa.String(length=20), nullable=False),
        sa.Column("company_id", sa.String(length=20), nullable=False),
        sa.Column("record_id", sa.String(length=20), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("begins_on", sa.Date(), nullable=True),
        sa.Column("ends_on", sa.Date(), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_warranty_company_id")),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name=op.f("fk_warranty_lot_id")),
        sa.ForeignKeyConstraint(["record_id"], ["treatment_record.id"], name=op.f("fk_warranty_record_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_warranty")),
        sa.UniqueConstraint("link_token", name=op.f("uq_warranty_link_token")),
        sa.UniqueConstraint("lot_id", name=op.f("uq_warranty_lot_id")),
        sa.UniqueConstraint("number", name=op.f("uq_warranty_number")),
    )
    with op.batch_alter_table("warranty", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_warranty_company_id"), ["company_id"], unique=False)
        batch_op.create_index("ix_warranty_state_made_at", ["state", "made_at"], unique=False)
    start_the_history()
    guard()


def downgrade() -> None:
    unguard()
    with op.batch_alter_table("warranty", schema=None) as batch_op:
        batch_op.drop_index("ix_warranty_state_made_at")
        batch_op.drop_index(batch_op.f("ix_warranty_company_id"))

    op.drop_table("warranty")
    op.drop_table("treatment_record")
    with op.batch_alter_table("job", schema=None) as batch_op:
        batch_op.drop_index("ix_job_technician_id_day")
        batch_op.drop_index(batch_op.f("ix_job_state"))

    op.drop_table("job")
    with op.batch_alter_table("extra", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_extra_revision_id"))

    op.drop_table("extra")
    with op.batch_alter_table("revision", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_revision_state"))
        batch_op.drop_index(batch_op.f("ix_revision_expires_on"))

    op.drop_table("revision")
    with op.batch_alter_table("payment", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_payment_invoice_id"))

    op.drop_table("payment")
    op.drop_table("takeoff")
    op.drop_table("quote")
    with op.batch_alter_table("invoice", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_invoice_state"))
        batch_op.drop_index(batch_op.f("ix_invoice_company_id"))

    op.drop_table("invoice")
    with op.batch_alter_table("sign_in", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_sign_in_person_id"))

    op.drop_table("sign_in")
    with op.batch_alter_table("lot", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_lot_subdivision_id"))
        batch_op.drop_index("ix_lot_stage_holds_until")
        batch_op.drop_index("ix_lot_stage_changed_at")
        batch_op.drop_index("ix_lot_company_id_stage")
        batch_op.drop_index("ix_lot_company_id_changed_at")
        batch_op.drop_index("ix_lot_changed_at")

    op.drop_table("lot")
    op.drop_table("subdivision")
    with op.batch_alter_table("person", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_person_company_id"))

    op.drop_table("person")
    with op.batch_alter_table("try", schema=None) as batch_op:
        batch_op.drop_index("ix_try_door_subject_at")

    op.drop_table("try")
    op.drop_table("paper")
    op.drop_table("once_key")
    op.drop_table("number_series")
    with op.batch_alter_table("letter", schema=None) as batch_op:
        batch_op.drop_index("ix_letter_sent_at_next_try_at")

    op.drop_table("letter")
    op.drop_table("history_head")
    with op.batch_alter_table("history", schema=None) as batch_op:
        batch_op.drop_index("ix_history_lot_id_seq")

    op.drop_table("history")
    op.drop_table("edition")
    op.drop_table("company")
