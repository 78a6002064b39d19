"""One family of errors. Each is named for what happened and carries its subject."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from portal.core.words import Said, say


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong, and where: `at` is the path of the field it concerns."""

    at: str
    says: Said


class SillbookError(Exception):
    """The base of everything that the house refuses on purpose."""


class BadInput(SillbookError):
    """What was entered cannot be used: every problem found, not just the first."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{p.at}: {p.says}" if p.at else str(p.says) for p in self.problems))


class SameLot(BadInput):
    """The lot that was entered is here already: which it is, so that it can be opened."""

    def __init__(self, lot_id: str, problems: Iterable[Problem]) -> None:
        self.lot_id = lot_id
        super().__init__(problems)


class NotFound(SillbookError):
    """No such record, or none that this person may know of: the two are told alike."""

    def __init__(self, noun: str, key: object = "") -> None:
        self.noun, self.key = noun, key
        super().__init__(f"no {noun} {key}".strip())


class NotAllowed(SillbookError):
    """The person is known and the record is theirs to see, but this act is not theirs to do."""

    def __init__(self, says: Said) -> None:
        self.says = says
        super().__init__(str(says))


class Refused(SillbookError):
    """The act does not fit the state of the record: says why, and what would be right."""

    def __init__(self, says: Said) -> None:
        self.says = says
        super().__init__(str(says))


class Overtaken(SillbookError):
    """Somebody else changed the record since this person read it: who, and what they did last."""

    def __init__(self, noun: str, by: str = "", did: Said | None = None) -> None:
        self.noun, self.by, self.did = noun, by, did
        super().__init__(f"{noun} was changed" + (f" by {by}" if by else ""))


class TooManyTries(SillbookError):
    """A door that slows down after a few wrong tries; `wait_seconds` until the next."""

    def __init__(self, wait_seconds: int) -> None:
        self.wait_seconds = wait_seconds
        super().__init__(f"too many tries, wait {wait_seconds} s")


def refuse(template: str, /, **values: object) -> Refused:
    """A `Refused` from a sentence in one line."""
    return Refused(say(template, **values))
