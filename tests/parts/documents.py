"""Frozen documents made by name, with the engine's own figures; every name, place and number is invented.

A document is made as the acts make it: the house goes through the engine, the
quote takes its walls and its offer from there, and each later document what it
needs of the one before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from msgspec import structs

from portal.acts.cover import as_document
from portal.core.documents import (
    Amounts,
    Builder,
    Certifier,
    ClauseWall,
    Concentrate,
    Containers,
    CoverLot,
    CreditLine,
    CreditNoteDocument,
    DifferenceLine,
    FieldSheet,
    Firm,
    InterestCharge,
    InvoiceDocument,
    Line,
    Offer,
    OpenInvoice,
    PackageDocument,
    Place,
    ProductEdition,
    QuoteDocument,
    RetainageDocument,
    StatementDocument,
    StatementLine,
    Terms,
    TreatedWall,
    TreatmentDocument,
    WallAsQuoted,
    WarrantyDocument,
)
from portal.core.documents.load import LoadProduct, LoadSheet, LoadStop
from portal.core.estimate import answer, estimate
from portal.core.money.ageing import Ageing
from portal.core.money.amount import cents, rounded
from portal.core.money.interest import InterestTerms, accrued
from portal.core.pricing.clause import Agreed, most_it_can_come_to, settle
from portal.core.pricing.credited import taken_back
from portal.core.pricing.offer import LABELS, offer_from, owed
from portal.core.takeoff.reading import read_house
from portal.core.takeoff.stretches import stretches
from portal.core.treatment.equipment import equipment
from portal.core.treatment.pooled import pooled
from portal.core.treatment.product import read_product

DAY = date(2027, 3, 9)
FINGERPRINT = "5c1d" * 16

PLACE = Place("Lot 7", "Alder Meadow", "112", "Alder Lane", "Marlow Ferry", "TX", "75999", "slab")
FIRM = Firm(
    "Sill & Plate Treatment",
    ("40 Depot Road", "Marlow Ferry, TX 75999"),
    "(555) 555-0110",
    "office@example.com",
    "TPCL 0000000",
)
BUILDER = Builder(
    "Harrow Homes",
    ("8 Mill Street", "Marlow Ferry, TX 75999"),
    "(555) 555-0142",
    "build@example.org",
    "Ada Quist",
)
EDITION = ProductEdition(
    3,
    "Borate concentrate A",
    "00000-000",
    "unclassified",
    "disodium octaborate tetrahydrate",
    Decimal(20),
    Decimal(2),
    Decimal(1),
)
TERMS = Terms(
    2,
    "Framing protection",
    10,
    (
        "Damage by termites, wood-boring beetles and decay to the treated wood, repaired or treated again.",
        "One inspection in the first year, on request.",
    ),
    (
        "Treated wood cut, replaced or added to without being treated again.",
        "A leak, or water standing against the wood, left unrepaired.",
        "Soil or mulch heaped above the sill plate.",
    ),
    "Write or call the office; have the warranty number at hand.",
    "Report what you see within 30 days, and let us look before it is repaired.",
    "paid",
)


def rectangle(west: object, south: object, width: object, depth: object) -> dict[str, Any]:
    return {"west": west, "south": south, "width": width, "depth": depth}


def level(name: str = "Main floor", **given: Any) -> dict[str, Any]:
    """A level of a house: an L of 40 by 28 ft, siding on along north and east."""
    default = {
        "outline": {
            "by": "rectangles",
            "rectangles": [rectangle(0, 0, 40, 28), rectangle(24, 28, "16' 6\"", 12)],
        },
        "interior": {"by": "walls", "lengths": ["14' 6\"", 12, 28, "9' 3\"", 22]},
        "siding": {"by": "face", "north": "sided", "east": "sided", "south": "open", "west": "wrapped"},
    }
    return {"name": name, **default, **given}


def house(*levels: dict[str, Any], name: str = "Plan 3, with a garage wing") -> dict[str, Any]:
    """An L-shaped house of one story, unless levels are given."""
    return {"name": name, "levels": list(levels) or [level()]}


MEASURED = {
    "outline": {"by": "measured", "length": "212' 4\""},
    "siding": {"by": "length", "sided": 60, "open": "rest"},
}
COURT = {
    "outline": {
        "by": "rectangles",
        "rectangles": [
            rectangle(0, 0, 60, 14),
            rectangle(0, 36, 60, 14),
            rectangle(0, 14, 14, 22),
            rectangle(46, 14, 14, 22),
        ],
    },
    "siding": "open",
}
BY_AREA = {"outline": {"by": "area", "floor_area": 1840}, "interior": {"by": "ratio"}, "siding": "wrapped"}
WALK = {
    "outline": {
        "by": "walk",
        "walls": [
            {"heading": "E", "length": 36},
            {"heading": "N", "length": 14, "siding": "sided"},
            {"heading": "W", "length": 10},
            {"heading": "N", "length": 12},
            {"heading": "NW", "length": "8' 6\"", "siding": "sided"},
            {"heading": "W", "length": "20'"},
            {"heading": "S", "length": 32},
        ],
    },
    "siding": "wrapped",
}


def quote(
    given: Mapping[str, Any] | None = None, *, extras: Sequence[Line] = (), **changed: Any
) -> QuoteDocument:
    """A sent quote of a house (its document), with 3 % off and 8.25 % tax."""
    read = read_house(given or house())
    result = estimate(read)
    told, walls = answer(result), stretches(read)
    second, unwrap = Decimal("0.60"), Decimal("0.25")
    values: dict[str, Any] = {
        "number": "Q-2027-0012",
        "revision": 2,
        "place": PLACE,
        "builder": BUILDER,
        "office": FIRM,
        "house": given or house(),
        "estimate": told,
        "walls": tuple(
            WallAsQuoted(
                w.key,
                w.level_name if w.storey == 1 else f"{w.level_name} ({w.storey})",
                str(w.label),
                rounded(w.length, 2),
                str(w.length),
                w.status,
            )
            for w in walls
        ),
        "offer": offer_from(told["price"], extras, Decimal(3), Decimal("8.25")),
        "clause_per_foot": second,
        "clause_unwrap_per_foot": unwrap,
        "minimum": Decimal("395.00"),
        "clause_cap": most_it_can_come_to(walls, second),
        "product": EDITION,
        "terms": TERMS,
        "rate_edition": 4,
        "crew_edition": 1,
        "siding_starts": DAY + timedelta(6),
        "insulation_starts": DAY + timedelta(20),
        "sent_on": DAY - timedelta(12),
        "expires_on": DAY + timedelta(18),
        "remarks": "",
    } | changed
    values.setdefault(
        "clause_walls",
        tuple(
            ClauseWall(w.key, w.story, w.label, w.feet, cents(Fraction(w.exact) * Fraction(second)))
            for w in values["walls"]
            if w.status != "sided"
        ),
    )
    return QuoteDocument(**values)


def cover(**changed: Any) -> PackageDocument:
    """The cover of a package of two lots."""
    one = quote()
    lots = [
        CoverLot(
            place=structs.replace(PLACE, lot=f"Lot {n}"), quote=f"Q-2027-00{n} rev. 1",
            fingerprint=FINGERPRINT, feet=Decimal("296.00"), concentrate=Decimal("2.96"),
            total=Decimal("422.65"), expires_on=date(2027, 4, 8), state=state,
        )
        for n, state in ((12, "accepted"), (13, "sent"))
    ]  # fmt: skip
    fives, ones = Containers(Decimal("5.00"), 1), Containers(Decimal("1.00"), 6)
    given: dict[str, Any] = {
        "number": "P-2027-0003", "issue": 1, "name": "Alder Lane, first two", "builder": BUILDER,
        "office": FIRM, "currency": one.offer.currency, "lots": tuple(lots), "feet": Decimal("592.00"),
        "total": Decimal("845.30"), "slices_feet": Decimal("592.00"), "sent_on": DAY,
        "concentrate": Concentrate(
            gallons=Decimal("5.92"), apart=(ones,), apart_left=Decimal("0.08"),
            together=(structs.replace(ones, count=1), fives), together_left=Decimal("0.08"), part_used=2,
        ),
    }  # fmt: skip
    return PackageDocument(**given | changed)


def field_sheet(of: QuoteDocument | None = None, **changed: Any) -> FieldSheet:
    """A booked stop of a quote."""
    of = of or quote()
    values: dict[str, Any] = {
        "number": "J-2027-0009",
        "place": of.place,
        "builder": of.builder,
        "office": of.office,
        "technician": "Noor Vale",
        "day": DAY,
        "quote": of.name,
        "house": of.house,
        "estimate": of.estimate,
        "walls": of.walls,
        "product": of.product,
        "notes": "Gate code from the superintendent. Park on the street.",
    } | changed
    return FieldSheet(**values)


def load_sheet(**changed: Any) -> LoadSheet:
    """A day of two stops, one of them on a crawl space, as the rules of the house pool it."""
    product = read_product({})
    sheets = [field_sheet(), field_sheet(place=structs.replace(PLACE, lot="Lot 9", foundation="crawl space"))]
    planned = sheets[0].estimate["product"]
    mixed = {key: Decimal(planned[key]) for key in ("concentrate", "water", "dye_floz", "finished")}
    found = pooled([Fraction(mixed["concentrate"])] * 2, product)
    assert found is not None
    values: dict[str, Any] = {
        "technician": "Noor Vale", "day": DAY, "office": FIRM,
        "stops": tuple(
            LoadStop(
                number=one.number, place=one.place, company=one.builder.company, phone=one.builder.phone,
                minutes=150, feet=Decimal(one.estimate["feet"]["total"]), product=one.product.name,
                batches=len(planned["batches"]), notes=one.notes, **mixed,
            )
            for one in sheets
        ),
        "products": (LoadProduct(
            name=EDITION.name, registration=EDITION.registration, stops=2, containers=as_document(found),
            batches=2 * len(planned["batches"]), **{key: 2 * value for key, value in mixed.items()}
            | {"finished": 4 * mixed["concentrate"]},
        ),),
        "equipment": equipment(1, 2 * Fraction(sheets[0].estimate["feet"]["total"]), crawl_space=True),
    } | changed  # fmt: skip
    return LoadSheet(**values)


def at(hour: int, minute: int) -> datetime:
    """A moment of the day of treatment, as a clock in Chicago shows it (UTC-6 on March 9)."""
    return datetime(DAY.year, DAY.month, DAY.day, hour, minute, tzinfo=UTC) + timedelta(hours=6)


def treated_wall(wall: WallAsQuoted, found: str | None = None) -> TreatedWall:
    """A wall as done: first coat 8:10 to 8:40, a second from 9:05 to 9:20 where the siding was on."""
    status = found or wall.status
    second = (at(9, 5), at(9, 20)) if status == "sided" else ()
    return TreatedWall(
        wall.key, wall.story, wall.label, wall.feet, wall.status, status, at(8, 10), at(8, 40), *second
    )


def treatment(
    of: QuoteDocument | None = None, found: Mapping[str, str] | None = None, **changed: Any
) -> TreatmentDocument:
    """The record of a treatment. `found`: the siding as found, by wall key, where it was not as quoted."""
    of = of or quote()
    values: dict[str, Any] = {
        "number": "TR-2027-0009",
        "place": of.place,
        "builder": of.builder,
        "office": of.office,
        "quote": of.name,
        "treated_on": DAY,
        "zone": "America/Chicago",
        "arrived_at": at(7, 50),
        "finished_at": at(10, 25),
        "walls": tuple(treated_wall(w, (found or {}).get(w.key)) for w in of.walls),
        "interior_feet": Decimal(of.estimate["feet"]["interior"]),
        "interior_start": at(9, 25),
        "interior_end": at(10, 25),
        "total_feet": Decimal(of.estimate["feet"]["total"]),
        "floor_area": Decimal("1318.00"),
        "product": of.product,
        "product_name": "Borate concentrate A",
        "registration": "00000-000",
        "container_lot": "B 4471",
        "amounts": Amounts(Decimal("3.25"), Decimal("3.50"), Decimal("3.4")),
        "applicator": Certifier("Noor Vale", "TX-CA-00417"),
        "method": "hand or backpack sprayer, brush beside finished wood",
        "target": "wood-destroying insects and decay fungi, as on the product's label",
        "conditions": "Dry, 61 °F, light wind from the south.",
        "problems": "A stack of trusses stood against the east side.",
        "checks": (
            "Coveralls, gloves and eye protection on; the product's label read and followed",
            "Outlet and low-voltage boxes covered",
            "Emptied containers rinsed three times into the mix",
        ),
        "signed_by": "Noor Vale",
        "kept_years": 10,
        "house": of.house,
    } | changed
    return TreatmentDocument(**values)


class _Wall:
    def __init__(self, wall: WallAsQuoted) -> None:
        self.key, self.status, self.length = wall.key, wall.status, Fraction(wall.exact)


def invoice(
    of: QuoteDocument | None = None, found: Mapping[str, str] | None = None, **changed: Any
) -> InvoiceDocument:
    """The invoice of a treatment, with what the siding clause makes of the siding as found."""
    of = of or quote()
    walls = {wall.key: wall for wall in of.walls}
    status = {wall.key: (found or {}).get(wall.key, wall.status) for wall in of.walls}
    by_foot = [line for line in of.offer.lines if line.what not in ("extra", "minimum")]
    charged = sum((line.amount for line in by_foot), Decimal(0))
    agreed = Agreed(of.clause_per_foot, of.clause_unwrap_per_foot, of.clause_cap, charged, of.minimum)
    lines = tuple(
        DifferenceLine(
            d.key,
            f"{walls[d.key].label}, {walls[d.key].story}" if d.key in walls else str(LABELS[d.key]),
            str(d.why),
            rounded(d.feet, 2),
            d.rate,
            d.amount,
        )
        for d in settle([_Wall(w) for w in of.walls], status, agreed)
    )
    values: dict[str, Any] = {
        "number": "INV-2027-0009",
        "place": of.place,
        "builder": of.builder,
        "office": of.office,
        "quote": of.name,
        "purchase_order": "PO 88-1204",
        "accepted_by": "Ada Quist",
        "treatment": "TR-2027-0009",
        "treated_on": DAY,
        "issued_on": DAY,
        "due_on": DAY + timedelta(30),
        "net_days": 30,
        "quoted": of.offer,
        "differences": lines,
        "owed": owed(of.offer, [Line("difference", d.label, d.amount) for d in lines]),
        "pay_to": "Check to Sill & Plate Treatment, 40 Depot Road, Marlow Ferry, TX 75999.",
    } | changed
    return InvoiceDocument(**values)


def credit_note() -> CreditNoteDocument:
    """A part of that invoice's first line, taken back."""
    bill = invoice()
    line = bill.owed.lines[0]
    more = {(0, 0): Decimal("100.00")}
    (taken,) = taken_back(bill, {}, more)
    return CreditNoteDocument(
        "CN-2027-0002", bill.number, bill.issued_on, DAY, bill.place, bill.builder, bill.office,
        "The garage was counted twice.", False, (CreditLine(line.label, more[0, 0], at="0.0"),), taken,
        off_open=taken.total - 50, off_retained=Decimal("0.00"), to_credit=Decimal("50.00"),
    )  # fmt: skip


