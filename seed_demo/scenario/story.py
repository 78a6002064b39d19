"""The story: lots of one subdivision, each taken as far as its stage, day by day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from portal import wiring
from portal.acts import editions, people, quoting, registering, sheet, tax_tables, technician_days
from portal.acts.parts import SYSTEM, Actor, Parts
from portal.sealing import Keys
from portal.settings import Settings
from portal.store.registered import RegisterFilter
from seed_demo.scenario import bank, cast, money
from seed_demo.scenario.chasing import ChaseTale
from seed_demo.scenario.clock import StoryClock, steady_luck
from seed_demo.scenario.library import Library
from seed_demo.scenario.money import MoneyTale
from seed_demo.scenario.package import PackageTale
from seed_demo.scenario.plans import CREW_LOTS, LOTS
from seed_demo.scenario.promise import PromiseTale
from seed_demo.scenario.tale import Cast, LotTale


def load(settings: Settings, today: date | None = None) -> None:
    """Tell the whole story, up to the calendar's today or the one given, into a migrated, empty database."""
    zone = ZoneInfo(settings.zone)
    clock = StoryClock(today or wiring.now().astimezone(zone).date(), zone)
    parts = wiring.build(settings, clock, steady_luck())
    Keys(settings.key_folder).make(cast.FIRM["name"], wiring.now())
    Story(parts, clock).tell()


def sign_ins(parts: Parts) -> list[tuple[str, str, str, str, str]]:
    """The four kinds of user: kind, name, mail address, password, path to begin at."""
    office = people.actor_by_email(parts, cast.OFFICE[1])
    in_force = registering.register(parts, office, RegisterFilter(state="in force")).rows[0]
    number, lot_id = in_force.number, in_force.lot_id
    house = sheet.sheet(parts, office, lot_id).place.house_number
    builder = cast.BUILDERS["Harrow & Finch Homes"]["people"][0]
    return [
        ("Builder", *builder[:2], cast.PASSWORD, "/lots"),
        ("Office", *cast.OWNER, cast.PASSWORD, "/office/today"),
        ("Technician", *cast.TECHNICIANS[0][:2], cast.PASSWORD, "/stops"),
        ("Homeowner", f"{number}, house {house}", "", "", "/warranty"),
    ]


class Story:
    """Tells the story in the order of time, so that the history reads as it happened."""

    def __init__(self, parts: Parts, clock: StoryClock) -> None:
        self.parts, self.clock = parts, clock

    def tell(self) -> None:
        """Everything, in order."""
        self.clock.turn_to(self.clock.at(-120, 8))
        self.owner = self._person("office", *cast.OWNER, owner=True)
        self._editions()
        self.office = self._person("office", *cast.OFFICE)
        technicians = [
            self._person("technician", name, mail, certificate=number)
            for name, mail, number in cast.TECHNICIANS
        ]
        builders = {name: self._builder(name, firm) for name, firm in cast.BUILDERS.items()}
        acts = [*Library(self.parts, self.clock, builders["Harrow & Finch Homes"]).acts()]
        tales = []
        for plan in (*LOTS, *CREW_LOTS):
            technician = technicians[(plan.number + 1) % 2]
            who = Cast(self.office, self.owner, builders[plan.builder], technician)
            tales.append(LotTale(self.parts, self.clock, who, plan))
            acts += tales[-1].acts()
        acts += PromiseTale(self.parts, self.clock, tales[0], technicians[1]).acts()
        acts += MoneyTale(self.parts, self.clock, self.owner, self.office, builders[money.BUILDER],
                          technicians).acts()  # fmt: skip
        harriet = builders["Harrow & Finch Homes"]
        acts += PackageTale(self.parts, self.clock, self.office, self.owner, harriet).acts()
        chasing = ChaseTale(self.parts, self.clock, self.owner, self.office, harriet)
        chasing.enter()
        acts += chasing.acts()
        for moment, _number, act in sorted(acts, key=lambda one: one[:2]):
            self.clock.turn_to(moment)
            act()
        self.clock.turn_to(self.clock.at(-1, 18))
        self._days_off(technicians[0])
        self.clock.turn_to(self.clock.at(-1, 19))
        quoting.lapse(self.parts)
        bank.send_list(self.parts, self.office, self.clock.day(-1))

    def _days_off(self, technician: Actor) -> None:
        """One technician is away for two days of next week but one, and works Fridays till noon."""
        assert technician.person_id
        first = self.clock.day(14)
        last = first + timedelta(days=1)
        technician_days.add_days_off(
            self.parts, self.office, technician.person_id, first, last, "Recertification"
        )
        hours = ["8", "8", "8", "8", "4", "", ""]
        technician_days.set_week(self.parts, self.office, technician.person_id, hours)

    def _person(self, kind: str, name: str, email: str, **more: Any) -> Actor:
        by = SYSTEM if kind == "office" else self.office
        return self._join(people.invite(self.parts, by, kind, name, email, **more), email)

    def _join(self, person: str, email: str) -> Actor:
        token = self.parts.tokens.make("invitation", {"person": person, "turn": 0})
        people.set_password(self.parts, "invitation", token, cast.PASSWORD)
        return people.actor_by_email(self.parts, email)

    def _editions(self) -> None:
        today = self.parts.today()
        for kind, document in (("firm", cast.FIRM), ("product", cast.PRODUCT), ("rates", cast.RATES),
                               ("crew", cast.CREW), ("terms", cast.TERMS)):  # fmt: skip
            editions.enter(self.parts, self.owner, kind, today, document)
        tax_tables.enter_table(self.parts, self.owner, cast.JURISDICTION, today, cast.TAX, "tax table")

    def _builder(self, name: str, firm: dict[str, Any]) -> Actor:
        company = people.add_company(
            self.parts, self.office, name, firm["address"], firm["phone"], firm["email"]
        )
        (name, email, _all), *others = firm["people"]
        first = self._person("builder", name, email, company_id=company)
        for name, email, rights in others:
            self._join(people.invite_colleague(self.parts, first, name, email, rights), email)
        return first
