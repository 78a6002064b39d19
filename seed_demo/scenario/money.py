"""A builder that pays its own way: deposits, two lots billed together, a check that bounced, a correction.

What is billed by the package with a tenth of it held back; the first invoice names a wrong order, so it is
credited whole and billed anew. The owner closes the first month of the books.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from portal.acts import (
    accounts,
    billing_terms,
    closing,
    crediting,
    package_office,
    packing,
    rebilling,
    releasing,
    sheet,
)
from portal.acts.bouncing import bounce
from portal.acts.issuing import seen_of
from portal.acts.package_sheet import package_sheet
from portal.acts.parts import Actor, Parts
from portal.acts.paying import Typed, receive_payment
from seed_demo.scenario import houses
from seed_demo.scenario.clock import StoryClock
from seed_demo.scenario.plans import LotPlan
from seed_demo.scenario.tale import Cast, LotTale

BUILDER = "Alder Weir Homes"
NAME = "Millrace Row, both"
TERMS = {
    "net_days": "20", "prompt_percent": "1", "prompt_days": "10", "deposit_percent": "20",
    "bill_per": "package", "retained_percent": "10", "retained_most": "150",
}  # fmt: skip
LOTS = tuple(
    LotPlan(
        number, "Millrace Row", house, "part paid", -64, builder=BUILDER, found_sided=sided, booked_in=day
    )
    for number, house, sided, day in ((41, houses.RANCH, (), -43), (42, houses.ELL, ("1.1.W",), -43))
)
#: What happens, in order: the act, days from today, hour and minute.
WAY = (
    ("terms", -66, 9, 5), ("ask", -64, 7, 25), ("put_together", -64, 8, 25), ("start", -63, 9, 25),
    ("approve", -63, 10, 25), ("send", -63, 11, 25), ("accept", -61, 8, 25), ("pay_deposits", -56, 10, 35),
    ("bounce", -52, 11, 35), ("pay_deposits_again", -49, 10, 35), ("book", -49, 13, 35),
    ("arrive", -43, 7, 45), ("treat_first", -43, 18, 15), ("treat_second", -43, 18, 40),
    ("sign_off", -42, 9, 15),
    ("credit", -38, 9, 35), ("bill_anew", -38, 9, 55), ("close_month", -26, 8, 45),
    ("pay", -20, 14, 5), ("release", -6, 9, 45),
)  # fmt: skip


class MoneyTale:
    """Told through acts only."""

    def __init__(
        self, parts: Parts, clock: StoryClock, owner: Actor, office: Actor, builder: Actor,
        technicians: list[Actor],
    ) -> None:  # fmt: skip
        self.parts, self.clock = parts, clock
        self.owner, self.office, self.builder = owner, office, builder
        self.lots = [
            LotTale(parts, clock, Cast(office, owner, builder, who), plan)
            for plan, who in zip(LOTS, technicians, strict=True)
        ]
        self.package = self.payment = ""

    def acts(self) -> list[tuple[datetime, int, Callable[[], None]]]:
        """Moment, a number behind those of all lots, and what is done then."""
        found, last = [], self.clock.at(WAY[0][1], 0)
        for name, offset, hour, minute in WAY:
            # A weekend stepped over may put two acts on one day: they keep their order all the same.
            last = max(self.clock.at(offset, hour, minute), last + timedelta(minutes=25))
            found.append((last, LOTS[0].number, getattr(self, name)))
        return found

    @property
    def company(self) -> str:
        """The builder's id."""
        return self.builder.company_id or ""

    def invoice(self) -> str:
        """The invoice that speaks for the lots now."""
        found = sheet.sheet(self.parts, self.office, self.lots[0].lot_id).invoice
        assert found is not None
        return found.id

    def terms(self) -> None:
        """The owner enters how this builder is billed."""
        billing_terms.enter_terms(self.parts, self.owner, self.company, TERMS, "demo-terms")

    def ask(self) -> None:
        """The builder asks for both."""
        for lot in self.lots:
            lot.ask()

    def put_together(self) -> None:
        """And puts them together."""
        ids = tuple(lot.lot_id for lot in self.lots)
        self.package = packing.put_together(self.parts, self.builder, NAME, ids, "demo-row")

    def _press(self, what: str, who: Actor | None = None, reason: str = "") -> None:
        by, key = who or self.office, f"demo-row-{what}"
        seen = package_sheet(self.parts, by, self.package).seen
        package_office.press(self.parts, by, self.package, what, seen, key, reason)

    def start(self) -> None:
        """The office takes them up."""
        self._press("start")

    def approve(self) -> None:
        """The owner approves them: both together are worth a thinner margin."""
        self._press("approve", self.owner, "A new builder, and two frames on one street.")

    def send(self) -> None:
        """The office sends them."""
        self._press("send")

    def accept(self) -> None:
        """The builder accepts both: two deposits are asked for."""
        for lot in self.lots:
            lot.accept()

    def _receive(self, method: str, reference: str) -> str:
        due = accounts.account(self.parts, self.office, self.company).asks
        typed = Typed(str(due), method, reference, self.parts.today())
        return receive_payment(self.parts, self.office, self.company, typed, f"demo-{reference}")

    def pay_deposits(self) -> None:
        """One check for both deposits."""
        self.payment = self._receive("check", "3071")

    def bounce(self) -> None:
        """It does not hold."""
        bounce(self.parts, self.office, self.payment, "bounced", self.parts.today(),
               "Returned by the bank: account closed.", "demo-bounced")  # fmt: skip

    def pay_deposits_again(self) -> None:
        """A transfer comes in its place."""
        self._receive("bank transfer", "AW-118")

    def book(self) -> None:
        """The office books both."""
        for lot in self.lots:
            lot.book()

    def arrive(self) -> None:
        """A technician is at each of them."""
        for lot in self.lots:
            lot.arrive()

    def treat_first(self) -> None:
        """The first is treated: nothing is billed yet."""
        self.lots[0].mark()

    def treat_second(self) -> None:
        """With the second comes the invoice of both."""
        self.lots[1].mark()

    def sign_off(self) -> None:
        """The office signs both records off."""
        for lot in self.lots:
            lot.sign_off()

    def credit(self) -> None:
        """The builder's order was another: the invoice is taken back whole."""
        crediting.credit(self.parts, self.office, self.invoice(), {}, True,
                         "It named the wrong purchase order.", "demo-credit")  # fmt: skip

    def bill_anew(self) -> None:
        """And billed anew under the right one."""
        old, order = self.invoice(), "PO-4150"
        seen = seen_of(rebilling.look(self.parts, self.office, old, order, ()).document)
        rebilling.rebill(self.parts, self.office, old, order, (), seen, "demo-anew")

    def close_month(self) -> None:
        """The owner closes the first month of the books."""
        month = closing.look(self.parts, self.office)
        assert month is not None and month.over
        closing.close_month(self.parts, self.owner, month.through, month.mark)

    def pay(self) -> None:
        """All that is due comes."""
        self._receive("check", "3094")

    def release(self) -> None:
        """A part of what was held back is released; the rest waits."""
        releasing.release_retainage(self.parts, self.office, self.invoice(), "60.00", "demo-release")
