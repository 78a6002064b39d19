"""Many lots at once, at a browser without scripts: each step's page, what it refuses, and what comes back."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from portal.acts import many_entered
from portal.core.sheets.columns import REASON
from portal.core.sheets.table import read_table
from portal.store.tables import Lot, LotList
from tests.parts.house import House
from tests.parts.sheets import HEADERS, add_alder, big_sheet
from tests.web.visits import Visits, error_at, form_of, make_visits, text_of

pytestmark = pytest.mark.slow

HEAD = "Lot,Address,Town,State,ZIP code,Foundation,Exterior feet,Interior feet,Siding\n"
GOOD = "Lot 1,1 Weir Road,Marlow Ferry,IA,52999,slab,168,128,open\n"
ALSO = "Lot 2,2 Weir Road,Marlow Ferry,IA,52999,slab,168,128,sided\n"
WRONG = "Lot 3,3 Weir Road,Marlow Ferry,IA,52999,slab,168,128,=vinyl\n"


@pytest.fixture
def visits(lite: House) -> Visits:
    return make_visits(lite)


@pytest.fixture
def client(visits: Visits) -> FlaskClient:
    """The builder's browser."""
    return visits.by(visits.house.builder)


def send(client: FlaskClient, data: bytes | str, name: str = "spring.csv", **typed: str) -> TestResponse:
    """Send a file through the page's own form."""
    form = form_of(client.get("/many"), "/many") | typed
    raw = data if isinstance(data, bytes) else data.encode()
    return client.post(
        "/many", data=form | {"file": (BytesIO(raw), name)}, content_type="multipart/form-data"
    )


def paste(client: FlaskClient, text: str, **typed: str) -> TestResponse:
    form = form_of(client.get("/many"), "/many") | {"pasted": text} | typed
    form.pop("file", None)
    return client.post("/many", data=form, content_type="multipart/form-data")


def sent(client: FlaskClient, data: bytes | str, **typed: str) -> str:
    """The path of the list that was read from a file."""
    answer = send(client, data, **typed)
    assert answer.status_code == 303, text_of(answer)
    return str(answer.headers["Location"])


def press(client: FlaskClient, path: str, act: str) -> TestResponse:
    form = form_of(client.get(path), f"{path}/{act}")
    return client.post(f"{path}/{act}", data=form)


def name_with(client: FlaskClient, path: str, chosen: dict[str, str]) -> None:
    form = form_of(client.get(f"{path}/columns"), f"{path}/columns")
    assert client.post(f"{path}/columns", data=form | chosen).status_code == 303


def test_a_file_is_read_looked_at_asked_for_and_done(client: FlaskClient, lite: House) -> None:
    path = sent(client, HEAD + GOOD + ALSO + WRONG)
    looked = text_of(client.get(path))
    press(client, path, "enter")
    done = client.get(path)

    assert "spring" in looked and "To ask for 2 lots To mend 1 row Lineal feet 592 ft" in looked
    assert "Siding: “=vinyl” is no siding status; write open, wrapped or sided." in looked
    assert "Ask for these 2 prices" in looked
    assert "Asked for 2 lots" in text_of(done) and "Refresh" not in done.headers
    assert "Download the row to mend" in text_of(done)
    assert re.search(r'href="/packages/\w{20}">Open the package', done.get_data(as_text=True))
    assert lite.rows(Lot) == 2


def test_what_is_pasted_from_a_sheet_is_read_like_a_file(client: FlaskClient) -> None:
    answer = paste(client, (HEAD + GOOD).replace(",", "\t"), name="From my sheet")

    assert answer.status_code == 303
    assert "From my sheet" in text_of(client.get(answer.headers["Location"]))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"PK\x03\x04....", "This is a spreadsheet's own file. Save the sheet as CSV"),
        (b"Lot,Town\n\0,x\n", "Line 2 has a character that is no text."),
        (b"", "There is nothing in it."),
        ((HEAD + GOOD * 501).encode(), "There are 501 rows; at most 500 go at once."),
    ],
)
def test_a_file_that_is_no_sheet_is_told_beside_its_field(
    client: FlaskClient, data: bytes, words: str
) -> None:
    answer = send(client, data)

    assert answer.status_code == 422
    assert error_at(answer, "file").startswith(words)


def test_what_was_pasted_is_kept_where_it_cannot_be_read(client: FlaskClient) -> None:
    answer = paste(client, 'Lot,Town\n"Lot 1,x\n', name="Mine")

    assert answer.status_code == 422
    assert error_at(answer, "pasted").startswith("The row that begins in line 2 cannot be read")
    assert form_of(answer, "/many")["pasted"] == 'Lot,Town\n"Lot 1,x\n'
    assert form_of(answer, "/many")["name"] == "Mine"


