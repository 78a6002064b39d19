"""The summary for machines as it travels in a paper: PDF/A-3 (ISO 19005-3), read by pypdf.

What a PDF/A-3 has to have, from the standard: its part in XMP (6.6.4), an output intent (6.2.2), the file
among the associated files with its relationship and its kind (6.8; clauses from memory). PDF/UA stays: tags,
title, language. No validator of PDF/A is at hand here, so this is what is looked at and no more.
"""

from __future__ import annotations

import io
import re
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from lxml import etree
from msgspec.structs import replace
from pypdf import PdfReader

from portal.core.documents import InvoiceDocument
from portal.papers import Papers
from tests.papers.conftest import FORMATS
from tests.parts import documents
from tests.parts.en16931 import against_schema, fired
from tests.parts.pdf import text_of

pytestmark = pytest.mark.slow

PAPERS = Papers("Letter", FORMATS, summaries=True)
RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
AID = "{http://www.aiim.org/pdfa/ns/id/}"
UAID = "{http://www.aiim.org/pdfua/ns/id/}"


def of(kind: str) -> Any:
    """The paper's document, of an office that entered its registration."""
    document: Any = documents.invoice() if kind == "invoice" else documents.credit_note()
    return replace(document, office=replace(document.office, tax_number="ST-604-118"))


@cache
def made(kind: str) -> bytes:
    """Made once for all tests that only read it."""
    return PAPERS.make(kind, of(kind), {})


def root(kind: str) -> Any:
    """The catalog."""
    return PdfReader(io.BytesIO(made(kind))).trailer["/Root"]


@pytest.mark.parametrize("kind", ["invoice", "credit-note"])
def test_it_says_it_is_pdf_a_3_and_pdf_ua(kind: str) -> None:
    told = etree.fromstring(root(kind)["/Metadata"].get_data())
    descriptions = told.findall(f"{RDF}RDF/{RDF}Description")
    attributes = {name: value for one in descriptions for name, value in one.attrib.items()}

    assert len(told.findall(f"{RDF}RDF")) == 1
    assert (attributes[f"{AID}part"], attributes[f"{AID}conformance"]) == ("3", "A")
    assert [one.findtext(f"{UAID}part") for one in descriptions if one.find(f"{UAID}part") is not None] == [
        "1"
    ]
    assert root(kind)["/OutputIntents"][0]["/S"] == "/GTS_PDFA1"
    assert root(kind)["/MarkInfo"]["/Marked"]
    assert root(kind)["/Lang"] == "en-US"
    assert root(kind)["/ViewerPreferences"]["/DisplayDocTitle"]


@pytest.mark.parametrize("kind", ["invoice", "credit-note"])
def test_the_file_is_associated_once_as_an_alternative(kind: str) -> None:
    (file,) = root(kind)["/AF"]
    spec, number = file.get_object(), of(kind).number

    assert spec["/AFRelationship"] == "/Alternative"
    assert (spec["/F"], spec["/UF"]) == (f"{number}.xml", f"{number}.xml")
    assert spec["/EF"]["/F"]["/Subtype"] == "/text/xml"
    assert spec["/EF"]["/F"]["/Params"]["/ModDate"]
    assert root(kind)["/Names"]["/EmbeddedFiles"]["/Names"][1].idnum == file.idnum


@pytest.mark.parametrize("kind", ["invoice", "credit-note"])
def test_what_is_read_back_is_valid_and_says_what_the_paper_says(kind: str) -> None:
    reader = PdfReader(io.BytesIO(made(kind)))
    (xml,) = reader.attachments[f"{of(kind).number}.xml"]
    document = etree.fromstring(xml)

    assert against_schema(xml) == []
    assert fired(xml)[0] == []
    due = Decimal(document.findtext("{*}LegalMonetaryTotal/{*}PayableAmount"))
    shown = re.findall(r"\$([\d,]+\.\d\d)", text_of(made(kind)))
    assert f"{due:,}" in shown
    for amount in document.findall("{*}InvoiceLine/{*}LineExtensionAmount"):
        assert f"{Decimal(amount.text):,}" in shown
    assert xml == PAPERS.summary(of(kind))


def test_the_same_paper_is_the_same_bytes() -> None:
    assert PAPERS.make("invoice", of("invoice"), {}) == made("invoice")


def test_it_looks_like_the_paper_without_it() -> None:
    plain = Papers("Letter", FORMATS).make("invoice", of("invoice"), {})

    assert text_of(plain) == text_of(made("invoice"))
    assert "/AF" not in PdfReader(io.BytesIO(plain)).trailer["/Root"]


def test_a_draft_carries_none() -> None:
    draft = PAPERS.make("invoice", replace(of("invoice"), number=""), {"draft": True})

    assert not PdfReader(io.BytesIO(draft)).attachments


def test_no_program_reads_more_than_the_paper_can_say() -> None:
    taxed: InvoiceDocument = documents.invoice()

    assert PAPERS.summary(taxed) is None
    assert not PdfReader(io.BytesIO(PAPERS.make("invoice", taxed, {}))).attachments
    assert PAPERS.summary(documents.quote()) is None
