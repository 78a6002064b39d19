"""What is owed, what came, and the books of both.

An invoice may stand for several lots, of which it is the one that speaks; a payment comes from a builder,
and what it pays stands beside it; every event of money has its postings. What was there before gets them too.
"""

import json
from datetime import datetime

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

ONLY_GROWS = ("payment", "credit_note", "allocation", "adjustment", "ledger_entry", "posting")
FROZEN = (
    "id", "number", "kind", "lot_id", "package_id", "company_id", "document", "fingerprint", "total",
    "retained", "issued_on", "due_on", "rebills_id",
)  # fmt: skip
#: What 0001 froze of an invoice.
FROZEN_BEFORE = tuple(c for c in FROZEN if c not in ("kind", "package_id", "retained", "rebills_id"))
SEQ = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def postgres() -> bool:
    """Whether this is PostgreSQL."""
    return op.get_bind().dialect.name == "postgresql"


def refuse(table: str, act: str, words: str) -> None:
    """Refuse an act on every row of a table. The function is 0001's."""
    name = f"{table}_refuses_{act.partition(' ')[0].lower()}"
    does = (
        f"EXECUTE FUNCTION sillbook_refuse('{words}')"
        if postgres()
        else f"BEGIN SELECT RAISE(ABORT, '{words}'); END"
    )
    op.execute(f"CREATE TRIGGER {name} BEFORE {act} ON {table} FOR EACH ROW {does}")


def only_grows(table: str, truncate: bool = True) -> None:
    """A table whose rows are neither changed nor dropped."""
    for act in ("UPDATE", "DELETE"):
        refuse(table, act, f"{table} only grows")
    if postgres() and truncate:
        op.execute(
            f"CREATE TRIGGER {table}_refuses_truncate BEFORE TRUNCATE ON {table}"
            f" FOR EACH STATEMENT EXECUTE FUNCTION sillbook_refuse('{table} is never emptied')"
        )


def release(table: str) -> None:
    """Take off a table what refuses changes, while it is rebuilt."""
    on = f" ON {table}" if postgres() else ""
    for act in ("update", "delete"):
        op.execute(f"DROP TRIGGER {table}_refuses_{act}{on}")


def freeze_invoices(columns: tuple[str, ...]) -> None:
    """What an invoice says never changes."""
    words = "what a invoice says never changes"
    refuse("invoice", f"UPDATE OF {', '.join(columns)}", words)
    refuse("invoice", "DELETE", words)


def upgrade() -> None:
    release("invoice")
    with op.batch_alter_table("invoice") as batch_op:
        batch_op.drop_constraint("uq_invoice_lot_id", type_="unique")
        batch_op.add_column(sa.Column("kind", sa.String(20), nullable=False, server_default="treatment"))
        batch_op.add_column(sa.Column("package_id", sa.String(20)))
        batch_op.add_column(sa.Column("retained", sa.BigInteger(), nullable=False, server_default="0"))
        batch_op.add_column(sa.Column("rebills_id", sa.String(20)))
        batch_op.create_foreign_key("fk_invoice_package_id", "package", ["package_id"], ["id"])
        batch_op.create_foreign_key("fk_invoice_rebills_id", "invoice", ["rebills_id"], ["id"])
        batch_op.create_index("ix_invoice_lot_id", ["lot_id"])
        batch_op.create_index("ix_invoice_package_id", ["package_id"])
    freeze_invoices(FROZEN)
    new_tables()
    payments_come_from_builders()
    for table in ONLY_GROWS:
        only_grows(table, truncate=table != "payment")  # its refusal of that stood through all of this