def test_a_file_and_pasted_rows_are_one_too_many(client: FlaskClient, lite: House) -> None:
    answer = send(client, HEAD + GOOD, pasted="Lot\n1")

    assert error_at(answer, "pasted") == "There is a file, and there are pasted rows. Send one of the two."
    assert lite.rows(LotList) == 0


def test_columns_are_named_where_they_have_to_be_and_the_next_file_names_itself(client: FlaskClient) -> None:
    mine = HEAD.replace("Siding", "Cladding").replace("Lot,", "Ref,").replace("Foundation", "")
    path = sent(client, mine + GOOD.replace("slab", ""))
    assert client.get(path).headers["Location"] == f"{path}/columns"

    page = client.get(f"{path}/columns")
    form = form_of(page, f"{path}/columns")
    refused = client.post(f"{path}/columns", data=form)
    named = client.post(
        f"{path}/columns", data=form | {"column-0": "lot", "column-8": "siding", "fill-foundation": "slab"}
    )

    assert "Column 6, without a name" in text_of(page) and "“1 Weir Road”" in text_of(page)
    assert refused.status_code == 422
    assert error_at(refused, "fill-foundation") == "No column is named Foundation, and every lot needs it."
    assert "No column is named Siding, and a house by its feet needs it." in text_of(refused)
    assert named.status_code == 303
    assert "To ask for 1 lot" in text_of(client.get(path))
    again = sent(client, mine.replace(",,", ",Foundation,") + ALSO)
    assert "To ask for 1 lot" in text_of(client.get(again))


def test_the_rows_to_mend_come_back_as_they_were_with_what_to_mend(client: FlaskClient) -> None:
    path = sent(client, (HEAD + GOOD + WRONG).replace(",", ";"))

    answer = client.get(f"{path}/rows-to-mend.csv")

    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="rows-to-mend.csv"'
    text = answer.get_data().decode("utf-8-sig")
    head, row = text.split("\r\n")[:2]
    assert head == HEAD.strip().replace(",", ";") + f";{REASON}"
    assert row.startswith("Lot 3;3 Weir Road;Marlow Ferry;IA;52999;slab;168;128;'=vinyl;")
    assert row.endswith('"Siding: “=vinyl” is no siding status; write open, wrapped or sided."')
    (read,) = read_table(answer.get_data()).records
    assert read.cells == tuple(WRONG.strip().split(","))


def test_what_held_for_all_rows_is_asked_again_so_that_the_same_file_enters_nothing_twice(
    client: FlaskClient, lite: House
) -> None:
    sheet = HEAD.replace("Siding", "Cladding") + GOOD + ALSO
    first = sent(client, sheet)
    name_with(client, first, {"column-8": "siding", "fill-subdivision": "Weir Bend"})
    press(client, first, "enter")
    client.get(first)

    again = sent(client, sheet)
    page = client.get(f"{again}/columns")
    name_with(client, again, {})

    assert client.get(again).status_code == 200
    assert form_of(page, f"{again}/columns")["fill-subdivision"] == "Weir Bend"
    assert "It held for your last sheet with these columns" in text_of(page)
    assert "entered before 2" in text_of(client.get(again)) and lite.rows(Lot) == 2


def test_rows_that_come_back_say_what_was_said_for_all(client: FlaskClient) -> None:
    sheet = (HEAD + GOOD + WRONG).replace(",slab,", ",,")
    path = sent(client, sheet)
    name_with(client, path, {"fill-foundation": "crawl space", "fill-subdivision": "Weir Bend"})

    back = client.get(f"{path}/rows-to-mend.csv").get_data()
    mended = sent(client, back.replace(b"'=vinyl", b"open"))

    head, row = back.decode("utf-8-sig").split("\r\n")[:2]
    assert head == HEAD.strip() + f",Subdivision,{REASON}"
    assert row.startswith("Lot 3,3 Weir Road,Marlow Ferry,IA,52999,crawl space,168,128,'=vinyl,Weir Bend,")
    assert "To ask for 1 lot" in text_of(client.get(mended))
    assert "Weir Bend, Marlow Ferry" in text_of(client.get(mended))


def test_what_stands_in_a_column_is_shown_once(client: FlaskClient) -> None:
    path = sent(client, HEAD.replace("Siding", "Cladding") + GOOD + ALSO)

    page = text_of(client.get(f"{path}/columns"))

    assert "“1 Weir Road”, “2 Weir Road”" in page
    assert "“Marlow Ferry”" in page and "“Marlow Ferry”, “Marlow Ferry”" not in page