def retainage() -> RetainageDocument:
    """A part of what was held back of that invoice."""
    bill = invoice()
    return RetainageDocument(
        "RR-2027-0001", bill.number, bill.issued_on, DAY, DAY + timedelta(30), bill.place, bill.builder,
        bill.office, "USD", Decimal("50.00"), Decimal("24.00"), bill.pay_to,
    )  # fmt: skip


def warranty(of: TreatmentDocument | None = None, **changed: Any) -> WarrantyDocument:
    """The warranty on a treatment."""
    of = of or treatment()
    values: dict[str, Any] = {
        "number": "K7QM-2WHT-9RC",
        "place": of.place,
        "office": of.office,
        "treatment": of.number,
        "treatment_fingerprint": FINGERPRINT,
        "treated_on": of.treated_on,
        "product_name": of.product_name,
        "registration": of.registration,
        "walls": of.walls,
        "interior_feet": of.interior_feet,
        "total_feet": of.total_feet,
        "certificate": of.applicator.certificate,
        "terms": TERMS,
        "house": of.house,
    } | changed
    return WarrantyDocument(**values)


#: A code as long as every real one.
CODE = f"1.K7QM2WHT9RC.20270309.{'x' * 22}.0123abcd.{'y' * 86}"


def interest_invoice() -> InvoiceDocument:
    """An invoice of interest: of 1,500 at 6 percent for 75 days (5 CFR 1315.17's own example, 18.83)."""
    terms = InterestTerms(Decimal("6"), 0, "30/360")
    found = accrued(terms, [(DAY, Decimal("1500.00"))], date(2027, 4, 2), date(2027, 6, 15))
    charge = InterestCharge(
        "INV-2027-0009", date(2027, 4, 1), found.first, found.last, terms, found.stretches
    )
    line = Line("interest", "Interest on INV-2027-0009", found.amount)
    zero = Decimal("0.00")
    offer = Offer("USD", (line,), found.amount, Decimal(0), zero, Decimal(0), zero, found.amount)
    return invoice(number="INV-2027-0019", differences=(), quoted=offer, owed=offer, charge=charge)


