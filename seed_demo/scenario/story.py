"""The story: fourteen lots of one subdivision, each taken as far as its stage."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from portal import wiring
from portal.acts import asking, billing, booking, covering, editions, people, quoting, sheet, treating
from portal.acts.parts import SYSTEM, Actor, Parts
from portal.settings import Settings
from seed_demo.scenario import cast, houses
from seed_demo.scenario.clock import StoryClock, steady_luck
from seed_demo.scenario.entry import entry_for

SUBDIVISION, TOWN, STATE, ZIP = "Quarry Bend", "Tamarack Ford", "IA", "52999"


@dataclass(frozen=True, slots=True)
class LotPlan:
    """One lot of the story: its house, and how far it is taken. `asked` counts days from today."""

    number: int
    street: str
    house: dict[str, Any]
    until: str
    asked: int
    builder: str = "Harrow & Finch Homes"
    foundation: str = "slab"
    siding_in: int | None = None
    found_sided: tuple[str, ...] = ()


LOTS = (
    LotPlan(1, "Lime Kiln Lane", houses.RANCH, "in force", -96),
    LotPlan(2, "Lime Kiln Lane", houses.ELL, "paid", -80, found_sided=("1.1.W",)),
    LotPlan(3, "Lime Kiln Lane", houses.TWO_STORY, "part paid", -66, foundation="basement"),
    LotPlan(4, "Lime Kiln Lane", houses.GARAGE_WING, "treated", -40, foundation="crawl space",
    found_sided=("1.1.w3",)),
    LotPlan(5, "Lime Kiln Lane", houses.YOU, "booked", -21, siding_in=6),
    LotPlan(6, "Ferry Oak Court", houses.TAPED, "accepted", -16, siding_in=9),
    LotPlan(7, "Ferry Oak Court", houses.TOWNHOUSE, "sent", -8, foundation="basement", siding_in=12),
    LotPlan(8, "Ferry Oak Court", houses.BAY, "declined", -30),
    LotPlan(9, "Ferry Oak Court", houses.CABIN, "lapsed", -52, foundation="crawl space"),
    LotPlan(10, "Ferry Oak Court", houses.RANCH, "approved", -4, siding_in=15),
    LotPlan(11, "Sluice Road", houses.ELL, "to check", -3, siding_in=16),
    LotPlan(12, "Sluice Road", houses.BY_AREA, "asked", -1, siding_in=24, builder="Osier Creek Builders"),
    LotPlan(13, "Sluice Road", houses.TWO_STORY, "booked today", -19, foundation="crawl space", siding_in=3,
            builder="Osier Creek Builders"),
    LotPlan(14, "Sluice Road", houses.GARAGE_WING, "sent", -6, siding_in=10, builder="Osier Creek Builders"),
)  # fmt: skip

#: How far each stage is along the way.
WAY = (
    "asked",
    "to check",
    "approved",
    "sent",
    "accepted",
    "booked",
    "treated",
    "part paid",
    "paid",
    "in force",
)


def load(settings: Settings, today: date | None = None) -> None:
    """Tell the whole story, up to the calendar's today or the one given, into a migrated, empty database."""
    zone = ZoneInfo(settings.zone)
    clock = StoryClock(today or wiring.now().astimezone(zone).date(), zone)
    parts = wiring.build(settings, clock, steady_luck())
    Story(parts, clock).tell()


def sign_ins(parts: Parts) -> list[tuple[str, str, str, str, str]]:
    """The four kinds of user: kind, name, mail address, password, path to begin at."""
    office = people.actor_by_email(parts, cast.OFFICE[1])
    number, lot_id = next((w.number, w.lot_id) for w in covering.register(parts, office, state="in force"))
    house = sheet.sheet(parts, office, lot_id).place.house_number
    builder = cast.BUILDERS["Harrow & Finch Homes"]["people"][0]
    return [
        ("Builder", *builder, cast.PASSWORD, "/lots"),
        ("Office", *cast.OWNER, cast.PASSWORD, "/office/today"),
        ("Technician", *cast.TECHNICIANS[0][:2], cast.PASSWORD, "/stops"),
        ("Homeowner", f"{number}, house {house}", "", "", "/warranty"),
    ]


