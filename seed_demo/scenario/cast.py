"""Who and what the demo is made of. Everybody and everything here is invented."""

from __future__ import annotations

from typing import Any

from portal.acts.parts import RIGHTS

PASSWORD = "before the drywall"

OWNER = ("Odile Marchbank", "odile@plumbline.example.com")
OFFICE = ("Terrence Udall", "terrence@plumbline.example.com")
TECHNICIANS = (
    ("Wendell Pike", "wendell@plumbline.example.com", "CA-0417"),
    ("Rosa Imber", "rosa@plumbline.example.com", "CA-0533"),
)
#: The first of each is invited by the office, and invites the others with the rights that stand here.
BUILDERS: dict[str, dict[str, Any]] = {
    "Harrow & Finch Homes": {
        "address": "12 Kiln Street\nTamarack Ford, IA 52999", "phone": "555-0120",
        "email": "office@harrowfinch.example.com",
        "people": (
            ("Harriet Finch", "harriet@harrowfinch.example.com", RIGHTS),
            ("Gil Otter", "gil@harrowfinch.example.com", ("accept",)),
            ("Tilda Marsh", "tilda@harrowfinch.example.com", ()),
        ),
    },
    "Osier Creek Builders": {
        "address": "4 Weir Road\nTamarack Ford, IA 52999", "phone": "555-0131",
        "email": "desk@osiercreek.example.com",
        "people": (("Bram Sorrel", "bram@osiercreek.example.com", RIGHTS),),
    },
    "Alder Weir Homes": {
        "address": "77 Sluice Road\nTamarack Ford, IA 52999", "phone": "555-0142",
        "email": "books@alderweir.example.com",
        "people": (("Nell Corrigan", "nell@alderweir.example.com", RIGHTS),),
    },
}  # fmt: skip

FIRM: dict[str, Any] = {
    "name": "Plumb Line Wood Protection",
    "address": ["31 Sawyer Row", "Tamarack Ford, IA 52999"],
    "phone": "555-0100",
    "email": "office@plumbline.example.com",
    "license": "WP-20417 (invented)",
    "tax_number": "ST-604-118 (invented)",
    "quote_days": 30,
    "net_days": 30,
    "pay_to": (
        "Plumb Line Wood Protection, 31 Sawyer Row, Tamarack Ford, IA 52999. "
        "Check, or bank transfer by arrangement."
    ),
    # What a job costs the office. Invented.
    "cost_crew_hour": "31.73",
    "cost_mile": "0.71",
    "cost_job": "7.37",
    "margin_floor": "5",
}

PRODUCT: dict[str, Any] = {
    "figures": {
        "name": "Borate concentrate (demo)",
        "containers": [{"gallons": "1", "cost": "92.37"}, {"gallons": "5", "cost": "415.61"}],
    },
    "registration": "00000-00",
    "classification": "unclassified",
    "active_ingredient": "disodium octaborate tetrahydrate",
}

RATES: dict[str, Any] = {
    "currency": "USD",
    "bands": [
        {"up_to_feet": "300", "per_foot": "1.45"},
        {"up_to_feet": "1000", "per_foot": "1.20"},
        {"per_foot": "0.95"},
    ],
    "minimum": "395.00",
    "second_coat_per_foot": "0.60",
    "unwrap_per_foot": "0.25",
    "call_out": "35.00",
    "discount_percent": "0",
    "tax_percent": "7",
    "slices_over": "package",
}

#: Invented, as everything here. Altogether it is what the rate book says.
JURISDICTION = "Millrace County"
TAX: dict[str, Any] = {
    "rates": [{"name": "State", "percent": "6"}, {"name": "County", "percent": "1"}],
    "rounding": "invoice",
    "parts": "together",
}

CREW: dict[str, Any] = {"sprayers": 1}

TERMS: dict[str, Any] = {
    "title": "Framing treatment warranty (demo wording: a lawyer should read yours)",
    "years": 10,
    "covers": [
        "Treating again, free of charge, framing that was treated and shows live wood-destroying insects "
        "or decay.",
    ],
    "voids": [
        "Treated wood that was cut, drilled through or replaced afterward and not treated again.",
        "Standing water or a leak that was not mended within 30 days of being known.",
        "Soil or mulch against the siding.",
    ],
    "narrows": [
        "Wood added after the treatment, unless it was treated and added to this record.",
        "Siding, drywall, paint and furnishings: what is repaired is the framing itself.",
    ],
    "ask": "Call the office with the warranty number; somebody looks at the house within 10 working days.",
    "notice": (
        "This is the office's own promise and nothing else. It promises nothing about the product itself."
    ),
    "release": "paid",
    "remedy": "repair", "repair_up_to": "2500.00",
    "renewals": 2, "renewal_years": 5, "renewal_fee": "180.00", "renewal_inspection": "yes",
    "renewal_days_before": 60, "renewal_days_after": 30,
    "transfers": "always", "transfer_days": 60, "transfer_fee": "0.00",
    "transfer_evidence": "A page of the deed, or the closing statement, with the names and the day.",
}  # fmt: skip
