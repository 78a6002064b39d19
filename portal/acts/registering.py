"""The warranty register: searched, counted, and taken out as CSV."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from portal.acts.parts import Actor, Parts, must_be
from portal.core.cover.numbers import read_number
from portal.core.errors import BadInput
from portal.store import people, registered
from portal.store.registered import RegisterFilter, RegisterRow

__all__ = ["PAGE", "RegisterFilter", "RegisterPage", "RegisterRow", "register", "register_rows"]

PAGE = 100


@dataclass(frozen=True, slots=True)
class RegisterPage:
    """A page of the register. `builders` are all there are, by id; `more` is the page after it, if any."""

    rows: list[RegisterRow]
    states: dict[str, int]
    years: dict[int, int]
    builders: dict[str, str]
    more: RegisterFilter | None

    @property
    def total(self) -> int:
        """How many there are in all states of what was asked for."""
        return sum(self.states.values())


def register(parts: Parts, who: Actor, which: RegisterFilter) -> RegisterPage:
    """The register. A text may be part of an address, lot or builder, or a number however it is typed."""
    must_be(who, "office")
    which, today = _read(which), parts.today()
    with parts.store.reading() as work:
        rows = registered.rows(work, which, today, PAGE + 1)
        more = replace(which, after=(rows[PAGE - 1].treated_on, rows[PAGE - 1].id)) if rows[PAGE:] else None
        counts = registered.counts(work, which, today)
        builders = {company.id: company.name for company in people.companies(work)}
        return RegisterPage(rows[:PAGE], counts.states, counts.years, builders, more)


def register_rows(parts: Parts, who: Actor, which: RegisterFilter) -> Iterator[RegisterRow]:
    """Every row that fits, for a file. What it takes is asked before the first is read."""
    must_be(who, "office")
    return _every_row(parts, _read(which))


def _every_row(parts: Parts, which: RegisterFilter) -> Iterator[RegisterRow]:
    with parts.store.reading() as work:
        yield from registered.every_row(work, which, parts.today())


def _read(which: RegisterFilter) -> RegisterFilter:
    try:
        return replace(which, text="", number=read_number(which.text))
    except BadInput:
        return which
