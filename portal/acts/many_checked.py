"""Rows of a list, each checked as if it were asked for now: its house, its price, whether it is here."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from portal.acts import asking
from portal.acts.asking import LotAsked
from portal.acts.editions import InForce, in_force
from portal.acts.estimating import Figures, figures
from portal.acts.parts import Parts
from portal.acts.siting import Sites
from portal.core.documents import fingerprint
from portal.core.errors import BadInput, Problem
from portal.core.jsontext import quoted
from portal.core.pricing.site import Site
from portal.core.sheets.identity import content, identity
from portal.core.sheets.kept import kept_problems, kept_row
from portal.core.sheets.rows import LotRow, read_row
from portal.core.takeoff.mirror import mirrored
from portal.core.words import say
from portal.store import lists, plans
from portal.store.transaction import Work

#: Where a lot is, as its taxes and its agreements ask for it.
PLACE = ("subdivision", "state", "town")
#: Where an engine's path, or a field of the asking form, lies in a sheet.
COLUMN_OF = (("width", "width"), ("depth", "depth"), ("interior", "interior"), ("outline", "exterior"),
             ("siding", "siding"), ("repeat", "stories"), ("name", "lot"))  # fmt: skip


@dataclass(slots=True)
class Houses:
    """Houses worked out by the editions of one day; of two alike but for their names, once."""

    editions: InForce
    sites: Sites
    known: dict[tuple[str, Site], Figures | BadInput] = field(default_factory=dict)

    def figures(self, house: dict[str, Any], foundation: str, *where: str) -> Figures:
        """The figures of a house on its site: subdivision, state and town. Raises `BadInput`."""
        site = self.sites.asked(foundation, *where)
        key = fingerprint({"levels": house["levels"]}), site
        if key not in self.known:
            try:
                self.known[key] = figures(house, self.editions, site)
            except BadInput as bad:
                self.known[key] = bad
        found = self.known[key]
        if isinstance(found, BadInput):
            raise BadInput(found.problems)
        return replace(found, answer=found.answer | {"name": house["name"]})


def houses_of(parts: Parts, work: Work, company_id: str) -> Houses:
    """Houses of a builder, to be worked out today."""
    today = parts.today()
    return Houses(in_force(work, today), Sites(work, company_id, today))


@dataclass(slots=True)
class Checker:
    """Checks the rows of one list in one transaction. Plans and houses that come again are asked for once."""

    work: Work
    company_id: str
    houses: Houses
    plans: dict[str, tuple[Any, Any]] = field(default_factory=dict)

    def edition_of(self, row: LotRow) -> Any:
        """The newest edition of the plan that a row names, or None where there is no such plan to offer."""
        key = plans.name_key(row.plan)
        if key not in self.plans:
            plan = plans.any_named(self.work, self.company_id, row.plan)
            offered = plan is not None and plan.retired_at is None
            edition = plans.newest_edition(self.work, plan.id) if plan is not None and offered else None
            self.plans[key] = plan, edition
        plan, edition = self.plans[key]
        if plan is None:
            row.wrong("plan", say(
                "{read} is none of your house plans; add it to them, or write a name as it stands there.",
                read=quoted(row.plan),
            ))  # fmt: skip
        elif edition is None:
            row.wrong("plan", say("The house plan {read} is retired; name another, or offer it again.",
                                  read=quoted(row.plan)))  # fmt: skip
        return edition

    def check(self, row: LotRow) -> tuple[str, str, Any]:
        """Feet and price of a row's house, and the edition of its plan; what is wrong is told in the row."""
        edition = self.edition_of(row) if row.plan else None
        house = house_of(row, edition.house) if edition is not None else row.house
        if house is None:
            return "", "", edition
        try:
            answer = self.houses.figures(house, row.foundation, *(row.texts[key] for key in PLACE)).answer
            if not row.problems:
                asking.check(lot_asked(row, house))
            return answer["feet"]["total"], answer["price"]["total"], edition
        except BadInput as bad:
            row.problems += [Problem(column_of(one.at), one.says) for one in bad.problems]
            return "", "", edition


