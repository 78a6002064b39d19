"""A builder's papers by subdivision and by lot, and ZIPs of them."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from threading import BoundedSemaphore
from typing import Any
from urllib.parse import quote

from flask import Response, request, url_for
from flask_babel import lazy_gettext as _

from portal.acts import shelves as acts
from portal.acts.desk import PAGE
from portal.acts.shelves import Shelves
from portal.core.bundle.names import safe_name
from portal.core.errors import refuse
from portal.web.builder.lists import asked_for, older
from portal.web.builder.looking import paper_address
from portal.web.security import parts, who
from portal.web.shared.lot_pages import paper_links
from portal.web.shared.pages import page

#: A ZIP of papers that nobody opened yet takes a minute: a few at once, and pages would wait for them.
AT_ONCE = BoundedSemaphore(2)


def papers() -> str:
    """Every paper, by subdivision and by lot."""
    which = asked_for(request.args)
    found = acts.shelves(parts(), who(), which)
    shown: dict[str, Any] = request.args.to_dict()
    kept = {key: shown[key] for key in ("subdivision", "text", "after") if shown.get(key)}
    return page(
        "builder/papers.html", found=found, which=which, limit=PAGE, links=paper_links,
        address=paper_address, zip_all=url_for("builder.papers_zip", **kept),
        subdivisions=[("", _("all")), *((name, name) for name in found.subdivisions)],
        more=older("builder.papers", found.more, "") if found.more else None,
    )  # fmt: skip


def papers_zip() -> Response:
    """All papers that the page with this filter shows, as one ZIP."""
    which = asked_for(request.args)
    return _zip(acts.shelves(parts(), who(), which), which.subdivision)


def lot_zip(lot_id: str) -> Response:
    """The papers of one lot as a ZIP."""
    found = acts.of_one_lot(parts(), who(), lot_id)
    return _zip(found, found.shelves[0].lots[0][0].name)


def _zip(found: Shelves, named: str) -> Response:
    if not found.count:
        raise refuse("There are no papers to put into a ZIP.")
    place = _Place()
    response = Response(place.kept_for(acts.zip_of(parts(), who(), found)), mimetype="application/zip")
    # Also where nobody reads it to its end, or ever begins to: the server closes what it does not send.
    response.call_on_close(place.give_back)
    response.headers["Content-Disposition"] = _saved_as(f"papers {named}".strip())
    return response


def _saved_as(named: str) -> str:
    """Under which name to save it (RFC 6266): in letters that every program reads, and as it really is."""
    name = f"{safe_name(named, 'papers').replace(' ', '-')}.zip"
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"


class _Place:
    """One of the places to make a ZIP in, given back once, at its end or when it is given up."""

    def __init__(self) -> None:
        if not AT_ONCE.acquire(blocking=False):
            raise refuse("Other ZIPs are being made just now. Try again in a minute.")
        self._held = True

    def kept_for(self, pieces: Iterator[bytes]) -> Iterator[bytes]:
        """These pieces; the place is given back behind the last."""
        try:
            yield from pieces
        finally:
            self.give_back()

    def give_back(self) -> None:
        """Let another have it."""
        if self._held:
            self._held = False
            AT_ONCE.release()
