"""The few addresses that letters, papers and QR codes carry: said here once, and held to by a test."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Links:
    """Whole addresses below the portal's own."""

    base_url: str

    def invitation(self, token: str) -> str:
        """Where an invited person chooses a password."""
        return f"{self.base_url}/join/{token}"

    def reset(self, token: str) -> str:
        """Where a forgotten password is replaced."""
        return f"{self.base_url}/reset/{token}"

    def fewer(self, token: str) -> str:
        """Where one kind of letters is turned off."""
        return f"{self.base_url}/fewer/{token}"

    def builder_lots(self) -> str:
        """A builder's lots."""
        return f"{self.base_url}/lots"

    def builder_lot(self, lot_id: str) -> str:
        """A lot's sheet, for its builder."""
        return f"{self.base_url}/lots/{lot_id}"

    def office_lot(self, lot_id: str) -> str:
        """A lot's sheet, for the office."""
        return f"{self.base_url}/office/lots/{lot_id}"

    def purchaser(self, token: str) -> str:
        """One quote, for the purchaser it was mailed to."""
        return f"{self.base_url}/quote/{token}"

    def builder_package(self, package_id: str) -> str:
        """A package, for its builder."""
        return f"{self.base_url}/packages/{package_id}"

    def builder_account(self) -> str:
        """What is owed, for its builder."""
        return f"{self.base_url}/account"

    def office_chase(self, invoice_id: str) -> str:
        """How an invoice is chased, for the office."""
        return f"{self.base_url}/office/chase/{invoice_id}"

    def office_package(self, package_id: str) -> str:
        """A package, for the office."""
        return f"{self.base_url}/office/packages/{package_id}"

    def builder_payments(self) -> str:
        """What came from a builder, and what it has to its credit, for that builder."""
        return f"{self.base_url}/papers/payments"

    def office_payment(self, payment_id: str) -> str:
        """A payment, for the office."""
        return f"{self.base_url}/office/payments/{payment_id}"

    def stop(self, job_id: str) -> str:
        """A technician's stop."""
        return f"{self.base_url}/stops/{job_id}"

    def calendar(self, token: str) -> str:
        """A person's calendar of stops."""
        return f"{self.base_url}/calendar/{token}.ics"

    def warranty(self, link_token: str) -> str:
        """What the QR of a certificate leads to."""
        return f"{self.base_url}/warranty/{link_token}"

    def office_trouble(self, trouble_id: str) -> str:
        """A report of trouble, for the office."""
        return f"{self.base_url}/office/trouble/{trouble_id}"

    def office_addition(self, addition_id: str) -> str:
        """An addition asked for, for the office."""
        return f"{self.base_url}/office/additions/{addition_id}"

    def holder(self, token: str) -> str:
        """A holder's own page."""
        return f"{self.base_url}/warranty/mine/{token}"

    def ask_holder(self) -> str:
        """Where a holder asks for a new link."""
        return f"{self.base_url}/warranty/mine"

    def renewal(self, token: str) -> str:
        """Where a holder takes up the next term of a warranty."""
        return f"{self.base_url}/warranty/renew/{token}"

    def owner_bill(self, token: str) -> str:
        """An owner's invoice."""
        return f"{self.base_url}/warranty/bill/{token}.pdf"

    def handed(self, token: str) -> str:
        """Where the next owner of a house takes its warranty over."""
        return f"{self.base_url}/warranty/handed/{token}"

    def signed_code(self, link_token: str, code: str) -> str:
        """What the QR of a certificate or notice says: its page, and behind the # its proof."""
        return f"{self.warranty(link_token)}#{code}"

    def is_it_real(self) -> str:
        """Where a certificate is checked."""
        return f"{self.base_url}/warranty/is-it-real"

    def find_warranty(self) -> str:
        """Where a warranty number is looked up."""
        return f"{self.base_url}/warranty"
