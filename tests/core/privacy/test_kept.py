"""The table of what is kept names every column of the store that holds somebody's name or address."""

from __future__ import annotations

from portal.core.privacy.kept import KEPT
from portal.store.tables import Base

#: What a person's name, mail address or phone is kept under, in this house.
PERSONAL = {"name", "email", "phone", "to", "answered_name", "left_email", "evidence_name"}
#: Columns of these names that name no person.
OF_THINGS = {
    "number_series.name", "lot.name", "subdivision.name", "package.name", "plan.name", "house_plan.name",
    "bank_list.name", "lot_list.name", "jurisdiction.name", "agreement.name",
}  # fmt: skip


def columns() -> set[str]:
    return {
        f"{table.name}.{column.name}" for table in Base.metadata.tables.values() for column in table.columns
    }


def test_every_column_of_a_name_or_address_is_in_the_table() -> None:
    named = {one for kept in KEPT for one in kept.columns}
    personal = {one for one in columns() if one.partition(".")[2] in PERSONAL} - OF_THINGS

    assert personal <= named


def test_the_table_names_only_columns_there_are() -> None:
    assert {one for kept in KEPT for one in kept.columns} <= columns()


def test_what_is_named_to_be_no_persons_is_there() -> None:
    assert OF_THINGS & columns(), "or this list says nothing"
