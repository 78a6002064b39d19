"""A house to act in: parts on a fresh store, a clock that the test turns, steady luck, a cast.

The vocabulary takes a lot as far as a test needs it: `asked`, `to_check`, `approved`,
`sent`, `accepted`, `booked`, `treated`, `paid`. Each goes on from a lot's id, or asks for
a new lot first, with anything about it by name: `house.sent(foundation="basement")`.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from itertools import count
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import msgspec
import pytest
from argon2 import PasswordHasher

from portal.acts import (
    asking,
    billing,
    booking,
    editions,
    many,
    people,
    photographing,
    quoting,
    sheet,
    treating,
)
from portal.acts.parts import SYSTEM, Actor, Luck, Parts, WrittenLetter
from portal.core.cover.codes import Code
from portal.formats import Formats
from portal.links import Links
from portal.papers import Papers
from portal.passwords import Passwords
from portal.sealing import Keys
from portal.settings import Settings
from portal.store.blobs import Blobs
from portal.store.tables import History, Letter
from portal.store.transaction import Store, connect
from portal.tokens import Tokens
from tests.parts.postgres import PostgresServer

ZONE = ZoneInfo("America/Chicago")
PASSWORD = "framing before drywall"
#: Less work than a real one: what a test of an act waits for is not argon2.
QUICK_HASHER = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)

FIRM: dict[str, Any] = {
    "name": "Trestle Wood Care", "address": ["9 Planer Street", "Marlow Ferry, IA 52999"],
    "phone": "555-0107",
    "email": "office@trestle.example.com", "license": "WT-1 (invented)", "quote_days": 30, "net_days": 30,
    "pay_to": "Trestle Wood Care, 9 Planer Street", "tax_number": "ST-1 (invented)",
}  # fmt: skip
PRODUCT: dict[str, Any] = {
    "figures": {"name": "Borate concentrate A"}, "registration": "00000-00", "classification": "unclassified",
    "active_ingredient": "disodium octaborate tetrahydrate",
}  # fmt: skip
RATES: dict[str, Any] = {"tax_percent": "7", "call_out": "35.00"}
TERMS: dict[str, Any] = {
    "title": "Framing warranty", "years": 10, "covers": ["Treating again."], "voids": ["Wood cut afterward."],
    "ask": "Call the office.", "notice": "The office's own promise.", "release": "paid",
}  # fmt: skip
EDITIONS = {"firm": FIRM, "product": PRODUCT, "rates": RATES, "crew": {}, "terms": TERMS}

CHECKS = (
    "cautions", "ready.debris", "ready.boxes", "ready.finished_wood", "ready.others_out", "check_pass",
    "rinsed",
)  # fmt: skip
#: A photo of one gray pixel, as small as a PNG gets.
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010800000000"
    "3a7e9b550000000a4944415478da6368000000820081da45083b0000000049454e44ae426082"
)


def ranch(siding: Any = None, interior: str = "128") -> dict[str, Any]:
    """57 by 27 ft, one story; unless said otherwise its south side is sided and its east side wrapped."""
    faces = {"by": "face", "north": "open", "east": "wrapped", "south": "sided", "west": "open"}
    outline = {"by": "rectangles", "rectangles": [{"west": "0", "south": "0", "width": "57", "depth": "27"}]}
    inside = {"by": "measured", "length": interior}
    level = {"name": "Main floor", "outline": outline, "interior": inside, "siding": siding or faces}
    return {"name": "Ranch", "levels": [level]}


class Clock:
    """Stands still until a test turns it."""

    def __init__(self, moment: datetime) -> None:
        self.moment = moment

    def __call__(self) -> datetime:
        return self.moment.astimezone(UTC)

    def turn_to(self, day: date, hour: int = 8, minute: int = 0) -> None:
        """Put the clock to an hour of a day, in the office's zone."""
        self.moment = datetime.combine(day, time(hour, minute), tzinfo=ZONE)

    def pass_by(self, **span: float) -> None:
        """Let time pass: hours=2, days=40."""
        self.moment = self.moment.astimezone(UTC) + timedelta(**span)


class PlainLetters:
    """Writes letters without templates: the kind as the subject, the values as the text."""

    def write(self, kind: str, values: Mapping[str, Any]) -> WrittenLetter:
        """The letter."""
        text = "\n".join(f"{name}: {value}" for name, value in values.items())
        return WrittenLetter(kind, text, f"<p>{kind}</p>")


