"""What holds for every paper: its frame, its tags, its bytes, and that it asks nobody for anything."""

from __future__ import annotations

import hashlib
import logging
import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import msgspec
import pytest

from portal.core.errors import NotFound
from portal.papers import Papers
from portal.papers.press import Closed
from tests.papers.conftest import FORMATS
from tests.parts import documents
from tests.parts.pdf import bare, elements, letters_outside, opened, text_of

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[2]
FOUND = {"1.1.S": "sided", "1.1.W": "sided"}
MADE: dict[str, tuple[msgspec.Struct, str, int]] = {
    "quote": (documents.quote(), "Quote Q-2027-0012 rev. 2", 3),
    "package": (documents.cover(), "Package P-2027-0003", 2),
    "acceptance": (documents.quote(), "Acceptance Q-2027-0012 rev. 2", 1),
    "field-sheet": (documents.field_sheet(), "Field sheet J-2027-0009", 2),
    "load-sheet": (documents.load_sheet(), "Load sheet Mar 9, 2027", 1),
    "treatment-record": (documents.treatment(found=FOUND), "Treatment record TR-2027-0009", 2),
    "posted-notice": (documents.treatment(found=FOUND), "Posted notice TR-2027-0009", 1),
    "building-statement": (documents.treatment(found=FOUND), "Statement of treatment TR-2027-0009", 1),
    "service-figures": (documents.treatment(found=FOUND), "Service figures TR-2027-0009", 1),
    "invoice": (documents.invoice(found=FOUND), "Invoice INV-2027-0009", 1),
    "credit-note": (documents.credit_note(), "Credit note CN-2027-0002", 1),
    "retainage": (documents.retainage(), "Retainage released RR-2027-0001", 1),
    "statement": (documents.statement(), "Statement STM-2027-0003", 1),
    "certificate": (documents.warranty(), "Warranty certificate K7QM-2WHT-9RC", 2),
}
KINDS = list(MADE)
#: What a paper is of, in its title and in the title block, where it is not lot 7.
WHOLE = {
    "package": "Alder Lane, first two",
    "load-sheet": "Noor Vale",
    "statement": "Harrow Homes",
}


def make(papers: Papers, kind: str) -> bytes:
    return papers.make(kind, MADE[kind][0], documents.BESIDE[kind])


@cache
def made(kind: str, size: str = "Letter") -> bytes:
    """A paper made once for all tests that only read it."""
    return make(PAPERS[size], kind)


PAPERS = {size: Papers(size, FORMATS) for size in ("Letter", "A4")}


@pytest.mark.parametrize("kind", KINDS)
def test_a_paper_has_its_title_its_language_and_its_office(kind: str) -> None:
    read = opened(made(kind))

    assert read.metadata is not None
    assert read.metadata.title == f"{MADE[kind][1]}, {WHOLE.get(kind, 'Lot 7, 112 Alder Lane')}"
    assert read.metadata.author == "Sill & Plate Treatment"
    assert read.root_object["/Lang"] == "en-US"


@pytest.mark.parametrize("kind", KINDS)
def test_a_paper_takes_as_many_pages_as_meant_and_counts_them(kind: str) -> None:
    read = opened(made(kind))

    count = MADE[kind][2]
    assert len(read.pages) == count
    for number, page in enumerate(read.pages, 1):
        assert bare(f"{MADE[kind][1]}. Page {number} of {count}") in bare(page.extract_text())


@pytest.mark.parametrize("kind", KINDS)
def test_a_paper_is_tagged_and_says_so(kind: str) -> None:
    """ISO 14289-1 (PDF/UA-1): marked, titled in the window, a structure tree, its identifier."""
    content = made(kind)

    root: Any = opened(content).root_object
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b"pdfuaid:part" in root["/Metadata"].get_object().get_data()
    kinds = {element["/S"] for element in elements(content)}
    assert {"/H1", "/P", "/Table", "/TH", "/TD"} <= kinds