def new_tables() -> None:
    """The tables of this migration."""
    op.create_table(
        "invoice_lot",
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("lot_id", sa.String(20), nullable=False),
        sa.Column("speaks", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name="fk_invoice_lot_invoice_id"),
        sa.ForeignKeyConstraint(["lot_id"], ["lot.id"], name="fk_invoice_lot_lot_id"),
        sa.PrimaryKeyConstraint("invoice_id", "lot_id", name="pk_invoice_lot"),
    )
    op.create_index("ix_invoice_lot_lot_id", "invoice_lot", ["lot_id"])
    op.create_index(
        "uq_invoice_lot_speaks", "invoice_lot", ["lot_id"], unique=True,
        sqlite_where=sa.text("speaks"), postgresql_where=sa.text("speaks"),
    )  # fmt: skip
    op.create_table(
        "credit_note",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("number", sa.String(30), nullable=False),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("company_id", sa.String(20), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("total", sa.BigInteger(), nullable=False),
        sa.Column("issued_on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name="fk_credit_note_company_id"),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name="fk_credit_note_invoice_id"),
        sa.PrimaryKeyConstraint("id", name="pk_credit_note"),
        sa.UniqueConstraint("number", name="uq_credit_note_number"),
    )
    op.create_index("ix_credit_note_invoice_id", "credit_note", ["invoice_id"])
    op.create_index("ix_credit_note_company_id", "credit_note", ["company_id"])
    op.create_table(
        "allocation",
        sa.Column("seq", SEQ, nullable=False),
        sa.Column("payment_id", sa.String(20)),
        sa.Column("credit_note_id", sa.String(20)),
        sa.Column("invoice_id", sa.String(20), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["payment_id"], ["payment.id"], name="fk_allocation_payment_id"),
        sa.ForeignKeyConstraint(["credit_note_id"], ["credit_note.id"], name="fk_allocation_credit_note_id"),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name="fk_allocation_invoice_id"),
        sa.PrimaryKeyConstraint("seq", name="pk_allocation"),
    )
    for column in ("payment_id", "credit_note_id", "invoice_id"):
        op.create_index(f"ix_allocation_{column}", "allocation", [column])
    op.create_table(
        "adjustment",
        sa.Column("id", sa.String(20), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("company_id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20)),
        sa.Column("payment_id", sa.String(20)),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("method", sa.String(20), nullable=False),
        sa.Column("reference", sa.String(80), nullable=False),
        sa.Column("reason", sa.String(500), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name="fk_adjustment_company_id"),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name="fk_adjustment_invoice_id"),
        sa.ForeignKeyConstraint(["payment_id"], ["payment.id"], name="fk_adjustment_payment_id"),
        sa.PrimaryKeyConstraint("id", name="pk_adjustment"),
    )
    for column in ("company_id", "invoice_id", "payment_id"):
        op.create_index(f"ix_adjustment_{column}", "adjustment", [column])
    op.create_table(
        "ledger_entry",
        sa.Column("seq", SEQ, nullable=False),
        sa.Column("event", sa.String(30), nullable=False),
        sa.Column("subject", sa.String(80), nullable=False),
        sa.Column("source_id", sa.String(20), nullable=False),
        sa.Column("company_id", sa.String(20), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("happened_on", sa.Date(), nullable=False),
        sa.Column("made_by", sa.String(200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name="fk_ledger_entry_company_id"),
        sa.PrimaryKeyConstraint("seq", name="pk_ledger_entry"),
    )
    for column in ("source_id", "company_id", "on"):
        op.create_index(f"ix_ledger_entry_{column}", "ledger_entry", [column])
    op.create_table(
        "posting",
        sa.Column("seq", SEQ, nullable=False),
        sa.Column("entry_seq", SEQ, nullable=False),
        sa.Column("account", sa.String(120), nullable=False),
        sa.Column("company_id", sa.String(20), nullable=False),
        sa.Column("invoice_id", sa.String(20)),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["entry_seq"], ["ledger_entry.seq"], name="fk_posting_entry_seq"),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name="fk_posting_company_id"),
        sa.ForeignKeyConstraint(["invoice_id"], ["invoice.id"], name="fk_posting_invoice_id"),
        sa.PrimaryKeyConstraint("seq", name="pk_posting"),
    )
    op.create_index("ix_posting_entry_seq", "posting", ["entry_seq"])
    op.create_index("ix_posting_account", "posting", ["account"])
    op.create_index("ix_posting_invoice_id_account", "posting", ["invoice_id", "account"])
    op.create_index("ix_posting_company_id_account", "posting", ["company_id", "account"])


def payments_come_from_builders() -> None:
    """What was paid on an invoice becomes money of its builder's, and all of it gets its postings."""
    release("payment")
    with op.batch_alter_table("payment") as batch_op:
        batch_op.add_column(sa.Column("company_id", sa.String(20)))
    op.execute(
        "UPDATE payment SET company_id ="
        " (SELECT company_id FROM invoice WHERE invoice.id = payment.invoice_id)"
    )
    op.execute(
        "INSERT INTO allocation (payment_id, invoice_id, amount, made_by, made_at)"
        " SELECT id, invoice_id, amount, recorded_by, recorded_at FROM payment ORDER BY recorded_at, id"
    )
    op.execute("INSERT INTO invoice_lot (invoice_id, lot_id, speaks) SELECT id, lot_id, TRUE FROM invoice")
    post_what_there_is()
    with op.batch_alter_table("payment") as batch_op:
        batch_op.drop_index("ix_payment_invoice_id")
        batch_op.drop_constraint("fk_payment_invoice_id", type_="foreignkey")
        batch_op.drop_column("invoice_id")
        batch_op.alter_column("company_id", existing_type=sa.String(20), nullable=False)
        batch_op.create_foreign_key("fk_payment_company_id", "company", ["company_id"], ["id"])
        batch_op.create_index("ix_payment_company_id", ["company_id"])


def post_what_there_is() -> None:
    """Postings of invoices and payments from before there was a ledger, by the rules of this migration."""
    bind = op.get_bind()
    invoices = bind.execute(
        sa.text("SELECT id, number, company_id, document, total, issued_on FROM invoice ORDER BY number")
    )
    for id_, number, company, document, total, issued_on in invoices.all():
        document = json.loads(document) if isinstance(document, str) else document
        owed = document["owed"]
        posts = [("receivable", total)]
        posts += [(f"income: {line['what']}", -in_cents(line["amount"])) for line in owed["lines"]]
        posts += [("income: discount", in_cents(owed["discount"]))]
        posts += [("tax: by the rate book", -in_cents(owed["tax"]))]
        enter("invoiced", number, id_, company, issued_on, "Sillbook", issued_on, posts, id_)
    payments = bind.execute(
        sa.text(
            "SELECT id, company_id, invoice_id, amount, method, reference, received_on, recorded_by,"
            " recorded_at FROM payment ORDER BY recorded_at, id"
        )
    )
    for id_, company, invoice, amount, method, reference, day, by, at in payments.all():
        posts = [
            (f"cash: {method}", amount),
            ("credits", -amount),
            ("credits", amount),
            ("receivable", -amount),
        ]
        enter("received", reference or method, id_, company, day, by, at, posts, invoice)


def in_cents(amount: str) -> int:
    """Whole cents of an amount as documents write it."""
    whole, _, part = amount.lstrip("-").partition(".")
    count = int(whole) * 100 + int((part + "00")[:2])
    return -count if amount.startswith("-") else count


def enter(event, subject, source, company, day, by, at, posts, invoice) -> None:  # type: ignore[no-untyped-def]
    """One entry with its postings."""
    posts = [(account, amount) for account, amount in posts if amount]
    if not posts:
        return
    assert sum(amount for _, amount in posts) == 0, subject
    bind = op.get_bind()
    moment = at if isinstance(at, datetime) or len(str(at)) > 10 else f"{at} 00:00:00"
    seq = bind.execute(
        sa.text(
            'INSERT INTO ledger_entry (event, subject, source_id, company_id, "on", happened_on, made_by,'
            " made_at) VALUES (:event, :subject, :source, :company, :day, :day, :by, :at) RETURNING seq"
        ),
        {"event": event, "subject": subject, "source": source, "company": company, "day": day, "by": by,
         "at": moment},
    ).scalar_one()  # fmt: skip
    bind.execute(
        sa.text(
            "INSERT INTO posting (entry_seq, account, company_id, invoice_id, amount)"
            " VALUES (:seq, :account, :company, :invoice, :amount)"
        ),
        [
            {"seq": seq, "account": account, "company": company, "amount": amount,
             "invoice": invoice if account == "receivable" else None}
            for account, amount in posts
        ],
    )  # fmt: skip


def downgrade() -> None:
    """Back to one invoice a lot and one a payment: of a payment on several, the part of each.

    Lots with several invoices keep the one that speaks for them; the others cannot be told apart there.
    """
    release("payment")
    with op.batch_alter_table("payment") as batch_op:
        batch_op.add_column(sa.Column("invoice_id", sa.String(20)))
    op.execute(
        "UPDATE payment SET invoice_id = (SELECT MIN(invoice_id) FROM allocation"
        " WHERE allocation.payment_id = payment.id)"
    )
    op.execute("DELETE FROM payment WHERE invoice_id IS NULL")
    for table in ("posting", "ledger_entry", "adjustment", "allocation", "credit_note"):
        op.drop_table(table)
    with op.batch_alter_table("payment") as batch_op:
        batch_op.drop_index("ix_payment_company_id")
        batch_op.drop_constraint("fk_payment_company_id", type_="foreignkey")
        batch_op.drop_column("company_id")
        batch_op.alter_column("invoice_id", existing_type=sa.String(20), nullable=False)
        batch_op.create_foreign_key("fk_payment_invoice_id", "invoice", ["invoice_id"], ["id"])
        batch_op.create_index("ix_payment_invoice_id", ["invoice_id"])
    only_grows("payment", truncate=False)
    release("invoice")
    op.drop_table("invoice_lot")
    with op.batch_alter_table("invoice") as batch_op:
        batch_op.drop_index("ix_invoice_lot_id")
        batch_op.drop_index("ix_invoice_package_id")
        batch_op.drop_constraint("fk_invoice_package_id", type_="foreignkey")
        batch_op.drop_constraint("fk_invoice_rebills_id", type_="foreignkey")
        for column in ("kind", "package_id", "retained", "rebills_id"):
            batch_op.drop_column(column)
        batch_op.create_unique_constraint("uq_invoice_lot_id", ["lot_id"])
    freeze_invoices(FROZEN_BEFORE)
