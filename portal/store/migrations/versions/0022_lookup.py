"""The warranty register, who holds each warranty, lost numbers asked for, and recalls.

What a warranty is filed under stands in its frozen documents; for those that are there already it is read
out of them here, by the same rules by which it will be looked up (`core/cover/filing.py`).
"""

from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from alembic import op

from portal.core.cover.filing import Filed, filed
from portal.core.documents import WarrantyDocument, from_stored

revision = "0022"
down_revision = "0021"
branch_labels = None
depends_on = None

AT_ONCE = 500


def text(name: str, length: int, **more: Any) -> sa.Column[Any]:
    """A text that is always there."""
    return sa.Column(name, sa.String(length=length), nullable=False, **more)


def upgrade() -> None:
    register()
    holders()
    recalls()
    file_what_is_there()


def register() -> None:
    """What each warranty is filed under, and the numbers asked for."""
    op.create_table(
        "register_line",
        text("warranty_id", 20), text("company_id", 20), text("find_key", 64), text("place_key", 240),
        text("subdivision_key", 200), text("technician", 200), text("technician_key", 200), text("certificate", 200),
        text("certificate_key", 120), text("container_lot", 100), text("registration", 200),
        text("registration_key", 120), sa.Column("treated_on", sa.Date(), nullable=False),
        sa.Column("year", sa.Integer(), nullable=False), sa.Column("says", sa.Text(), nullable=False),
        text("state", 20), sa.Column("ends_on", sa.Date()),
        sa.ForeignKeyConstraint(["warranty_id"], ["warranty.id"], name=op.f("fk_register_line_warranty_id")),
        sa.ForeignKeyConstraint(["company_id"], ["company.id"], name=op.f("fk_register_line_company_id")),
        sa.PrimaryKeyConstraint("warranty_id", name=op.f("pk_register_line")),
        sa.UniqueConstraint("find_key", name=op.f("uq_register_line_find_key")),
    )  # fmt: skip
    for columns in (
        ("treated_on", "warranty_id"), ("company_id", "treated_on"), ("subdivision_key", "treated_on"),
        ("technician_key", "treated_on"), ("certificate_key", "treated_on"), ("place_key",),
        ("state", "treated_on", "warranty_id"), ("state", "year", "ends_on"),
    ):  # fmt: skip
        name = "treated_on" if columns[0] == "treated_on" else "_".join(columns)
        op.create_index(f"ix_register_line_{name}", "register_line", list(columns))
    op.create_index("ix_warranty_state_ends_on", "warranty", ["state", "ends_on"])
    follow()
    op.create_table(
        "register_container",
        text("container_key", 120), text("warranty_id", 20),
        sa.ForeignKeyConstraint(
            ["warranty_id"], ["warranty.id"], name=op.f("fk_register_container_warranty_id")
        ),
        sa.PrimaryKeyConstraint("container_key", "warranty_id", name=op.f("pk_register_container")),
    )  # fmt: skip
    op.create_index("ix_register_container_warranty_id", "register_container", ["warranty_id"])
    op.create_table(
        "lost_number",
        text("id", 20), text("place_key", 240), sa.Column("closed_in", sa.Date(), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lost_number")),
    )  # fmt: skip
    op.create_index("ix_lost_number_asked_at", "lost_number", ["asked_at"])


FOLLOW = "UPDATE register_line SET state = NEW.state, ends_on = NEW.ends_on WHERE warranty_id = NEW.id;"


def follow() -> None:
    """Whatever changes a warranty's state, the register follows: the database itself sees to that."""
    if op.get_bind().dialect.name == "sqlite":
        op.execute(
            f"CREATE TRIGGER warranty_is_followed AFTER UPDATE OF state, ends_on ON warranty BEGIN {FOLLOW} END"
        )
        return
    op.execute(
        "CREATE FUNCTION sillbook_follow_warranty() RETURNS trigger LANGUAGE plpgsql AS"
        f" $$ BEGIN {FOLLOW} RETURN NULL; END $$"
    )
    op.execute(
        "CREATE TRIGGER warranty_is_followed AFTER UPDATE OF state, ends_on ON warranty"
        " FOR EACH ROW EXECUTE FUNCTION sillbook_follow_warranty()"
    )


def follow_no_more() -> None:
    """Drop what `follow` made."""
    if op.get_bind().dialect.name == "sqlite":
        op.execute("DROP TRIGGER warranty_is_followed")
        return
    op.execute("DROP TRIGGER warranty_is_followed ON warranty")
    op.execute("DROP FUNCTION sillbook_follow_warranty()")


def holders() -> None:
    """Who holds each warranty; one at a time."""
    op.create_table(
        "holder",
        text("id", 20), text("warranty_id", 20), text("name", 200), text("email", 254), text("phone", 40),
        sa.Column("since", sa.Date(), nullable=False), sa.Column("until", sa.Date()), text("how", 20),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False), text("made_by", 200),
        sa.Column("ended_reason", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["warranty_id"], ["warranty.id"], name=op.f("fk_holder_warranty_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_holder")),
    )  # fmt: skip
    op.create_index("ix_holder_warranty_id_since", "holder", ["warranty_id", "since"])
    now = sa.text("until IS NULL")
    op.create_index(
        "uq_holder_warranty_id_now", "holder", ["warranty_id"], unique=True, sqlite_where=now,
        postgresql_where=now,
    )  # fmt: skip


