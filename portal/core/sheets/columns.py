"""Our columns: what each is called, what belongs in it, and by what other names people know it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from portal.core.words import Said, say


@dataclass(frozen=True, slots=True)
class Column:
    """One of our columns. `names` are other names that mean it; `limit` its longest text."""

    key: str
    label: Said
    means: Said
    names: tuple[str, ...] = ()
    limit: int = 200


COLUMNS = (
    Column("lot", say("Lot"), say("The lot as you call it: Lot 7. Every row needs it."),
           ("lot no", "lot number", "lot #", "lot name", "home site", "site")),
    Column("subdivision", say("Subdivision"), say("Where the lot is, if it is in one."),
           ("community", "development", "tract")),
    Column("address", say("Address"), say(
        "House number and street in one: 112 Orchard Row. Or leave it out and use the next two."),
           ("street address", "site address", "lot address", "house address"), 220),
    Column("house_number", say("House number"), say("Only the number: 112, or 112B."),
           ("house no", "house #", "street number", "street no", "number"), 20),
    Column("street", say("Street"), say("Only the street: Orchard Row."), ("street name", "road")),
    Column("town", say("Town"), say("Every lot needs one."), ("city",), 100),
    Column("state", say("State"), say("Every lot needs one: IA."), ("st",), 40),
    Column("postal_code", say("ZIP code"), say("Every lot needs one: 50001."),
           ("zip", "postal code", "postcode"), 20),
    Column("foundation", say("Foundation"), say(
        "One of slab, basement, crawl space and other. Every lot needs one."),
           ("stands on", "foundation type"), 40),
    Column("plan", say("House plan"), say(
        "The name of one of your house plans. “Alder, mirrored” is the plan Alder the other way around. "
        "Or leave it out and give the feet."), ("plan", "plan name", "house plan name", "model"), 220),
    Column("mirrored", say("Mirrored"), say("Yes where the plan is built the other way around, else empty."),
           ("reversed", "flipped", "mirror"), 20),
    Column("exterior", say("Exterior feet"), say(
        "Feet of exterior wall of one story: 168, 168 ft or 51.2 m. Only where no plan is named."),
           ("exterior", "exterior walls", "exterior lineal feet", "exterior lf", "exterior wall feet",
            "exterior feet of one story"), 60),
    Column("interior", say("Interior feet"), say(
        "Feet of interior wall of one story: 128, 0 where there is none. With a width and a depth it may "
        "stay empty, and is then estimated."),
           ("interior", "interior walls", "interior lineal feet", "interior lf", "interior wall feet",
            "interior feet of one story"), 60),
    Column("width", say("Width"), say("Of a plain rectangle, together with the depth: 57' or 57 ft 6 in."),
           ("house width", "footprint width"), 60),
    Column("depth", say("Depth"), say("Of a plain rectangle, together with the width: 27'."),
           ("house depth", "footprint depth"), 60),
    Column("stories", say("Stories"), say(
        "How many alike: 2 counts the feet twice. Empty is one. A plan has its own."),
           ("storeys", "floors", "story"), 20),
    Column("siding", say("Siding"), say(
        "What is on the exterior walls: open, wrapped or sided. Empty with a plan: as the plan has it."),
           ("siding status", "siding state"), 40),
    Column("siding_starts", say("Siding starts"), say("The day: 2027-03-09 or 3/9/2027, month first."),
           ("siding day", "siding date", "siding start", "siding start date"), 40),
    Column("insulation_starts", say("Insulation starts"), say("The day, written alike."),
           ("insulation day", "insulation date", "insulation start", "insulation start date"), 40),
    Column("notes", say("Notes"), say("Anything the crew should know."),
           ("note", "remarks", "comments"), 4000),
)  # fmt: skip

BY_KEY = {column.key: column for column in COLUMNS}
#: A column of theirs that stands for none of ours.
NOT_USED = ""
#: What our own files call the last column of a row that came back. It is never read.
REASON = "What to mend"
#: What can be said once for all rows that do not say it themselves.
FILLABLE = ("subdivision", "town", "state", "postal_code", "foundation", "siding")


def bare(header: str) -> str:
    """A header without what two people write differently: case, spaces, signs."""
    return re.sub(r"[^\w#]|_", "", header.casefold())[:200]


_KNOWN = {bare(name): column.key for column in COLUMNS for name in (str(column.label), *column.names)}


def known(header: str) -> str:
    """The column that a header means by itself, or `NOT_USED`."""
    return _KNOWN.get(bare(header), NOT_USED)