def statement(lines: int = 4) -> StatementDocument:
    """A statement of so many lines, an invoice and its payment in turn, and one more invoice that is late."""
    kept, balance = [], Decimal("120.00")
    for n in range(lines):
        amount = Decimal("845.30") if n % 2 == 0 else Decimal("-845.30")
        balance += amount
        event, number, about = ("invoiced", f"INV-2027-{n:04}", "Lot 7, 112 Alder Lane")
        if n % 2:
            event, number, about = ("received", "2288", f"INV-2027-{n - 1:04}")
        kept.append(StatementLine(DAY + timedelta(n), event, number, about, amount, balance))
    open_ = (
        OpenInvoice("INV-2027-0001", "Lot 5, 108 Alder Lane", DAY - timedelta(80), DAY - timedelta(50), 73,
                    Decimal("160.00")),
    )  # fmt: skip
    return StatementDocument(
        "STM-2027-0003", BUILDER, FIRM, "USD", DAY, date(2027, 4, 1), date(2027, 4, 2), Decimal("120.00"),
        tuple(kept), balance, open_, Ageing(to_90=Decimal("160.00")), Decimal("40.00"), Decimal("54.05"),
        "Check to Sill & Plate Treatment, 40 Depot Road, Marlow Ferry, TX 75999.",
    )  # fmt: skip


