"""The terms of EN 16931-1 that are used, each with its number in the standard (BT for a term, BG a group)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

#: Document types by UNTDID 1001.
INVOICE, PREPAYMENT, CREDIT_NOTE = "380", "386", "381"
#: Tax categories by UNTDID 5305: taxed at a rate, not taxed though another would be, not a matter of tax.
TAXED, EXEMPT, OUTSIDE = "S", "E", "O"
#: Units by UN/ECE recommendation 20: a foot, and one of something.
FOOT, ONE = "FOT", "C62"
ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Category:
    """A category of tax and its percent (BT-151 and 152). `why` says why nothing is taxed (BT-120)."""

    code: str
    percent: Decimal = Decimal(0)
    why: str = ""


@dataclass(frozen=True, slots=True)
class Party:
    """The seller (BG-4) or the buyer (BG-7). `tax_number` is BT-32, `license` BT-29."""

    name: str
    address: tuple[str, ...]
    phone: str
    email: str
    contact: str = ""
    license: str = ""
    tax_number: str = ""


@dataclass(frozen=True, slots=True)
class MachineLine:
    """A line (BG-25). Quantity (BT-129) times price (BT-146) is its amount (BT-131), to the cent."""

    name: str
    note: str
    quantity: Decimal
    unit: str
    price: Decimal
    amount: Decimal
    category: Category


@dataclass(frozen=True, slots=True)
class Charge:
    """What comes off the whole paper (BG-20), or on it (BG-21) where `adds`. The amount is over zero."""

    adds: bool
    reason: str
    amount: Decimal
    category: Category


@dataclass(frozen=True, slots=True)
class TaxGroup:
    """The part of the paper that is of one category and percent (BG-23)."""

    category: Category
    taxable: Decimal
    tax: Decimal


@dataclass(frozen=True, slots=True)
class MachinePaper:
    """An invoice or a credit note. `preceding` is the number and the day of the paper it refers to (BG-3).

    `place` is where the work was done (BG-13), as its address in lines and the name of the lot.
    """

    kind: str
    number: str
    issued_on: date
    due_on: date | None
    currency: str
    seller: Party
    buyer: Party
    lines: tuple[MachineLine, ...]
    charges: tuple[Charge, ...]
    groups: tuple[TaxGroup, ...]
    paid: Decimal
    terms: str
    note: str = ""
    order: str = ""
    contract: str = ""
    preceding: tuple[tuple[str, date | None], ...] = ()
    place: tuple[str, ...] = ()
    delivered_on: date | None = None

    @property
    def of_lines(self) -> Decimal:
        """The sum of the lines (BT-106)."""
        return sum((line.amount for line in self.lines), ZERO)

    @property
    def off(self) -> Decimal:
        """The sum of what comes off (BT-107)."""
        return sum((one.amount for one in self.charges if not one.adds), ZERO)

    @property
    def on(self) -> Decimal:
        """The sum of what comes on it (BT-108)."""
        return sum((one.amount for one in self.charges if one.adds), ZERO)

    @property
    def net(self) -> Decimal:
        """Without tax (BT-109)."""
        return self.of_lines - self.off + self.on

    @property
    def tax(self) -> Decimal:
        """All tax (BT-110)."""
        return sum((group.tax for group in self.groups), ZERO)

    @property
    def total(self) -> Decimal:
        """With tax (BT-112)."""
        return self.net + self.tax

    @property
    def due(self) -> Decimal:
        """What is to be paid (BT-115), what is held back for now included."""
        return self.total - self.paid
