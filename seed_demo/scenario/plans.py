"""The fourteen lots: where each is, its house, and how far it is taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from seed_demo.scenario import houses

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
    #: The house as it was when the quote was revised, where it was.
    revised: dict[str, Any] | None = None
    #: The house plan of the builder's that it is asked for from, by its name.
    from_plan: str = ""
    #: The day it is booked for, from today on, where that is not by its stage.
    booked_in: int | None = None


LOTS = (
    LotPlan(1, "Lime Kiln Lane", houses.RANCH, "in force", -96),
    LotPlan(2, "Lime Kiln Lane", houses.ELL, "paid", -80, found_sided=("1.1.W",)),
    LotPlan(3, "Lime Kiln Lane", houses.TWO_STORY, "part paid", -66, foundation="basement"),
    LotPlan(4, "Lime Kiln Lane", houses.GARAGE_WING, "treated", -40, foundation="crawl space",
    found_sided=("1.1.w3",)),
    LotPlan(5, "Lime Kiln Lane", houses.YOU, "booked", -21, siding_in=6),
    LotPlan(6, "Ferry Oak Court", houses.TAPED, "accepted", -16, siding_in=9),
    LotPlan(7, "Ferry Oak Court", houses.TOWNHOUSE, "sent", -8, foundation="basement", siding_in=12,
            revised=houses.TOWNHOUSE_LATER),
    LotPlan(8, "Ferry Oak Court", houses.BAY, "declined", -30),
    LotPlan(9, "Ferry Oak Court", houses.CABIN, "lapsed", -52, foundation="crawl space"),
    LotPlan(10, "Ferry Oak Court", houses.RANCH, "approved", -4, siding_in=15, from_plan="The Cobble"),
    LotPlan(11, "Sluice Road", houses.ELL, "to check", -3, siding_in=16),
    LotPlan(12, "Sluice Road", houses.BY_AREA, "asked", -1, siding_in=24, builder="Osier Creek Builders"),
    LotPlan(13, "Sluice Road", houses.TWO_STORY, "booked today", -19, foundation="crawl space", siding_in=3,
            builder="Osier Creek Builders"),
    LotPlan(14, "Sluice Road", houses.GARAGE_WING, "sent", -6, siding_in=10, builder="Osier Creek Builders"),
)  # fmt: skip

#: Six more, so that the crew has days to fill: their frames stand open now.
CREW_LOTS = tuple(
    LotPlan(number, "Sluice Road", house, until, asked, builder="Osier Creek Builders", siding_in=siding,
            booked_in=booked)
    for number, house, until, asked, siding, booked in (
        (31, houses.RANCH, "booked", -15, 4, 1), (32, houses.ELL, "booked", -15, 5, 1),
        (33, houses.TWO_STORY, "accepted", -13, 7, None), (34, houses.CABIN, "booked", -12, 8, 2),
        (35, houses.GARAGE_WING, "accepted", -11, 13, None), (36, houses.BAY, "booked", -10, 11, 9),
    )
)  # fmt: skip

#: What happens to a lot, in order: the act, days after it was asked, hour and minute.
WAY = (
    ("ask", 0, 7, 10), ("start", 1, 9, 0), ("approve", 1, 10, 0), ("send", 1, 11, 0), ("accept", 3, 8, 0),
    ("book", 4, 9, 0), ("arrive", 10, 7, 40), ("mark", 10, 18, 0), ("sign_off", 11, 9, 0), ("pay_part", 30,
    14, 0),
    ("pay_rest", 34, 14, 0), ("close", 35, 16, 0),
)  # fmt: skip
#: The last act of each stage that a lot may be left in.
LAST = {
    "asked": "ask", "to check": "start", "approved": "approve", "sent": "send", "lapsed": "send",
    "declined": "send",
    "accepted": "accept", "booked": "book", "booked today": "book", "treated": "mark",
    "part paid": "pay_part",
    "paid": "pay_rest", "in force": "close",
}  # fmt: skip
