"""From HTML to PDF: the papers' own style, faces from the installed font package, and no way out."""

from __future__ import annotations

import atexit
import re
from pathlib import Path
from threading import Lock

import font_source_sans_pro  # type: ignore[import-untyped]
from weasyprint import CSS, HTML
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


class Press:
    """Prints HTML. Faces and style are read on the first paper and kept; one paper at a time.

    Pango's font map is shared by all papers and does not bear two threads.
    """

    def __init__(self, paper_size: str) -> None:
        self._paper_size, self._lock = paper_size, Lock()
        self._fetcher = OwnFaces()
        self._kept: tuple[CSS, FontConfiguration] | None = None

    def print(self, html: str) -> bytes:
        """The PDF (PDF/UA-1, tagged) of a whole HTML document."""
        with self._lock:
            css, faces = self._kept = self._kept or self._set_up()
            page = HTML(string=html, url_fetcher=self._fetcher)
            made = page.write_pdf(stylesheets=[css], font_config=faces, pdf_variant="pdf/ua-1")
        assert isinstance(made, bytes)
        return made

    def close(self) -> None:
        """Let the faces go. The next paper sets them up again."""
        with self._lock:
            self._kept = None

    def _set_up(self) -> tuple[CSS, FontConfiguration]:
        faces = FontConfiguration()
        # Its folder of faces is removed when it is let go, which at the very end of a process is too late.
        atexit.register(self.close)
        return CSS(string=style(self._paper_size), font_config=faces, url_fetcher=self._fetcher), faces