class PlainPapers:
    """Makes papers without a press: the kind and the document as text. `made` counts them."""

    def __init__(self) -> None:
        self.made = 0

    def make(self, kind: str, document: msgspec.Struct, beside: Mapping[str, Any]) -> bytes:
        """The bytes."""
        self.made += 1
        return msgspec.json.encode({"kind": kind, "document": document, "beside": dict(beside)})

    def bind(self, sheets: Any, enclosed: Any) -> bytes:
        """The kinds, and the file's name."""
        self.made += 1
        return msgspec.json.encode([[kind for kind, _document, _beside in sheets], enclosed.name])

    def summary(self, document: msgspec.Struct) -> bytes | None:
        """The real one: it needs no press."""
        return Papers("Letter", Formats("en_US", UTC, translate=str)).summary(document)


class PlainSeal:
    """Signs without keys: a line at the end that counts, so that signing twice gives other bytes."""

    def __init__(self) -> None:
        self.signed, self.names = 0, ["0000c0de"]

    def key(self, now: datetime) -> str:
        """The newest name."""
        return self.names[-1]

    def sign_paper(self, pdf: bytes, at: datetime, reason: str) -> bytes:
        """The same, with a line more."""
        self.signed += 1
        return pdf + f"\nsigned {self.signed} with {self.names[-1]}".encode()

    def sign_code(self, said: str, at: datetime) -> bytes:
        """Nothing anybody could check."""
        return bytes(64)

    def read_paper(self, pdf: bytes) -> None:
        """No signature at all."""

    def is_ours(self, code: Code) -> bool:
        """Never."""
        return False

    def distrusted(self, key: str) -> None:
        """None."""

    def public(self) -> tuple[()]:
        """None."""
        return ()


