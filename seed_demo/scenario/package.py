"""Three lots of the story, asked for in one day and put together: sent as one, one of them accepted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from portal.acts import asking, package_answer, package_office, packing
from portal.acts.package_answer import Seen
from portal.acts.package_sheet import PackageSheet, package_sheet
from portal.acts.parts import Actor, Parts
from seed_demo.scenario import houses
from seed_demo.scenario.clock import StoryClock
from seed_demo.scenario.plans import STATE, SUBDIVISION, TOWN, ZIP

NAME = "Weir Terrace, first three"
LOTS = ((21, houses.CABIN), (22, houses.RANCH), (23, houses.ELL))
#: What happens, in order: the act, days after they were asked for, hour and minute.
WAY = (
    ("ask", 0, 7, 20), ("put_together", 0, 8, 20), ("start", 1, 9, 20), ("approve", 1, 10, 20),
    ("send", 1, 11, 20), ("accept_one", 3, 8, 20),
)  # fmt: skip
ASKED = -7


@dataclass(slots=True)
class PackageTale:
    """The package, told through acts only."""

    parts: Parts
    clock: StoryClock
    office: Actor
    owner: Actor
    builder: Actor
    lots: list[str] = field(default_factory=list)
    package: str = ""

    def acts(self) -> list[tuple[datetime, int, Callable[[], None]]]:
        """Moment, a number behind those of all lots, and what is done then."""
        found, last = [], self.clock.at(ASKED, 0)
        for name, days, hour, minute in WAY:
            # A weekend stepped over may put two acts on one day: they keep their order all the same.
            last = max(self.clock.at(ASKED + days, hour, minute), last + timedelta(minutes=25))
            found.append((last, LOTS[0][0], getattr(self, name)))
        return found

    def ask(self) -> None:
        """The builder asks for all of them, one after the other."""
        siding = self.clock.day(20)
        for number, house in LOTS:
            asked = asking.LotAsked(
                name=f"Lot {number}", subdivision=SUBDIVISION, house_number=str(100 + 4 * number),
                street="Weir Terrace", town=TOWN, state=STATE, postal_code=ZIP, foundation="slab",
                siding_starts=siding, insulation_starts=siding + timedelta(days=9), house=house, notes="",
                framing_done=siding - timedelta(days=8),
            )  # fmt: skip
            self.lots.append(asking.ask(self.parts, self.builder, asked, f"demo-{number}"))

    def put_together(self) -> None:
        """And puts them together."""
        self.package = packing.put_together(
            self.parts, self.builder, NAME, tuple(self.lots), "demo-package"
        )  # fmt: skip

    def _sheet(self, by: Actor) -> PackageSheet:
        return package_sheet(self.parts, by, self.package)

    def _press(self, what: str, who: Actor | None = None, reason: str = "") -> None:
        seen = self._sheet(self.office).seen
        by, key = who or self.office, f"demo-package-{what}"
        package_office.press(self.parts, by, self.package, what, seen, key, reason)

    def start(self) -> None:
        """The office takes them up."""
        self._press("start")

    def approve(self) -> None:
        """The owner approves them: one leaves less than the floor asks for."""
        self._press("approve", self.owner, "The package as a whole is worth it.")

    def send(self) -> None:
        """The office sends them, with one letter."""
        self._press("send")

    def accept_one(self) -> None:
        """The builder accepts the first of them; the others are still to be answered."""
        first = self._sheet(self.builder).lots[0]
        seen = Seen(first.id, first.revision or 0, first.fingerprint)
        package_answer.accept_lots(
            self.parts, self.builder, self.package, (seen,), self.builder.name, "PO-4121", "demo-package-one"
        )
