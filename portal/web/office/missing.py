"""What a treatment record would lack, with the page where it is entered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from flask import url_for
from flask_babel import lazy_gettext as _

from portal.core.treatment.gaps import Gap
from portal.web.shared.pages import told


@dataclass(frozen=True, slots=True)
class Missing:
    """One gap in the reader's words, and the way to its page."""

    says: str
    place: Any
    url: str


PLACES: dict[str, tuple[Any, str, dict[str, Any]]] = {
    "firm": (_("Rate book, the firm"), "office.edition", {"kind": "firm"}),
    "product": (_("Rate book, the product"), "office.edition", {"kind": "product"}),
    "technician": (_("People, the technician’s certificate"), "office.people", {}),
    "builder": (_("The builder’s own people enter it under People"), "office.people", {}),
}


def missing(found: Iterable[Gap]) -> list[Missing]:
    """Each gap with its page."""
    return [Missing(told(gap.says), PLACES[gap.where][0], _url(gap.where)) for gap in found]


def _url(where: str) -> str:
    _place, endpoint, values = PLACES[where]
    return url_for(endpoint, **values)