class House:
    """The parts, the clock, the cast, and the vocabulary of a test."""

    def __init__(self, settings: Settings, moment: datetime) -> None:
        """`settings.database` is migrated and empty. Nobody is there until `furnish`."""
        self.settings, self.clock = settings, Clock(moment)
        self.draw = draw = random.Random(7)
        luck = Luck(below=draw.randrange, token=lambda: f"{draw.getrandbits(160):032x}"[:32])
        store = Store(connect(settings.database), self.clock, _ids(draw))
        self.parts = Parts(
            store=store, blobs=Blobs(settings.blobs), papers=PlainPapers(), letters=PlainLetters(),
            links=Links(settings.base_url), tokens=Tokens(settings.secret, self.clock),
            passwords=Passwords(QUICK_HASHER), luck=luck, now=self.clock, zone=ZONE,
            mail_domain="example.com", seal=PlainSeal(), demo=settings.demo,
        )  # fmt: skip
        self._keys, self._lots = count(1), count(1)

    def use_real(self) -> None:
        """From here on the real papers and letters, as pages and journeys want them."""
        from portal import wiring

        real = wiring.build(self.settings, self.clock)
        real.store.engine.dispose()
        self.parts = replace(self.parts, papers=real.papers, letters=real.letters, seal=real.seal)
        Keys(self.settings.key_folder).make("Trestle Wood Care", self.clock())

    def furnish(self) -> None:
        """An owner, an office person, two technicians, two builders with a person each, and all editions."""
        self.owner = self.person("office", "Odile Marchbank", owner=True)
        for kind, document in EDITIONS.items():
            self.enter(kind, document)
        self.office = self.person("office", "Terrence Udall")
        self.technician = self.person("technician", "Wendell Pike", certificate="CA-0417")
        self.second_technician = self.person("technician", "Rosa Imber", certificate="CA-0533")
        self.builder = self.person("builder", "Harriet Finch", company="Harrow & Finch Homes")
        self.rival = self.person("builder", "Bram Sorrel", company="Osier Creek Builders")

    def cast(self) -> dict[str, Any]:
        """The persons, to be found again in a copy of the database by `recall`."""
        return {name: who for name, who in vars(self).items() if isinstance(who, Actor)}

    def recall(self, cast: dict[str, Any], draws: Any) -> None:
        """Be furnished as the house was whose database this one is a copy of."""
        vars(self).update(cast)
        self.draw.setstate(draws)

    def go_on_counting(self, first: int) -> None:
        """Once-keys and lots from this number on: those before are in the database that was copied."""
        self._keys, self._lots = count(first), count(first)

    # Who and what there is.

    def person(self, kind: str, name: str, company: str = "", **more: Any) -> Actor:
        """Somebody who has joined; their mail address is their first name at example.com."""
        email = f"{name.split()[0].lower()}@example.com"
        if company:
            more["company_id"] = people.add_company(
                self.parts, self.office, company, "4 Weir Road", "555-0120", ""
            )
        person = people.invite(self.parts, SYSTEM, kind, name, email, **more)
        token = self.parts.tokens.make("invitation", {"person": person, "turn": 0})
        people.set_password(self.parts, "invitation", token, PASSWORD)
        return people.actor_by_email(self.parts, email)

    def enter(self, kind: str, document: dict[str, Any], first_day: date | None = None) -> int:
        """An edition, from today on unless said otherwise."""
        return editions.enter(self.parts, self.owner, kind, first_day or self.parts.today(), document)

    def key(self) -> str:
        """A fresh once-key."""
        return f"key-{next(self._keys)}"

    # A lot, taken as far as a test needs it.

    def lot_asked(self, **changes: Any) -> asking.LotAsked:
        """What a builder enters."""
        number = next(self._lots)
        entered: dict[str, Any] = {
            "name": f"Lot {number}", "subdivision": "Quarry Bend", "house_number": str(100 + number),
            "street": "Lime Kiln Lane", "town": "Marlow Ferry", "state": "IA", "postal_code": "52999",
            "foundation": "slab", "siding_starts": None, "insulation_starts": None, "notes": "",
            "house": ranch(),
        }  # fmt: skip
        return asking.LotAsked(**entered | changes)

    def asked(self, by: Actor | None = None, **changes: Any) -> str:
        """A lot that was asked for."""
        return asking.ask(self.parts, by or self.builder, self.lot_asked(**changes), self.key())

    def to_check(self, lot_id: str = "", **changes: Any) -> str:
        """A quote that was started."""
        lot_id = lot_id or self.asked(**changes)
        quoting.start(self.parts, self.office, lot_id, self.version(lot_id))
        return lot_id

    def approved(self, lot_id: str = "", **changes: Any) -> str:
        """A quote that was approved."""
        lot_id = lot_id or self.to_check(**changes)
        quoting.approve(self.parts, self.office, lot_id, self.version(lot_id), "")
        return lot_id

    def sent(self, lot_id: str = "", **changes: Any) -> str:
        """A quote that was sent."""
        lot_id = lot_id or self.approved(**changes)
        quoting.send(self.parts, self.office, lot_id, self.version(lot_id))
        return lot_id

    def accepted(self, lot_id: str = "", purchase_order: str = "PO-1", **changes: Any) -> str:
        """A quote that was accepted."""
        lot_id = lot_id or self.sent(**changes)
        self.accept(lot_id, purchase_order=purchase_order)
        return lot_id

    def booked(self, lot_id: str = "", day: date | None = None, **changes: Any) -> str:
        """A treatment booked with the technician, for today unless said otherwise."""
        lot_id = lot_id or self.accepted(**changes)
        self.book(lot_id, day or self.parts.today(), reason="As agreed.")
        return lot_id

    def treated(self, lot_id: str = "", found: Mapping[str, str] | None = None, **changes: Any) -> str:
        """A lot marked treated, at six in the evening of today. `found` is the siding where it differs."""
        lot_id = lot_id or self.booked(**changes)
        self.clock.turn_to(self.parts.today(), 18)
        self.mark(lot_id, self.entry(lot_id, found))
        return lot_id

    def paid(self, lot_id: str = "", **changes: Any) -> str:
        """A lot whose invoice was paid in full."""
        lot_id = lot_id or self.treated(**changes)
        self.pay(lot_id, str(self.invoice(lot_id).open))
        return lot_id

    def listed(self, by: Actor | None = None) -> str:
        """A sheet of two lots that was read: one to ask for, and one with a mistake in it."""
        lines = ["Lot,Address,Town,State,ZIP code,Foundation,Exterior feet,Interior feet,Siding"]
        for number, siding in ((91, "open"), (92, "?")):
            lines.append(f"Lot {number},{number} Weir Road,Marlow Ferry,IA,52999,slab,168,128,{siding}")
        return many.read(self.parts, by or self.builder, "Two lots", "\r\n".join(lines).encode(), self.key())

    # Single acts with what nobody wants to spell out each time.

    def accept(self, lot_id: str, by: Actor | None = None, key: str = "", **changes: Any) -> None:
        """Accept the newest revision that the builder sees."""
        by = by or self.builder
        offered = sheet.sheet(self.parts, by, lot_id).revisions[0]
        given: dict[str, Any] = {"number": offered.number, "seen": offered.fingerprint, "name": by.name,
                                 "purchase_order": ""} | changes  # fmt: skip
        quoting.accept(self.parts, by, lot_id, once_key=key or self.key(), **given)

    def book(self, lot_id: str, day: date | None, **changes: Any) -> None:
        """Book the technician."""
        given: dict[str, Any] = {
            "technician_id": self.technician.person_id,
            "notes": "",
            "reason": "",
            "kind": "builder",
        } | changes
        booking.book(self.parts, self.office, lot_id, self.version(lot_id), day=day, **given)

    def entry(self, lot_id: str, found: Mapping[str, str] | None = None, **changes: str) -> dict[str, str]:
        """A whole entry for the lot's stop: coats one after the other from 8:00, second coats from noon."""
        stop = treating.stop(self.parts, self.technician, self.job(lot_id))
        planned = stop.sheet.estimate["product"]
        entry = dict.fromkeys((*CHECKS, "ready.respirator"), "yes")
        for n, wall in enumerate(stop.sheet.walls):
            entry[f"found.{wall.key}"] = status = (found or {}).get(wall.key, wall.status)
            entry[f"first.{wall.key}.start"], entry[f"first.{wall.key}.end"] = (
                _clock(8, 2 * n),
                _clock(8, 2 * n + 2),
            )
            if status == "sided":
                entry[f"second.{wall.key}.start"], entry[f"second.{wall.key}.end"] = (
                    _clock(12, 2 * n),
                    _clock(12, 2 * n + 2),
                )
        return entry | {
            "arrived": "07:45", "interior.start": "10:30", "interior.end": "11:30",
            "product": "Borate concentrate A",
            "registration": "00000-00", "concentrate": planned["concentrate"], "water": planned["water"],
            "dye": planned["dye_floz"], "applicator": self.technician.name, "certificate": "CA-0417",
            "signed_by": self.technician.name,
        } | changes  # fmt: skip

    def mark(self, lot_id: str, entry: dict[str, str], key: str = "") -> None:
        """Mark the lot's stop treated, with a photo of each wall found otherwise than quoted."""
        job_id = self.job(lot_id)
        stop = treating.stop(self.parts, self.technician, job_id)
        shown = {photo.wall for photo in stop.photos}
        differing = [w.key for w in stop.sheet.walls if entry.get(f"found.{w.key}", w.status) != w.status]
        if stop.state in ("booked", "on site"):
            self.photograph(job_id, [key for key in differing if key not in shown])
        treating.mark_treated(self.parts, self.technician, self.job(lot_id), entry, key or self.key())

    def photograph(self, job_id: str, walls: Iterable[str], content: bytes = PIXEL) -> None:
        """Photos of these walls; an empty key is a photo of a problem."""
        for wall in walls:
            shot = photographing.Shot("", wall, "", None, content)
            photographing.add_photo(self.parts, self.technician, job_id, shot)

    def pay(self, lot_id: str, amount: str, key: str = "", **changes: Any) -> None:
        """Record a payment on the lot's invoice, come today."""
        given: dict[str, Any] = {
            "method": "check",
            "reference": "2288",
            "received_on": self.parts.today(),
        } | changes
        billing.record_payment(
            self.parts, self.office, self.invoice(lot_id).id, amount, once_key=key or self.key(), **given
        )

    # What there is to see afterward.

    def sheet(self, lot_id: str, by: Actor | None = None) -> sheet.LotSheet:
        """The lot's sheet, as the office sees it."""
        return sheet.sheet(self.parts, by or self.office, lot_id)

    def version(self, lot_id: str) -> int:
        """The lot's version now."""
        return self.sheet(lot_id).version

    def job(self, lot_id: str) -> str:
        """The id of the lot's job."""
        job = self.sheet(lot_id).job
        assert job is not None
        return job.id

    def invoice(self, lot_id: str) -> sheet.InvoiceView:
        """The lot's invoice."""
        invoice = self.sheet(lot_id).invoice
        assert invoice is not None
        return invoice

    def warranty(self, lot_id: str) -> sheet.WarrantyView:
        """The lot's warranty."""
        warranty = self.sheet(lot_id).warranty
        assert warranty is not None
        return warranty

    def open_of(self, lot_id: str) -> Decimal:
        """What is still owed for the lot."""
        return self.invoice(lot_id).open

    def rows(self, table: type[Any]) -> int:
        """How many rows a table has."""
        with self.parts.store.reading() as work:
            return work.session.query(table).count()

    def letters(self) -> list[tuple[str, str]]:
        """Kind and receiver of every letter, in the order they were written."""
        with self.parts.store.reading() as work:
            rows = work.session.query(Letter).order_by(Letter.written_at, Letter.subject, Letter.to)
            return [(row.subject, row.to) for row in rows]

    def verbs(self, lot_id: str | None = None) -> list[str]:
        """The history, oldest line first: of one lot, or all of it."""
        with self.parts.store.reading() as work:
            rows = work.session.query(History).order_by(History.seq)
            return [row.verb for row in rows if lot_id in (None, row.lot_id)]


