"""The evidence a treatment needs before it can be marked treated.

The technician's entry is a flat mapping of field names to what was typed. Every
missing fact and every impossible one is reported, each at its own field:

    arrived, cautions, ready.<check>, found.<wall>, first.<wall>.start|end,
    second.<wall>.start|end, interior.start|end, product, registration,
    check_pass, concentrate, water, dye, rinsed, applicator, certificate, signed_by

A stretch found otherwise than quoted needs a photo as well: it changes what is
owed, so both sides want to see it. Its problem stands at `photo.<wall>`.

Fields kept by law for a restricted-use product: 40 CFR 171.303(b)(7). Second
coat no sooner than the product's drying time after the first: common practice
of the trade, no source, 20 minutes unless the product's edition says otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from decimal import ROUND_CEILING, Decimal

from portal.core.documents import Amounts, Certifier, TreatedWall, WallAsQuoted
from portal.core.errors import BadInput, Problem
from portal.core.words import Said, say

STATUSES = ("open", "wrapped", "sided")

#: What must be seen to before spraying. Common practice of the trade, no source.
READY = {
    "debris": say("Sawdust and debris cleared from the plates and corners"),
    "boxes": say("Outlet and low-voltage boxes covered"),
    "finished_wood": say("Finished wood shielded, or left for the brush"),
    "others_out": say("Nobody else in the work area"),
}
RESPIRATOR = say("Respirator worn in the crawl space")
CAUTIONS = say("Coveralls, gloves and eye protection on; the product's label read and followed")
RINSED = say("Emptied containers rinsed three times into the mix")
CHECKED = say("Gone over every section again for missed or light places")

#: A time of day and an amount as they are typed; nothing else that Python would read as one.
CLOCK = re.compile("([01][0-9]|2[0-3]):([0-5][0-9])")
AMOUNT = re.compile(r"[0-9]{1,6}(\.[0-9]{0,4})?|\.[0-9]{1,4}")

#: A figure this many times over or under the plan is a slip of the decimal point, not a house.
SLIP = 4


@dataclass(frozen=True, slots=True)
class Asked:
    """What the stop asks evidence for.

    `planned` is gallons of concentrate by the estimate, `planned_dye` its fluid ounces of dye;
    `day` and the times of the entry are of `zone`; `now` is any aware moment;
    `photographed` are the keys of the stretches that there is a photo of.
    """

    walls: Sequence[WallAsQuoted]
    interior_feet: Decimal
    crawl_space: bool
    day: date
    zone: tzinfo
    now: datetime
    dry_minutes: Decimal
    planned: Decimal
    water_per_concentrate: Decimal
    planned_dye: Decimal = Decimal(0)
    photographed: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Evidence:
    """A whole entry, read. Times are UTC, so that spans between them are true when the clocks change."""

    walls: tuple[TreatedWall, ...]
    found: dict[str, str]
    arrived: datetime
    finished: datetime
    interior: tuple[datetime, datetime] | None
    product_name: str
    registration: str
    container_lot: str
    amounts: Amounts
    applicator: Certifier
    conditions: str
    problems: str
    method: str
    checks: tuple[Said, ...]
    signed_by: str
    left_over: Decimal | None = None


class _Reader:
    """Reads fields one by one and keeps every problem, so that the technician hears all of them at once."""

    def __init__(self, raw: Mapping[str, str], asked: Asked) -> None:
        self.raw, self.asked = raw, asked
        self.problems: list[Problem] = []

    def wrong(self, at: str, says: Said) -> None:
        self.problems.append(Problem(at, says))

    def text(self, at: str, missing: Said, limit: int = 200) -> str:
        value = self.raw.get(at, "").strip()
        if not value:
            self.wrong(at, missing)
        elif len(value) > limit:
            self.wrong(at, say("At most {limit} characters, please.", limit=limit))
        return value

    def free(self, at: str, limit: int = 2000) -> str:
        value = self.raw.get(at, "").strip()
        if len(value) > limit:
            self.wrong(at, say("At most {limit} characters, please.", limit=limit))
        return value

    def ticked(self, at: str, what: Said) -> Said:
        if not self.raw.get(at):
            self.wrong(at, say("Not confirmed: {what}.", what=what))
        return what

    def moment(self, at: str, what: Said) -> datetime | None:
        typed = self.raw.get(at, "").strip()
        if not typed:
            self.wrong(at, say("Missing: {what}.", what=what))
            return None
        clock = read_clock(typed)
        if clock is None:
            self.wrong(at, say("“{read}” is no time of day; write 08:40 or 13:05.", read=typed[:20]))
            return None
        moment = self.at(clock)
        if moment.astimezone(self.asked.zone).time() != clock:
            says = say("There was no {read} on this day: the clocks went forward.", read=clock)
            self.wrong(at, says)
            return None
        if moment > self.asked.now:
            self.wrong(at, say("{read} has not come yet.", read=clock))
            return None
        return moment

    def at(self, clock: time, fold: int = 0) -> datetime:
        """The moment of a time of day; of an hour that comes twice the first, or with `fold` the second."""
        local = datetime.combine(self.asked.day, clock.replace(fold=fold), tzinfo=self.asked.zone)
        return local.astimezone(UTC)

    def local(self, moment: datetime) -> time:
        """A moment as a time of day where the office is."""
        return moment.astimezone(self.asked.zone).time()

    def span(self, at: str, what: Said) -> tuple[datetime, datetime] | None:
        start = self.moment(f"{at}.start", say("start of {what}", what=what))
        end = self.moment(f"{at}.end", say("end of {what}", what=what))
        if start is None or end is None:
            return None
        if end < start:
            # In the night the clocks go back, an hour comes twice: then the second one is meant.
            again = self.at(end.astimezone(self.asked.zone).time(), fold=1)
            end = again if start <= again <= self.asked.now else end
        if end < start:
            self.wrong(f"{at}.end", say("{what} ends before it starts.", what=what))
            return None
        return start, end

    def amount(self, at: str, what: Said, *, zero: bool = False, needed: bool = True) -> Decimal | None:
        typed = self.raw.get(at, "").strip()
        if not typed and not needed:
            return None
        if not typed:
            self.wrong(at, say("Missing: {what}.", what=what))
            return None
        value = Decimal(typed) if AMOUNT.fullmatch(typed) else None
        if value is None or (value == 0 and not zero):
            self.wrong(at, say("“{read}” is no amount for {what}.", read=typed[:20], what=what))
            return None
        return value


def read_evidence(raw: Mapping[str, str], asked: Asked) -> Evidence:
    """The whole entry, or `BadInput` with everything that is missing or cannot be."""
    read = _Reader(raw, asked)
    arrived = read.moment("arrived", say("time of arrival"))
    checks = _checks(read)
    walls = tuple(w for w in (_wall(read, wall) for wall in asked.walls) if w is not None)
    interior = read.span("interior", say("the interior walls")) if asked.interior_feet else None
    amounts = _amounts(read)
    product = read.text("product", say("Missing: the product's name, as on its label."))
    registration = read.text("registration", say("Missing: the EPA registration number on the label."))
    applicator = read.text("applicator", say("Missing: the applicator's name."))
    certificate = read.text("certificate", say("Missing: the applicator's certificate number."))
    signed = read.text("signed_by", say("Missing: your name, as a signature."))
    supervisor, container = read.free("supervisor", 200), read.free("container_lot", 100)
    left_over = read.amount("left_over", say("gallons of mix left over"), zero=True, needed=False)
    conditions, trouble = read.free("conditions"), read.free("problems")
    method = read.free("method", 200) or "hand or backpack sprayer, brush beside finished wood"
    spans = [t for w in walls for t in (w.first_start, w.first_end, w.second_start, w.second_end) if t]
    spans += list(interior or ())
    if arrived and spans and min(spans) < arrived:
        read.wrong("arrived", say("The first coat starts before you arrived."))
    if read.problems or arrived is None or amounts is None or not spans:
        raise BadInput(read.problems)
    return Evidence(
        walls, {w.key: w.found for w in walls}, arrived, max(spans), interior, product, registration,
        container,
        amounts, Certifier(applicator, certificate, supervisor), conditions, trouble, method, checks, signed,
        left_over,
    )  # fmt: skip


def _checks(read: _Reader) -> tuple[Said, ...]:
    said = [read.ticked("cautions", CAUTIONS)]
    said += [read.ticked(f"ready.{key}", what) for key, what in READY.items()]
    if read.asked.crawl_space:
        said.append(read.ticked("ready.respirator", RESPIRATOR))
    said.append(read.ticked("check_pass", CHECKED))
    said.append(read.ticked("rinsed", RINSED))
    return tuple(said)


def _wall(read: _Reader, wall: WallAsQuoted) -> TreatedWall | None:
    where = say("{label}, {story}", label=wall.label, story=wall.story)
    found = read.raw.get(f"found.{wall.key}", "")
    if found not in STATUSES:
        read.wrong(f"found.{wall.key}", say("Confirm the siding: {where}.", where=where))
        found = ""
    if found and found != wall.status and wall.key not in read.asked.photographed:
        says = say("Take a photo: {where} is found otherwise than it was quoted.", where=where)
        read.wrong(f"photo.{wall.key}", says)
    first = read.span(f"first.{wall.key}", say("the first coat, {where}", where=where))
    second = None
    if found == "sided":
        second = _second(read, wall, first, where)
    if not found or first is None or (found == "sided" and second is None):
        return None
    return TreatedWall(
        wall.key, wall.story, wall.label, wall.feet, wall.status, found, *first, *(second or ())
    )


def _second(
    read: _Reader, wall: WallAsQuoted, first: tuple[datetime, datetime] | None, where: Said
) -> tuple[datetime, datetime] | None:
    at = f"second.{wall.key}"
    second = read.span(at, say("the second coat, {where}", where=where))
    if first is None or second is None:
        return second
    earliest = second_coat_from(first[1], read.asked.dry_minutes)
    if second[0] < earliest:
        read.wrong(f"{at}.start", say(
            "The second coat, {where}, may start at {earliest}: "
            "{dry} minutes after the first ended at {ended}.",
            where=where, earliest=read.local(earliest), dry=read.asked.dry_minutes,
            ended=read.local(first[1]),
        ))  # fmt: skip
        return None
    return second


def _amounts(read: _Reader) -> Amounts | None:
    concentrate = read.amount("concentrate", say("gallons of concentrate"))
    water = read.amount("water", say("gallons of water"))
    dye = read.amount("dye", say("fluid ounces of dye"), zero=True)
    if concentrate is None or water is None or dye is None:
        return None
    planned = read.asked.planned
    if planned and not planned / SLIP <= concentrate <= planned * SLIP:
        read.wrong("concentrate", say(
            "{read} gal cannot be right for this house: {planned} gal were planned.",
            read=concentrate, planned=planned,
        ))  # fmt: skip
        return None
    ratio = read.asked.water_per_concentrate
    if not concentrate * ratio / SLIP <= water <= concentrate * ratio * SLIP:
        read.wrong("water", say(
            "{read} gal of water do not go with {concentrate} gal of concentrate: "
            "the product takes {ratio} to 1.",
            read=water, concentrate=concentrate, ratio=ratio,
        ))  # fmt: skip
        return None
    most = read.asked.planned_dye * SLIP
    if most and dye > most:
        read.wrong("dye", say(
            "{read} fl oz of dye cannot be right for this house: {planned} fl oz were planned.",
            read=dye, planned=read.asked.planned_dye,
        ))  # fmt: skip
        return None
    return Amounts(concentrate, water, dye)


def second_coat_from(first_ended: datetime, dry_minutes: Decimal) -> datetime:
    """When the second coat may start: times are taken to the minute, so a part of one is rounded up."""
    return first_ended + timedelta(minutes=int(dry_minutes.to_integral_value(ROUND_CEILING)))


def read_clock(typed: str) -> time | None:
    """A time of day as it is typed, 08:40, or None."""
    return time.fromisoformat(typed) if CLOCK.fullmatch(typed) else None


def earliest_second_coat(raw: Mapping[str, str], wall: str, dry_minutes: Decimal) -> time | None:
    """The time of day from which a wall may get its second coat, as the page shows it.

    None while its first coat has no end that can be read.
    """
    ended = read_clock(raw.get(f"first.{wall}.end", "").strip())
    if ended is None:
        return None
    return second_coat_from(datetime.combine(date.min, ended), dry_minutes).time()
