"""Makes a paper: picks its sheet, fills its template, prints it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, tzinfo
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import msgspec
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from portal.core.documents import CreditNoteDocument, InvoiceDocument, TreatmentDocument
from portal.core.errors import NotFound
from portal.core.machine import summary_of
from portal.formats import Formats
from portal.papers.recipe import ounces
from portal.papers.sheets import SHEETS
from portal.papers.ubl import ubl

if TYPE_CHECKING:
    from portal.papers.press import Attached, Press

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"


class Papers:
    """Makes the bytes of a paper from its frozen document and the few values that stand beside it."""

    def __init__(self, paper_size: str, formats: Formats, *, summaries: bool = False) -> None:
        """`paper_size` is Letter or A4. With `summaries`, papers of money carry theirs for machines."""
        self._paper_size, self._formats, self._summaries = paper_size, formats, summaries
        self._environments: dict[str, Environment] = {}
        self._press: Press | None = None
        self._setting_up = Lock()

    def make(self, kind: str, document: msgspec.Struct, beside: Mapping[str, Any]) -> bytes:
        """The PDF of a paper: quote, acceptance, field-sheet, treatment-record, invoice or certificate.

        Raises `NotFound` for another kind.
        """
        html = self.html(kind, document, beside)
        # A draft has no number, and a program that found one in it would take it for an invoice.
        found = self.summary(document) if self._summaries and "draft" not in beside else None
        return self.press().print(html, self._attached(document, found) if found else None)

    def bind(self, sheets: Sequence[tuple[str, msgspec.Struct, Mapping[str, Any]]], enclosed: Any) -> bytes:
        """One PDF of several papers in order, each in its outline, with a file that travels in it."""
        pages = [self.html(kind, document, beside) for kind, document, beside in sheets]
        return self.press().bind(pages, enclosed.name, enclosed.content)

    def summary(self, document: msgspec.Struct) -> bytes | None:
        """What an invoice or a credit note says to machines, as UBL; None of others, or where none can be."""
        if not isinstance(document, InvoiceDocument | CreditNoteDocument):
            return None
        found = summary_of(document)
        return ubl(found) if found is not None else None

    def _attached(self, document: Any, content: bytes) -> Attached:
        from portal.papers.press import Attached

        about = self._formats.translate("What this paper says, for machines (EN 16931 in UBL 2.1)")
        return Attached(f"{document.number}.xml", about, content, document.issued_on)

    def press(self) -> Press:
        """The press, set up on first use: WeasyPrint takes a second to import, and not every run prints."""
        with self._setting_up:
            if self._press is None:
                from portal.papers.press import Press

                self._press = Press(self._paper_size)
            return self._press

    def html(self, kind: str, document: msgspec.Struct, beside: Mapping[str, Any]) -> str:
        """What goes to the press: a whole HTML document."""
        if kind not in SHEETS:
            raise NotFound("paper", kind)
        sheet = SHEETS[kind]
        environment = self._environment(_zone(document, beside) or self._formats.zone)
        values = sheet.values(document, beside, self._formats)
        template = environment.get_template(f"papers/{kind}.html")
        return template.render(
            document=document, beside=beside, sheet=sheet.number, lang=self._formats.language, **values
        )

    def _environment(self, zone: tzinfo) -> Environment:
        """Templates are compiled once for each time zone that papers have been made in."""
        if str(zone) not in self._environments:
            self._environments[str(zone)] = environment(replace(self._formats, zone=zone))
        return self._environments[str(zone)]


def _zone(document: msgspec.Struct, beside: Mapping[str, Any]) -> tzinfo | None:
    """The time zone a document was written in, which stays its own wherever it is printed."""
    if isinstance(document, TreatmentDocument | InvoiceDocument) and document.zone:
        return ZoneInfo(document.zone)
    if "accepted_at" in beside:
        return datetime.fromisoformat(beside["accepted_at"]).tzinfo
    return None


def environment(formats: Formats) -> Environment:
    """Strict about what is missing, and escaping all that it is given."""
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        extensions=["jinja2.ext.i18n"],
    )
    made.install_gettext_callables(  # type: ignore[attr-defined]
        formats.translate, formats.plural, newstyle=True
    )
    made.globals["newline"] = "\n"
    made.filters |= formats.filters() | {"ounces": ounces, "shortened": shortened, "sentence": sentence}
    return made


def shortened(text: str, longest: int) -> str:
    """A text for the title block, which has no room to grow; it stands whole in the head of the sheet."""
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"


def sentence(text: str) -> str:
    """A text with its first letter large."""
    return text[:1].upper() + text[1:]
