"""A builder's papers by subdivision and by lot, and a ZIP of them that holds the very papers."""

from __future__ import annotations

import csv
import hashlib
import io
import zipfile
from dataclasses import replace

import pytest

from portal.acts import papers, shelves
from portal.acts.papers import OF_RECORD
from portal.acts.parts import Actor
from portal.core.errors import NotAllowed, NotFound
from portal.store.reads import LotFilter
from tests.acts.test_colleagues import change, joined
from tests.parts.house import House
from tests.parts.packages import sent_package

pytestmark = pytest.mark.slow


def opened(house: House, found: shelves.Shelves, by: Actor | None = None) -> dict[str, bytes]:
    """The files of a ZIP, by name, in their order."""
    whole = b"".join(shelves.zip_of(house.parts, by or house.builder, found))
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        assert archive.testzip() is None
        return {info.filename: archive.read(info) for info in archive.infolist()}


def every(house: House, by: Actor | None = None, **which: str) -> shelves.Shelves:
    return shelves.shelves(house.parts, by or house.builder, LotFilter(**which))  # type: ignore[arg-type]


def test_papers_stand_by_subdivision_what_changed_last_on_top(house: House) -> None:
    first = house.paid(name="Lot 1", subdivision="Quarry Bend")
    house.clock.pass_by(hours=1)
    other = house.sent(name="Lot 2", subdivision="Osier Flats")
    house.clock.pass_by(hours=1)
    last = house.sent(name="Lot 3", subdivision="Quarry Bend")
    house.asked(name="Lot 4")  # nothing was sent of it

    found = every(house)

    shown = [(shelf.subdivision, [row.id for row, _ in shelf.lots]) for shelf in found.shelves]
    assert shown == [("Quarry Bend", [last, first]), ("Osier Flats", [other])]
    assert found.count == 10
    kinds = {paper.kind: paper.day for paper in found.shelves[0].lots[1][1]}
    assert set(kinds) == {"quote", "acceptance", *OF_RECORD, "invoice", "certificate"}
    assert set(kinds.values()) == {house.sheet(first).record.treated_on}  # type: ignore[union-attr]
    assert [row.id for s in every(house, subdivision="Osier Flats").shelves for row, _ in s.lots] == [other]
    assert every(house, by=house.rival).count == 0


def test_a_zip_holds_the_very_papers_and_says_what_each_is(lite: House) -> None:
    lot = lite.paid(name="Lot 7", subdivision="Quarry Bend")
    plain = lite.sent(name="Lot 8", subdivision="")

    files = opened(lite, every(lite))

    names = list(files)
    assert names[-1] == "index.csv"
    number = lite.sheet(lot).revisions[0].title.replace(" rev. ", "-rev-")
    assert f"Quarry Bend/Lot 7/quote-{number}.pdf" in names
    assert sum(name.startswith("Quarry Bend/Lot 7/") for name in names) == 8
    assert sum(name.startswith("No subdivision/Lot 8/") for name in names) == 1
    rows = list(csv.DictReader(io.StringIO(files["index.csv"].decode("utf-8-sig"))))
    assert [row["file"] for row in rows] == names[:-1]
    for row in rows:
        content = files[row["file"]]
        assert row["sha256"] == hashlib.sha256(content).hexdigest() and int(row["bytes"]) == len(content)
        single = papers.paper(lite.parts, lite.builder, plain if row["lot"] == "Lot 8" else lot, row["paper"])
        assert single.content == content and row["file"].endswith(single.name)


def test_the_same_papers_give_the_same_zip(lite: House) -> None:
    lite.paid()

    first, second = (b"".join(shelves.zip_of(lite.parts, lite.builder, every(lite))) for _ in range(2))

    assert first == second


def test_a_paper_is_made_once_however_often_it_is_put_into_a_zip(lite: House) -> None:
    lite.paid()
    opened(lite, every(lite))
    made = lite.parts.papers.made  # type: ignore[attr-defined]

    opened(lite, every(lite))

    assert made == 8 and lite.parts.papers.made == made  # type: ignore[attr-defined]


def test_odd_and_like_names_lead_nowhere_else_and_overwrite_nothing(lite: House) -> None:
    for house_number in ("101", "102"):
        lite.sent(name="LOT 7" if house_number == "102" else "Lot 7", house_number=house_number)
    lite.sent(name="../../evil", subdivision="..\\=cmd|calc")
    lite.sent(name="=1+1", subdivision="Quarry Bend")

    files = opened(lite, every(lite))

    folders = {name.rpartition("/")[0] for name in files}
    assert folders == {"", "Quarry Bend/Lot 7, 101 Lime Kiln Lane", "Quarry Bend/LOT 7, 102 Lime Kiln Lane",
                       "Quarry Bend/=1+1", "=cmd-calc/evil"}  # fmt: skip
    index = files["index.csv"].decode("utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(index)) for cell in row]
    assert not [cell for cell in cells if cell[:1] in "=+-@" and cell]
    assert "'=1+1" in cells


def test_a_zip_of_one_lot_and_of_nobody_elses(lite: House) -> None:
    lot, other = lite.sent(name="Lot 7"), lite.sent(name="Lot 8")
    asked = lite.asked()

    files = opened(lite, shelves.of_one_lot(lite.parts, lite.builder, lot))

    assert {name.rpartition("/")[0] for name in files} == {"Quarry Bend/Lot 7", ""}
    for who, lot_id in ((lite.rival, other), (lite.builder, asked), (lite.builder, "none")):
        with pytest.raises(NotFound):
            shelves.of_one_lot(lite.parts, who, lot_id)


def test_without_money_there_is_no_invoice_in_a_zip(lite: House) -> None:
    asker, lot = joined(lite), lite.paid()

    files = opened(lite, every(lite, by=asker), by=asker)

    assert len(files) == 8 and not any("invoice" in name for name in files)
    assert b"invoice" not in files["index.csv"]
    assert any("invoice" in name for name in opened(lite, shelves.of_one_lot(lite.parts, lite.builder, lot)))


def test_a_right_that_is_taken_while_a_zip_is_made_ends_it(lite: House) -> None:
    books, _lot = joined(lite, "money"), lite.paid()
    found = every(lite, by=books)
    change(lite, lite.builder, books)

    with pytest.raises(NotAllowed):
        opened(lite, found, by=replace(books, rights=frozenset()))


def test_packages_lie_with_the_papers_where_all_is_asked_for(lite: House) -> None:
    package = sent_package(lite)

    found = every(lite)

    assert [(one.package_id, one.issue) for one in found.covers] == [(package, 1)]
    assert sum(name.startswith("Packages/") for name in opened(lite, found)) == 1
    assert every(lite, text="Lot").covers == ()