@pytest.mark.parametrize("kind", KINDS)
def test_every_drawing_has_words_in_its_place(kind: str) -> None:
    figures = [element for element in elements(made(kind)) if element["/S"] == "/Figure"]

    assert all(str(figure.get("/Alt", "")).strip() for figure in figures)


@pytest.mark.parametrize("kind", KINDS)
def test_the_title_block_stands_on_the_first_page_only(kind: str) -> None:
    pages = [bare(page.extract_text()) for page in opened(made(kind)).pages]

    assert [bare("of 5") in page and bare("Drawing") in page for page in pages] == [True] + [False] * (
        len(pages) - 1
    )
    assert bare(WHOLE.get(kind, "Lot 7 · Alder Meadow")) in pages[0]


@pytest.mark.parametrize("size", ["Letter", "A4"])
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_stands_outside_the_frame(size: str, kind: str) -> None:
    content = made(kind, size)

    assert letters_outside(content, 0.25) == []


@pytest.mark.parametrize(("size", "points"), [("Letter", (612, 792)), ("A4", (595.28, 841.89))])
def test_a_sheet_has_the_size_that_was_set(size: str, points: tuple[float, float]) -> None:
    """US Letter 8.5 by 11 in (ANSI/ASME Y14.1, size A); A4 210 by 297 mm (ISO 216)."""
    box = opened(made("invoice", size)).pages[0].mediabox

    assert (float(box.width), float(box.height)) == pytest.approx(points, abs=0.01)


HASHES = """
import sys
sys.path.insert(0, {root!r})
from tests.papers.test_every_paper import KINDS, PAPERS, hashed
print([hashed(PAPERS["Letter"], kind) for kind in {order}])
"""


def hashed(papers: Papers, kind: str) -> str:
    return hashlib.sha256(make(papers, kind)).hexdigest()


@pytest.mark.slow
def test_the_same_document_gives_the_same_bytes_in_any_process_and_order() -> None:
    def run(order: str, seed: str) -> list[str]:
        code = HASHES.format(root=str(ROOT), order=order)
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment)
        assert said.returncode == 0, said.stderr
        return sorted(said.stdout.strip("[]\n").split(", "))

    assert run("KINDS", "1") == run("KINDS[::-1]", "2")


@pytest.mark.parametrize("kind", KINDS)
def test_the_press_has_nothing_to_complain_of(
    papers: Papers, kind: str, caplog: pytest.LogCaptureFixture
) -> None:
    logger = logging.getLogger("weasyprint")
    logger.addHandler(caplog.handler)
    try:
        make(papers, kind)
    finally:
        logger.removeHandler(caplog.handler)

    assert [record.getMessage() for record in caplog.records if record.levelno >= logging.WARNING] == []


def test_a_paper_made_again_is_the_same(papers: Papers) -> None:
    assert hashed(papers, "quote") == hashed(papers, "quote")


@pytest.mark.parametrize(
    "address",
    [
        "http://127.0.0.1:8131/x.png",
        "https://www.example.com/x.png",
        "file:///etc/hostname",
        "data:image/png;base64,AA",
        "paper:faces/../LICENSE.txt",
        "paper:other/SourceSansPro-Regular.ttf",
    ],
)
def test_a_paper_that_reaches_out_is_not_made(papers: Papers, address: str) -> None:
    html = f'<html lang="en"><title>x</title><p>x<img alt="x" src="{address}">'

    with pytest.raises(Closed):
        papers.press().print(html)


def test_what_people_type_is_text_and_nothing_else(papers: Papers) -> None:
    typed = '<img src="http://127.0.0.1:8131/x.png"> & {{ 7 * 7 }} </p><style>p {display: none}</style>'

    content = papers.make("quote", documents.quote(remarks=typed), documents.BESIDE["quote"])

    assert bare(typed) in bare(text_of(content))


def test_there_is_no_paper_of_another_kind(papers: Papers) -> None:
    with pytest.raises(NotFound):
        papers.make("poster", documents.quote(), {})
