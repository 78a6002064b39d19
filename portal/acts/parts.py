"""What every act is handed: who acts, and the parts of the house."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Protocol
from zoneinfo import ZoneInfo

import msgspec

from portal.core.cover.codes import Code
from portal.core.errors import NotAllowed
from portal.core.words import say
from portal.links import Links
from portal.passwords import Passwords
from portal.store.blobs import Blobs
from portal.store.transaction import Store
from portal.tokens import Tokens


@dataclass(frozen=True, slots=True)
class Actor:
    """The person who acts. `kind` is builder, office, technician or system; `rights` are a builder's."""

    person_id: str | None
    name: str
    email: str
    kind: str
    owner: bool = False
    company_id: str | None = None
    company: str = ""
    rights: frozenset[str] = frozenset()


#: What a person of a builder's company may do beyond what all of them may: ask, and look at lots, plans,
#: takeoffs and quotes with their prices, which whoever asks works out anyway.
#:   accept  answers quotes: accepts, declines, has a purchaser answer through a mailed link
#:   money   sees what was billed, paid and is owed: the invoice's sheet, its paper, its letters
#:   people  invites and removes the company's people, changes their rights and the company's address
RIGHTS = ("accept", "money", "people")
LACKING = {
    "accept": say("Answering quotes is not among your rights. Ask somebody of your company who has it."),
    "money": say("Money is not among your rights. Ask somebody of your company who has it."),
    "people": say("Changing people is not among your rights. Ask somebody of your company who has it."),
}

SYSTEM = Actor(None, "Sillbook", "", "system")
#: Whoever acts by a record's link: the history, which is kept for good, says what was done, not by whom.
NOBODY = Actor(None, "", "", "system")


class LetterText(Protocol):
    """A mail before it has an address."""

    @property
    def subject(self) -> str: ...
    @property
    def text(self) -> str: ...
    @property
    def html(self) -> str: ...


@dataclass(frozen=True, slots=True)
class WrittenLetter:
    """A `LetterText` as a plain record."""

    subject: str
    text: str
    html: str


class LetterWriter(Protocol):
    """Writes a letter of a kind (a folder of templates) from plain values."""

    def write(self, kind: str, values: Mapping[str, Any]) -> LetterText: ...


class Enclosure(Protocol):
    """A file that travels in a paper."""

    @property
    def name(self) -> str: ...
    @property
    def content(self) -> bytes: ...


class PaperMaker(Protocol):
    """Makes the bytes of a paper from its frozen document and the few values that stand beside it."""

    def make(self, kind: str, document: msgspec.Struct, beside: Mapping[str, Any]) -> bytes: ...
    def bind(
        self, sheets: Sequence[tuple[str, msgspec.Struct, Mapping[str, Any]]], enclosed: Enclosure
    ) -> bytes: ...
    def summary(self, document: msgspec.Struct) -> bytes | None: ...


class ReadSignature(Protocol):
    """A signature of ours on a PDF. `whole`: it is for exactly these bytes."""

    @property
    def key(self) -> str: ...
    @property
    def whole(self) -> bool: ...


class PublicKeys(Protocol):
    """What everybody may know of a pair of keys."""

    @property
    def name(self) -> str: ...
    @property
    def told(self) -> str: ...
    @property
    def sha256(self) -> str: ...
    @property
    def distrusted(self) -> date | None: ...


class Sealer(Protocol):
    """Signs papers and codes with the office's keys; raises `Refused` where there is none to sign with."""

    def key(self, now: datetime) -> str: ...
    def sign_paper(self, pdf: bytes, at: datetime, reason: str) -> bytes: ...
    def sign_code(self, said: str, at: datetime) -> bytes: ...
    def read_paper(self, pdf: bytes) -> ReadSignature | None: ...
    def is_ours(self, code: Code) -> bool: ...
    def distrusted(self, key: str) -> date | None: ...
    def public(self) -> Sequence[PublicKeys]: ...


@dataclass(frozen=True, slots=True)
class Luck:
    """Draws that nobody can guess. `below(n)` is a whole number from 0 to n - 1; `token()` a link's text."""

    below: Callable[[int], int]
    token: Callable[[], str]


@dataclass(frozen=True, slots=True)
class Parts:
    """The parts of the house, built at the edge."""

    store: Store
    blobs: Blobs
    papers: PaperMaker
    letters: LetterWriter
    links: Links
    tokens: Tokens
    passwords: Passwords
    luck: Luck
    now: Callable[[], datetime]
    zone: ZoneInfo
    mail_domain: str
    seal: Sealer
    demo: bool = False

    def today(self) -> date:
        """The calendar day where the office is."""
        return self.now().astimezone(self.zone).date()


def must_be(who: Actor, *kinds: str) -> None:
    """Refuse everybody but these kinds of person."""
    if who.kind not in kinds:
        raise NotAllowed(say("This is not yours to do."))


def must_be_owner(who: Actor) -> None:
    """Refuse everybody but an owner."""
    if who.kind != "office" or not who.owner:
        raise NotAllowed(say("Only an owner may change this."))


def has(who: Actor, right: str) -> bool:
    """Whether this person has a right. Rights divide a builder's people; the office's work is its own."""
    assert right in RIGHTS, right
    return who.kind in ("office", "system") or right in who.rights


def must_have(who: Actor, right: str) -> None:
    """Refuse whoever lacks a right."""
    if not has(who, right):
        raise NotAllowed(LACKING[right])
