"""A warranty record: what is promised, on which treatment, by which terms."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from msgspec import Struct

from portal.core.documents.parties import Firm, Place, Terms
from portal.core.documents.treatment import TreatedWall


class WarrantyDocument(Struct, frozen=True):
    """Frozen when the lot is treated. When it comes into force stands on the record, not in here."""

    number: str
    place: Place
    office: Firm
    treatment: str
    treatment_fingerprint: str
    treated_on: date
    product_name: str
    registration: str
    walls: tuple[TreatedWall, ...]
    interior_feet: Decimal
    total_feet: Decimal
    certificate: str
    terms: Terms
    #: The house as it was treated, for its plan; documents from before that have none.
    house: dict[str, Any] | None = None
    #: Of an addition: the number of the house's first warranty.
    added_to: str = ""