def test_the_empty_sheet_names_itself(client: FlaskClient) -> None:
    empty = client.get("/many/lots.csv").get_data()
    columns = empty.decode("utf-8-sig").strip().split(",")
    typed = {"Lot": "Lot 1", "House number": "1", "Street": "Weir Road", "Town": "T", "State": "IA",
             "ZIP code": "52999", "Foundation": "slab", "Width": "57", "Depth": "27",
             "Siding": "open"}  # fmt: skip

    path = sent(client, empty + ",".join(typed.get(column, "") for column in columns).encode())

    assert "To ask for 1 lot To mend 0 rows" in text_of(client.get(path))
    assert all(column in text_of(client.get("/many/columns")) for column in columns)


def test_a_page_that_waits_comes_again_by_itself_unless_it_is_held_still(
    client: FlaskClient, lite: House
) -> None:
    rows = "".join(GOOD.replace("Lot 1,1", f"Lot {n},{n}") for n in range(1, 251))
    path = sent(client, HEAD + rows)
    press(client, path, "enter")

    first = client.get(path)
    held = client.get(f"{path}?still=1")
    second, last = client.get(path), client.get(path)

    assert first.headers["Refresh"] == "2" and "100 of 250 lots are entered." in text_of(first)
    assert "Refresh" not in held.headers and "Look again" in text_of(held)
    assert "100 of 250 lots are entered." in text_of(held)
    assert second.headers["Refresh"] == "2" and "200 of 250 lots are entered." in text_of(second)
    assert "Refresh" not in last.headers and "Asked for 250 lots" in text_of(last)
    assert lite.rows(Lot) == 250


def test_a_list_that_was_left_is_found_again(client: FlaskClient, lite: House) -> None:
    path = sent(client, HEAD + GOOD)
    press(client, path, "enter")

    begun = text_of(client.get("/many"))
    many_entered.go_on_with_all(lite.parts)
    done = text_of(client.get("/many"))

    assert "spring" in begun and "being entered 1 0 0" in begun
    assert "asked for 1 1 0" in done


def test_sent_twice_it_is_entered_before_and_leads_to_its_lot(client: FlaskClient, lite: House) -> None:
    first = sent(client, HEAD + GOOD)
    press(client, first, "enter")
    client.get(first)

    second = client.get(sent(client, HEAD + GOOD))

    assert "entered before" in text_of(second) and "There is no row here" in text_of(second)
    assert re.search(r'href="/lots/\w{20}">Lot 1, 1 Weir Road', second.get_data(as_text=True))
    assert lite.rows(Lot) == 1


def test_a_row_is_shown_by_plan_or_by_its_feet(client: FlaskClient, lite: House) -> None:
    add_alder(lite)
    place = ["Marlow Ferry", "IA", "52999", "slab"]
    rows = [
        ["Lot 1", "", "", "1 Weir Road", *place, "Alder, mirrored", "", "", "", "", "", ""],
        ["Lot 2", "", "", "2 Weir Road", *place, "", "168", "128", "2", "open", "", ""],
    ]
    path = sent(client, "\n".join("\t".join(row) for row in (list(HEADERS), *rows)))

    shown = text_of(client.get(path))

    assert "Alder, mirrored" in shown
    assert "2 stories, each outside 168, inside 128" in shown


def test_a_house_by_width_and_depth_alone_is_told_as_estimated(client: FlaskClient) -> None:
    path = sent(client, HEAD.replace("Exterior feet,Interior feet", "Width,Depth") + GOOD)

    assert "outside 168 by 128, inside estimated" in text_of(client.get(path))


def test_a_long_list_is_shown_a_page_at_a_time_and_by_verdict(client: FlaskClient, lite: House) -> None:
    add_alder(lite)
    path = sent(client, big_sheet()[0])

    first, wrong = client.get(path), text_of(client.get(f"{path}?show=mend"))

    assert "To ask for 463 lots To mend 37 rows" in text_of(first)
    assert first.get_data(as_text=True).count('scope="row"') == 100
    assert f'rel="next" href="{path}?from=100"' in first.get_data(as_text=True)
    assert wrong.count("to mend") >= 37 and "Lot 2, 2 Sluice Road" in wrong
    assert client.get(f"{path}?from=-5&show=nonsense").status_code == 200
    assert client.get(f"{path}?from=99999999999999999999").status_code == 200


def test_another_builder_finds_no_such_list(visits: Visits) -> None:
    path = sent(visits.by(visits.house.builder), HEAD + GOOD + WRONG)
    rival = visits.by(visits.house.rival)

    read, done = ("", "/columns", "/rows-to-mend.csv"), ("/columns", "/check", "/enter")
    tried = [("GET", path + end) for end in read] + [("POST", path + end) for end in done]
    for method, address in tried:
        assert rival.open(address, method=method).status_code == 404, address
    assert "spring" not in text_of(rival.get("/many"))