def _ids(draw: random.Random) -> Callable[[], str]:
    return lambda: "".join(draw.choices("abcdefghjkmnpqrstvwxyz23456789", k=20))


def _clock(hour: int, minute: int) -> str:
    return f"{hour + minute // 60:02}:{minute % 60:02}"


MORNING = datetime(2027, 5, 4, 8, tzinfo=ZONE)


def bare_house(url: str, folder: Path, *, demo: bool = False, moment: datetime = MORNING) -> House:
    """A house without anybody or anything in it. It is a Tuesday, May 4, 2027, eight in the morning."""
    base = "http://portal.example.com"
    settings = Settings(url, folder / "papers", "s" * 40, base, demo=demo, worker=False)
    return House(settings, moment)


def make_house(url: str, folder: Path, *, demo: bool = False, moment: datetime = MORNING) -> House:
    """A furnished house on a migrated, empty database."""
    house = bare_house(url, folder, demo=demo, moment=moment)
    house.furnish()
    return house


class Furnished:
    """Databases that are furnished already, copied from one that was furnished once a session and kind."""

    def __init__(self, folder: Path, migrated: Path) -> None:
        self.folder, self.migrated = folder, migrated
        self.kept: dict[str, tuple[dict[str, Any], Any]] = {}

    def _furnish(self, kind: str, url: str) -> None:
        house = make_house(url, self.folder)
        house.parts.store.engine.dispose()
        self.kept[kind] = (house.cast(), house.draw.getstate())

    def sqlite(self, copy: Path) -> House:
        """A house on a fresh SQLite file, which is `copy`."""
        first = self.folder / "furnished.db"
        if "sqlite" not in self.kept:
            shutil.copyfile(self.migrated, first)
            self._furnish("sqlite", f"sqlite:///{first}")
        shutil.copyfile(first, copy)
        return self._recalled("sqlite", f"sqlite:///{copy}", copy.parent)

    def postgres(self, server: PostgresServer, new_database: Callable[[], str], folder: Path) -> House:
        """A house on a fresh PostgreSQL database."""
        if "postgresql" not in self.kept:
            url = new_database()
            self._furnish("postgresql", url)
            self.first = url.partition("?")[0].rpartition("/")[2]
            self.numbers = count(1)
        name = f"house_{next(self.numbers)}"
        server.run(f"CREATE DATABASE {name} TEMPLATE {self.first}")
        return self._recalled("postgresql", server.url(name), folder)

    def _recalled(self, kind: str, url: str, folder: Path) -> House:
        house = bare_house(url, folder)
        house.recall(*self.kept[kind])
        return house


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory, migrated_sqlite: Path) -> Furnished:
    """Makes furnished houses in milliseconds."""
    return Furnished(tmp_path_factory.mktemp("furnished"), migrated_sqlite)


