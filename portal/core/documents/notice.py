"""How large a posted notice is: by setting, at least as large as the widest rule known to us."""

from __future__ import annotations

from decimal import Decimal

#: Inches, width by height. Florida asks for a notice of at least 3 by 5 inches, Texas for a sticker of at
#: least 1 by 2; whichever is chosen here is enough for both.
SIZES = {
    "5x3": (Decimal(5), Decimal(3)),
    "6x4": (Decimal(6), Decimal(4)),
    "7x5": (Decimal(7), Decimal(5)),
}
DEFAULT = "5x3"


def notice_inches(size: str) -> tuple[Decimal, Decimal]:
    """Width and height; of a record from before there was a choice, the smallest."""
    return SIZES[size or DEFAULT]