def recalls() -> None:
    """What was found bad, which warranties it concerns, and the letters prepared."""
    op.create_table(
        "recall",
        text("id", 20), text("number", 30), text("kind", 20), text("value", 120), text("value_key", 120),
        sa.Column("since", sa.Date()), sa.Column("until", sa.Date()),
        sa.Column("found", sa.Text(), nullable=False), sa.Column("to_do", sa.Text(), nullable=False),
        text("made_by", 200), sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recall")),
        sa.UniqueConstraint("number", name=op.f("uq_recall_number")),
    )  # fmt: skip
    op.create_table(
        "recall_record",
        text("recall_id", 20), text("warranty_id", 20),
        sa.ForeignKeyConstraint(["recall_id"], ["recall.id"], name=op.f("fk_recall_record_recall_id")),
        sa.ForeignKeyConstraint(["warranty_id"], ["warranty.id"], name=op.f("fk_recall_record_warranty_id")),
        sa.PrimaryKeyConstraint("recall_id", "warranty_id", name=op.f("pk_recall_record")),
    )  # fmt: skip
    op.create_index("ix_recall_record_warranty_id", "recall_record", ["warranty_id"])
    op.create_table(
        "recall_letter",
        text("id", 20), text("recall_id", 20), sa.Column("warranty_id", sa.String(20)),
        sa.Column("company_id", sa.String(20)), sa.Column("holder_id", sa.String(20)),
        text("name", 200), text("email", 254),
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("subject", "text", "html")),
        text("state", 20), text("decided_by", 200), sa.Column("decided_at", sa.DateTime(timezone=True)),
        *(sa.ForeignKeyConstraint([f"{table}_id"], [f"{table}.id"], name=op.f(f"fk_recall_letter_{table}_id"))
          for table in ("recall", "warranty", "company", "holder")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recall_letter")),
    )  # fmt: skip
    op.create_index("ix_recall_letter_recall_id_state", "recall_letter", ["recall_id", "state"])


def file_what_is_there() -> None:
    """File the warranties that were made before there was a register."""
    lines, containers = (
        sa.Table(name, sa.MetaData(), autoload_with=op.get_bind())
        for name in ("register_line", "register_container")
    )
    for found in in_parts(op.get_bind()):
        filings = [
            ({"warranty_id": warranty_id, "company_id": company_id, "state": state, "ends_on": ends_on},
             as_filed(*documents))
            for warranty_id, company_id, state, ends_on, *documents in found
        ]  # fmt: skip
        own = ("warranty_id", "company_id", "state", "ends_on")
        names = [column.name for column in lines.columns if column.name not in own]
        op.bulk_insert(lines, [
            known | {name: getattr(one, name) for name in names} for known, one in filings
        ])  # fmt: skip
        op.bulk_insert(containers, [
            {"container_key": key, "warranty_id": known["warranty_id"]}
            for known, one in filings for key in one.containers
        ])  # fmt: skip


def in_parts(connection: sa.Connection) -> Iterator[list[Any]]:
    """Warranties with their documents and their records', some at a time."""
    warranty = sa.table("warranty", *(sa.column(name) for name in ("id", "company_id", "record_id", "state")),
                        sa.column("ends_on", sa.Date()), sa.column("document", sa.JSON()))  # fmt: skip
    record = sa.table("treatment_record", sa.column("id"), sa.column("document", sa.JSON()))
    company = sa.table("company", sa.column("id"), sa.column("name"))
    query = (
        sa.select(warranty.c.id, warranty.c.company_id, warranty.c.state, warranty.c.ends_on,
                  warranty.c.document, record.c.document, company.c.name)
        .join(record, record.c.id == warranty.c.record_id)
        .join(company, company.c.id == warranty.c.company_id).order_by(warranty.c.id)
    )  # fmt: skip
    last = ""
    while found := list(connection.execute(query.where(warranty.c.id > last).limit(AT_ONCE))):
        yield found
        last = found[-1][0]


def as_filed(promised: dict[str, Any], done: dict[str, Any], company: str) -> Filed:
    """What a warranty is filed under. The document of a record that was let go is empty."""
    said = from_stored(WarrantyDocument, promised)
    return filed(
        said.number, said.place, company, technician=done.get("applicator", {}).get("name", ""),
        certificate=said.certificate, container_lot=done.get("container_lot", ""),
        registration=said.registration, treated_on=said.treated_on,
    )  # fmt: skip


def downgrade() -> None:
    follow_no_more()
    op.drop_index("ix_warranty_state_ends_on", "warranty")
    for table in ("recall_letter", "recall_record", "recall", "holder", "lost_number", "register_container",
                  "register_line"):  # fmt: skip
        op.drop_table(table)
