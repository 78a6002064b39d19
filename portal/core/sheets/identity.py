"""Which lot a row is about, and whether two say the same of it: so that nothing is entered twice."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import Any

from portal.core.documents import fingerprint

#: What makes a lot the same lot, whatever else is said of it.
PLACE = ("lot", "subdivision", "house_number", "street", "town", "state", "postal_code")


def folded(text: str) -> str:
    """A text without what two people write differently: case, spaces, signs."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    return "".join(c for c in plain if c.isalnum())


def identity(place: Mapping[str, str]) -> str:
    """The print of a lot's place: its own name, subdivision and address."""
    return fingerprint({key: folded(place.get(key, "")) for key in PLACE})


def content(said: dict[str, Any]) -> str:
    """The print of all that is said of a lot."""
    return fingerprint(said)
