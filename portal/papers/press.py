"""From HTML to PDF: the papers' own style, faces from the installed font package, and no way out."""

from __future__ import annotations

import atexit
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from threading import Lock
from typing import Any

import font_source_sans_pro  # type: ignore[import-untyped]
from weasyprint import CSS, HTML, Attachment
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

STYLES = Path(__file__).resolve().parents[2] / "static" / "css" / "papers"
FACES = Path(font_source_sans_pro.font_directory)
FACE_ADDRESS = "paper:faces/"


class Closed(FatalURLFetchingError):  # type: ignore[misc]
    """A paper asked for something that is not the house's own. The paper is then not made."""


class OwnFaces(URLFetcher):  # type: ignore[misc]
    """Hands out the faces of the installed font package and refuses everything else, files included."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols=("paper",))

    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:
        """The bytes of a face. Raises `Closed` for any other address."""
        name = url.removeprefix(FACE_ADDRESS)
        if not url.startswith(FACE_ADDRESS) or not re.fullmatch(r"[A-Za-z]+-[A-Za-z]+\.ttf", name):
            raise Closed(f"a paper may not fetch {url[:80]}")
        return URLFetcherResponse(url, (FACES / name).read_bytes(), {"Content-Type": "font/ttf"})


def style(paper_size: str) -> str:
    """The papers' style sheet. Tokens are put in here, once: WeasyPrint would do so for every element."""
    tokens = (STYLES / "tokens.css").read_text()
    text = (STYLES / "faces.css").read_text() + (STYLES / "paper.css").read_text()
    values = {"size": paper_size} | dict(re.findall(r"--([\w-]+):\s*([^;]+);", tokens))
    return re.sub(r"var\(--([\w-]+)\)", lambda used: values[used[1]], text)


@dataclass(frozen=True, slots=True)
class Attached:
    """A file that travels in a paper, saying the same as it does. `day` is when both were made."""

    name: str
    about: str
    content: bytes
    day: date


#: A PDF/A-3 has to say what a term of PDF/UA means before it may use it (ISO 19005-3, 6.6.2.3).
ALSO_UA = b"""<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"
 xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfuaid:part>1</pdfuaid:part>
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that is met</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
"""


def _as_alternative(file: Attached) -> Attachment:
    at = datetime.combine(file.day, time(), UTC)
    return Attachment(
        string=file.content, name=file.name, description=file.about, created=at, modified=at,
        # The same invoice in another form (ISO 32000-2, 7.11.3).
        relationship="Alternative",
    )  # fmt: skip


def _finish(_document: object, pdf: Any) -> None:
    """Say that it is PDF/UA too, and name each attachment once: they are collected on two ways."""
    for one in pdf.objects:
        if getattr(one, "extra", {}).get("Type") == "/Metadata":
            # One description of the document, as XMP wants it: not a second one behind it.
            one.stream = [part.replace(b"</rdf:RDF>", ALSO_UA + b"</rdf:RDF>") for part in one.stream]
    if "AF" in pdf.catalog:
        once = dict.fromkeys(pdf.catalog["AF"])
        pdf.catalog["AF"].clear()
        pdf.catalog["AF"].extend(once)


class Press:
    """Prints HTML. Faces and style are read on the first paper and kept; one paper at a time.

    Pango's font map is shared by all papers and does not bear two threads.
    """

    def __init__(self, paper_size: str) -> None:
        self._paper_size, self._lock = paper_size, Lock()
        self._fetcher = OwnFaces()
        self._kept: tuple[CSS, FontConfiguration] | None = None

    def print(self, html: str, attached: Attached | None = None) -> bytes:
        """The PDF (PDF/UA-1, tagged) of a whole HTML document; PDF/A-3a too where a file travels in it."""
        with self._lock:
            css, faces = self._kept = self._kept or self._set_up()
            page = HTML(string=html, url_fetcher=self._fetcher)
            how: dict[str, Any] = {"pdf_variant": "pdf/ua-1"}
            if attached is not None:
                how = {
                    "pdf_variant": "pdf/a-3a", "attachments": [_as_alternative(attached)],
                    "finisher": _finish,
                }  # fmt: skip
            made = page.write_pdf(stylesheets=[css], font_config=faces, **how)
        assert isinstance(made, bytes)
        return made

    def bind(self, pages: Sequence[str], name: str, content: bytes) -> bytes:
        """One PDF of whole HTML documents in order, each in its outline, with a file that travels in it."""
        with self._lock:
            css, faces = self._kept = self._kept or self._set_up()
            made = [
                HTML(string=one, url_fetcher=self._fetcher).render(stylesheets=[css], font_config=faces)
                for one in pages
            ]
            bound = made[0].copy([page for one in made for page in one.pages])
            bound.metadata.attachments = [Attachment(string=content, name=name)]
            pdf = bound.write_pdf(pdf_variant="pdf/ua-1")
        assert isinstance(pdf, bytes)
        return pdf

    def close(self) -> None:
        """Let the faces go. The next paper sets them up again."""
        with self._lock:
            self._kept = None

    def _set_up(self) -> tuple[CSS, FontConfiguration]:
        faces = FontConfiguration()
        # Its folder of faces is removed when it is let go, which at the very end of a process is too late.
        atexit.register(self.close)
        return CSS(string=style(self._paper_size), font_config=faces, url_fetcher=self._fetcher), faces