@pytest.fixture
def lite(furnished: Furnished, tmp_path: Path) -> Iterator[House]:
    """A furnished house on SQLite, for tests that do not ask what a database does."""
    house = furnished.sqlite(tmp_path / "house.db")
    yield house
    house.parts.store.engine.dispose()


@pytest.fixture
def postgres_house(
    furnished: Furnished, postgres_server: PostgresServer, new_postgres: Callable[[], str], tmp_path: Path
) -> Iterator[House]:
    """A furnished house on PostgreSQL."""
    house = furnished.postgres(postgres_server, new_postgres, tmp_path)
    yield house
    house.parts.store.engine.dispose()


@pytest.fixture(params=["sqlite", "postgresql"])
def house(request: pytest.FixtureRequest) -> House:
    """A furnished house; the test runs twice, on SQLite and on PostgreSQL."""
    wanted = "lite" if request.param == "sqlite" else "postgres_house"
    found = request.getfixturevalue(wanted)
    assert isinstance(found, House)
    return found


@pytest.fixture
def new_house(tmp_path: Path, request: pytest.FixtureRequest) -> Callable[..., House]:
    """Makes a furnished house of one's own: `new_house(url, moment=..., demo=...)`."""

    def make(url: str, **options: Any) -> House:
        house = make_house(url, tmp_path, **options)
        request.addfinalizer(house.parts.store.engine.dispose)
        return house

    return make