def column_of(at: str) -> str:
    """The column of a sheet that a path of the engine, or a field of the asking form, is read from."""
    return next((column for part, column in COLUMN_OF if part in at), at if "." not in at else "")


def house_of(row: LotRow, house: dict[str, Any]) -> dict[str, Any]:
    """The house of a plan as a row wants it: the other way around, with the row's own siding."""
    found = mirrored(house) if row.mirrored else house
    if not row.siding:
        return found
    levels = [dict(level) | {"siding": row.siding} for level in found["levels"]]
    for level in levels:
        if level["outline"].get("by") == "walk":
            walls = [{key: one for key, one in wall.items() if key != "siding"}
                     for wall in level["outline"]["walls"]]  # fmt: skip
            level["outline"] = level["outline"] | {"walls": walls}
    return found | {"levels": levels}


def lot_asked(row: LotRow, house: dict[str, Any]) -> LotAsked:
    """A row as a lot that is asked for; its house is called after it, as on the asking page."""
    texts = {key: text for key, text in row.texts.items() if key != "lot"}
    return LotAsked(
        name=row.texts["lot"], **texts, foundation=row.foundation, framing_done=None,
        siding_starts=row.siding_starts, insulation_starts=row.insulation_starts,
        house=house | {"name": row.texts["lot"] or "House"},
    )  # fmt: skip


def check_rows(parts: Parts, work: Work, found: Any) -> None:
    """Judge every row of a list: good, bad with its reasons, or entered before."""
    checker = Checker(work, found.company_id, houses_of(parts, work, found.company_id))
    stored = lists.rows(work, found.id)
    judged = []
    for one in stored:
        row = read_row(one.cells, found.naming, found.fill)
        feet, price, edition = checker.check(row)
        one.identity, one.content = identity(row.texts), content(kept_row(row))
        one.feet, one.price, one.lot_id, one.same_as = feet, price, None, None
        one.said = kept_row(row) | {"edition": edition.id if edition is not None else None}
        judged.append((one, row))
    here = Here.of(work, found.company_id, [one for one, row in judged if not row.problems])
    for one, row in judged:
        if not row.problems:
            one.state = here.judge(one, row)
        one.problems = kept_problems(row.problems)
        if row.problems:
            one.state = "bad"


@dataclass(slots=True)
class Here:
    """Which lots are here already, and which stand further up in the same list."""

    entered: dict[str, tuple[str, str]]
    asked: dict[str, str]
    above: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def of(cls, work: Work, company_id: str, rows: list[Any]) -> Here:
        """What is here already of the lots in these rows, from a list or from the asking page."""
        numbers = {row.said["texts"]["house_number"] for row in rows}
        asked = {identity(place): place["id"] for place in lists.places(work, company_id, numbers)}
        return cls(lists.identities(work, company_id, [row.identity for row in rows]), asked)

    def judge(self, one: Any, row: LotRow) -> str:
        """Whether a row with nothing wrong in it is good, or was entered before; by which lot, or line."""
        known, asked, above = (
            self.entered.get(one.identity), self.asked.get(one.identity), self.above.get(one.identity),
        )  # fmt: skip
        if known is not None:
            one.lot_id = known[1]
            if known[0] != one.content:
                row.wrong("", OTHERWISE)
        elif asked is not None:
            one.lot_id = asked
        elif above is not None:
            one.same_as = above.line
            if above.content != one.content:
                row.wrong("", say(
                    "Line {line} is the same lot with something else in it; keep one of the two.",
                    line=above.line,
                ))  # fmt: skip
        else:
            self.above[one.identity] = one
            return "good"
        return "before"


OTHERWISE = say(
    "This lot was entered before, with something else in it. Change what was asked on the lot's own page."
)


def sums(figures_: list[tuple[str, str]]) -> tuple[str, str]:
    """Feet and price of several rows together."""
    feet = sum((Decimal(feet) for feet, _ in figures_ if feet), Decimal(0))
    price = sum((Decimal(price) for _, price in figures_ if price), Decimal(0))
    return str(feet), str(price)
