"""One lot of the story: when each act on it happens, and how it is done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import count
from typing import Any

from msgspec import structs

from portal.acts import asking, billing, booking, covering, margins, plan_views, quoting, sheet, treating
from portal.acts.holding import HolderTyped, name_first_owner
from portal.acts.parts import Actor, Parts
from portal.acts.photographing import Shot, add_photo
from seed_demo.scenario.clock import StoryClock
from seed_demo.scenario.entry import entry_for
from seed_demo.scenario.picture import framed_wall
from seed_demo.scenario.plans import LAST, STATE, SUBDIVISION, TOWN, WAY, ZIP, LotPlan

#: Why a quote under the margin floor is approved all the same.
UNDER = "Siding is on early here; the next houses of this builder are open."


@dataclass(slots=True)
class Cast:
    """Who acts on a lot."""

    office: Actor
    owner: Actor
    builder: Actor
    technician: Actor


@dataclass(slots=True)
class LotTale:
    """A lot, taken through its plan. Its acts are done in the order of time with those of all others."""

    parts: Parts
    clock: StoryClock
    cast: Cast
    plan: LotPlan
    lot_id: str = ""
    keys: count[int] = field(default_factory=lambda: count(1))

    def acts(self) -> list[tuple[datetime, int, Callable[[], None]]]:
        """Moment, number of the lot, and what is done then."""
        names = [name for name, *_ in WAY]
        steps = list(WAY[: names.index(LAST[self.plan.until]) + 1])
        if self.plan.until != "part paid":
            steps = [step for step in steps if step[0] != "pay_part"]
        if self.plan.until == "declined":
            steps.append(("decline", 6, 16, 0))
        if self.plan.revised:
            steps.append(("revise", 3, 15, 0))
        found, last = [], self.clock.at(self.plan.asked, 0)
        for name, days, hour, minute in steps:
            moment = self.clock.at(self.plan.asked + days, hour, minute) + timedelta(minutes=self.plan.number)
            # A weekend stepped over may put two acts on one day: they keep their order all the same.
            last = max(moment, last + timedelta(minutes=20))
            found.append((last, self.plan.number, getattr(self, name)))
        return found

    def once(self) -> str:
        """A once-key."""
        return f"demo-{self.plan.number}-{next(self.keys)}"

    @property
    def version(self) -> int:
        """The lot's version now."""
        return self.sheet().version

    def sheet(self, by: Actor | None = None) -> sheet.LotSheet:
        """The lot's sheet, as the office sees it."""
        return sheet.sheet(self.parts, by or self.cast.office, self.lot_id)

    def ask(self) -> None:
        """The builder asks for a price."""
        plan, clock = self.plan, self.clock
        siding = clock.day(plan.siding_in) if plan.siding_in else clock.day(plan.asked) + timedelta(days=40)
        framed = plan.siding_in - 9 if plan.siding_in else plan.asked + 8
        asked = asking.LotAsked(
            name=f"Lot {plan.number}", subdivision=SUBDIVISION, house_number=str(100 + 4 * plan.number),
            street=plan.street, town=TOWN, state=STATE, postal_code=ZIP, foundation=plan.foundation,
            siding_starts=siding, insulation_starts=siding + timedelta(days=9), house=plan.house,
            framing_done=clock.day(framed),
            notes="Key box on the panel post." if plan.number % 3 else "",
        )  # fmt: skip
        who, edition = self.cast.builder, None
        if plan.from_plan:
            known = {name: plan_id for plan_id, name in plan_views.offered(self.parts, who)}
            begun = plan_views.start(self.parts, who, known[plan.from_plan])
            asked, edition = replace(asked, house=begun.house), begun.edition_id
        self.lot_id = asking.ask(self.parts, who, asked, self.once(), edition)

    def start(self) -> None:
        """The office takes it up."""
        quoting.start(self.parts, self.cast.office, self.lot_id, self.version)

    def approve(self) -> None:
        """The office approves it, some with an extra line."""
        if self.plan.number in (3, 7):
            quoting.add_extra(
                self.parts, self.cast.office, self.lot_id, self.version, "Stair framing, both flights",
                "Treated by brush before the treads go on", "85.00",
            )  # fmt: skip
        left = margins.of_lot(self.parts, self.cast.office, self.lot_id)
        under = left is not None and left.cost.under
        who, reason = (self.cast.owner, UNDER) if under else (self.cast.office, "")
        quoting.approve(self.parts, who, self.lot_id, self.version, "", reason)

    def send(self) -> None:
        """The office sends it."""
        quoting.send(self.parts, self.cast.office, self.lot_id, self.version)

    def as_seen(self, house: dict[str, Any]) -> asking.LotAsked:
        """The lot as it was asked for, with a house as it was seen since."""
        now = self.sheet()
        place = {key: value for key, value in structs.asdict(now.place).items() if key != "lot"}
        return asking.LotAsked(
            **place, name=now.place.lot, siding_starts=now.siding_starts,
            insulation_starts=now.insulation_starts, notes=now.notes, house=house,
            framing_done=now.framing_done,
        )  # fmt: skip

    def revise(self) -> None:
        """The house has changed since: the office corrects the takeoff and sends a second revision."""
        office, now, later = self.cast.office, self.sheet(), self.plan.revised
        assert later is not None
        quoting.revise(self.parts, office, self.lot_id, now.version)
        asking.change(self.parts, office, self.lot_id, self.version, self.as_seen(later))
        words = "As seen on site: the front is sided by now on all three stories."
        quoting.approve(self.parts, office, self.lot_id, self.version, words)
        self.send()

    def accept(self) -> None:
        """The builder accepts it."""
        who, offered = self.cast.builder, self.sheet(self.cast.builder).revisions[0]
        order = f"PO-{4100 + self.plan.number}"
        quoting.accept(
            self.parts, who, self.lot_id, offered.number, offered.fingerprint, who.name, order, self.once()
        )

    def decline(self) -> None:
        """The builder declines it."""
        number = self.sheet(self.cast.builder).revisions[0].number
        reason = "The buyer chose another frame."
        quoting.decline(self.parts, self.cast.builder, self.lot_id, number, reason, self.once())

    def book(self) -> None:
        """The office books the treatment."""
        in_days = {"booked today": 0, "booked": 4}.get(self.plan.until, self.plan.asked + 10)
        in_days = in_days if self.plan.booked_in is None else self.plan.booked_in
        assert self.cast.technician.person_id
        booking.book(
            self.parts, self.cast.office, self.lot_id, self.version, self.cast.technician.person_id,
            self.clock.day(in_days), "Gate is open from 7.", "Agreed with the superintendent.",
        )  # fmt: skip

    def _job(self) -> str:
        job = self.sheet().job
        assert job is not None
        return job.id

    def arrive(self) -> None:
        """The technician is on site."""
        treating.arrive(self.parts, self.cast.technician, self._job())

    def mark(self) -> None:
        """The technician marks it treated."""
        who = self.cast.technician
        stop = treating.stop(self.parts, who, self._job())
        entry = entry_for(stop, who.name, set(self.plan.found_sided))
        for wall in stop.sheet.walls:
            if entry[f"found.{wall.key}"] != wall.status:
                shot = Shot("", wall.key, "", None, framed_wall())
                add_photo(self.parts, who, stop.job_id, shot)
        treating.mark_treated(self.parts, who, stop.job_id, entry, self.once())

    def sign_off(self) -> None:
        """The office signs the record off; of one lot it keeps the warranty held."""
        treating.sign_off(self.parts, self.cast.office, self.lot_id)
        if self.plan.until == "paid":
            reason = "Paid; the posted notice is still to be put up at the panel."
            covering.keep_held(self.parts, self.cast.office, self.lot_id, reason)

    def _pay(self, amount: Decimal, method: str, reference: str) -> None:
        invoice = self.sheet().invoice
        assert invoice is not None
        billing.record_payment(
            self.parts, self.cast.office, invoice.id, str(amount), method, reference, self.parts.today(),
            self.once(),
        )  # fmt: skip

    def pay_part(self) -> None:
        """A part of it comes."""
        self._pay(Decimal("250.00"), "check", "2288")

    def pay_rest(self) -> None:
        """All that is open comes; by its terms that brings the warranty into force."""
        invoice = self.sheet().invoice
        assert invoice is not None
        self._pay(invoice.open, "bank transfer", f"QB-{self.plan.number:02d}")

    def close(self) -> None:
        """The house is sold; its builder names the first owner."""
        owner = HolderTyped("Ada Roe", "ada.roe@owner.example.com", "555-0188", self.parts.today())
        name_first_owner(self.parts, self.cast.builder, self.lot_id, owner, self.once())