#: What stands beside each kind of document (portal/acts/papers.py).
BESIDE: dict[str, dict[str, Any]] = {
    "quote": {"fingerprint": FINGERPRINT},
    "acceptance": {
        "fingerprint": FINGERPRINT,
        "accepted_by": "Ada Quist",
        "purchase_order": "PO 88-1204",
        "accepted_at": "2027-02-27T14:32-06:00",
        "yeses": [
            {
                "name": "Ada Quist",
                "at": "2027-02-27T14:32-06:00",
                "email": "ada@harrow.example.com",
                "purchase_order": "PO 88-1204",
                "mailed_by": "",
            }
        ],
    },
    "package": {"fingerprint": FINGERPRINT},
    "load-sheet": {},
    "field-sheet": {},
    "treatment-record": {"fingerprint": FINGERPRINT},
    "posted-notice": {
        "fingerprint": FINGERPRINT,
        "posted": {
            "warranty": "7KM2-PQR9-XZ4",
            "find": "https://portal.example.com/warranty",
            "code": "https://portal.example.com/warranty/ycv7n8wnemctrktv5pkhm833pf9v74fx#2.7KM2PQR9XZ4.20270309."
            + f"{'A' * 22}.0123abcd.{'b' * 86}",
        },
    },
    "building-statement": {"fingerprint": FINGERPRINT},
    "service-figures": {"fingerprint": FINGERPRINT},
    "invoice": {},
    "credit-note": {},
    "retainage": {},
    "statement": {},
    "certificate": {
        "begins_on": "2027-03-09",
        "ends_on": "2037-03-08",
        "link": "https://portal.example.com/warranty/3q2-Zk1vQd0",
        "find": "https://portal.example.com/warranty",
        "code": "https://portal.example.com/warranty/3q2-Zk1vQd0#" + CODE,
        "check": "https://portal.example.com/warranty/is-it-real",
        "issue": 1,
        "fingerprint": FINGERPRINT,
    },
}