class Story:
    """Tells the story lot by lot."""

    def __init__(self, parts: Parts, clock: StoryClock) -> None:
        self.parts, self.clock = parts, clock
        self.keys = 0

    def once(self) -> str:
        """A once-key."""
        self.keys += 1
        return f"demo-{self.keys}"

    def tell(self) -> None:
        """Everything, in order."""
        self.clock.turn_to(-120, 8)
        self.owner = self._person("office", *cast.OWNER, owner=True)
        self._editions()
        self.office = self._person("office", *cast.OFFICE)
        self.technicians = [self._person("technician", name, mail, certificate=number)
                            for name, mail, number in cast.TECHNICIANS]  # fmt: skip
        self.builders = {name: self._builder(name, firm) for name, firm in cast.BUILDERS.items()}
        for plan in LOTS:
            self._tell_lot(plan)
        self.clock.turn_to(-1, 17)
        quoting.lapse(self.parts)

    def _person(self, kind: str, name: str, email: str, **more: Any) -> Actor:
        by = SYSTEM if kind == "office" else self.office
        person = people.invite(self.parts, by, kind, name, email, **more)
        token = self.parts.tokens.make("invitation", {"person": person, "turn": 0})
        people.set_password(self.parts, "invitation", token, cast.PASSWORD)
        return people.actor_by_email(self.parts, email)

    def _editions(self) -> None:
        today = self.parts.today()
        for kind, document in (("firm", cast.FIRM), ("product", cast.PRODUCT), ("rates", cast.RATES),
                               ("crew", cast.CREW), ("terms", cast.TERMS)):  # fmt: skip
            editions.enter(self.parts, self.owner, kind, today, document)

    def _builder(self, name: str, firm: dict[str, Any]) -> Actor:
        company = people.add_company(
            self.parts, self.office, name, firm["address"], firm["phone"], firm["email"]
        )
        return next(iter([self._person("builder", *who, company_id=company) for who in firm["people"]]))

    def _tell_lot(self, plan: LotPlan) -> None:
        until = {"booked today": "booked", "lapsed": "sent", "declined": "sent"}.get(plan.until, plan.until)
        lot_id = self._ask(plan)
        steps: dict[str, Callable[[LotPlan, str], None]] = {
            "to check": self._start, "approved": self._approve, "sent": self._send, "accepted": self._accept,
            "booked": self._book, "treated": self._treat, "part paid": self._pay_part, "paid": self._pay_rest,
            "in force": self._in_force,
        }  # fmt: skip
        for stage in WAY[1 : WAY.index(until) + 1]:
            steps[stage](plan, lot_id)
        if plan.until == "declined":
            self._decline(plan, lot_id)

    def _ask(self, plan: LotPlan) -> str:
        self.clock.turn_to(plan.asked, 7, 10 + plan.number)
        siding = (
            self.clock.day(plan.siding_in)
            if plan.siding_in
            else self.clock.day(plan.asked) + timedelta(days=40)
        )
        asked = asking.LotAsked(
            name=f"Lot {plan.number}", subdivision=SUBDIVISION, house_number=str(100 + 4 * plan.number),
            street=plan.street, town=TOWN, state=STATE, postal_code=ZIP, foundation=plan.foundation,
            siding_starts=siding, insulation_starts=siding + timedelta(days=9), house=plan.house,
            notes="Key box on the panel post." if plan.number % 3 else "",
        )  # fmt: skip
        return asking.ask(self.parts, self.builders[plan.builder], asked, self.once())

    def _version(self, lot_id: str) -> int:
        return sheet.sheet(self.parts, self.office, lot_id).version

    def _start(self, plan: LotPlan, lot_id: str) -> None:
        self.clock.turn_to(plan.asked + 1, 9, plan.number)
        quoting.start(self.parts, self.office, lot_id, self._version(lot_id))

    def _approve(self, plan: LotPlan, lot_id: str) -> None:
        self.clock.turn_to(plan.asked + 1, 10, plan.number)
        if plan.number in (3, 7):
            quoting.add_extra(self.parts, self.office, lot_id, self._version(lot_id),
            "Stair framing, both flights",
                              "Treated by brush before the treads go on", "85.00")  # fmt: skip
        quoting.approve(self.parts, self.office, lot_id, self._version(lot_id), "")

    def _send(self, plan: LotPlan, lot_id: str) -> None:
        self.clock.turn_to(plan.asked + 1, 11, plan.number)
        quoting.send(self.parts, self.office, lot_id, self._version(lot_id))

    def _accept(self, plan: LotPlan, lot_id: str) -> None:
        self.clock.turn_to(plan.asked + 3, 8, plan.number)
        who = self.builders[plan.builder]
        offered = sheet.sheet(self.parts, who, lot_id).revisions[0]
        quoting.accept(self.parts, who, lot_id, offered.number, offered.fingerprint, who.name,
                       f"PO-{4100 + plan.number}", self.once())  # fmt: skip

    def _decline(self, plan: LotPlan, lot_id: str) -> None:
        self.clock.turn_to(plan.asked + 6, 16)
        who = self.builders[plan.builder]
        offered = sheet.sheet(self.parts, who, lot_id).revisions[0]
        quoting.decline(
            self.parts, who, lot_id, offered.number, "The buyer chose another frame.", self.once()
        )

    def _book(self, plan: LotPlan, lot_id: str) -> None:
        self.clock.turn_to(plan.asked + 4, 9, plan.number)
        if plan.until == "booked today":
            day = self.clock.today
        elif plan.until == "booked":
            day = self.clock.day(4)
        else:
            day = self.clock.day(plan.asked + 10)
        technician = self.technicians[0] if plan.number % 2 else self.technicians[1]
        assert technician.person_id
        booking.book(self.parts, self.office, lot_id, self._version(lot_id), technician.person_id, day,
                     "Gate is open from 7.", "Agreed with the superintendent.")  # fmt: skip

    def _treat(self, plan: LotPlan, lot_id: str) -> None:
        technician = self.technicians[0] if plan.number % 2 else self.technicians[1]
        self.clock.turn_to(plan.asked + 10, 7, 40)
        job = sheet.sheet(self.parts, self.office, lot_id).job
        assert job is not None
        treating.arrive(self.parts, technician, job.id)
        stop = treating.stop(self.parts, technician, job.id)
        self.clock.turn_to(plan.asked + 10, 18)
        entry = entry_for(stop, technician.name, set(plan.found_sided))
        treating.mark_treated(self.parts, technician, job.id, entry, self.once())
        self.clock.turn_to(plan.asked + 11, 9)
        if plan.until != "treated":
            treating.sign_off(self.parts, self.office, lot_id)
        if plan.until == "paid":
            reason = "Paid; the posted notice is still to be put up at the panel."
            covering.keep_held(self.parts, self.office, lot_id, reason)

    def _pay(self, lot_id: str, amount: Decimal, offset: int, method: str, reference: str) -> None:
        self.clock.turn_to(offset, 14)
        invoice = sheet.sheet(self.parts, self.office, lot_id).invoice
        assert invoice is not None
        billing.record_payment(self.parts, self.office, invoice.id, str(amount), method, reference,
                               self.parts.today(), self.once())  # fmt: skip

    def _pay_part(self, plan: LotPlan, lot_id: str) -> None:
        if plan.until == "part paid":
            self._pay(lot_id, Decimal("250.00"), plan.asked + 30, "check", "2288")

    def _pay_rest(self, plan: LotPlan, lot_id: str) -> None:
        invoice = sheet.sheet(self.parts, self.office, lot_id).invoice
        assert invoice is not None
        self._pay(lot_id, invoice.open, plan.asked + 34, "bank transfer", f"QB-{plan.number:02d}")

    def _in_force(self, plan: LotPlan, lot_id: str) -> None:
        """Full payment has brought it into force already, by the terms."""
