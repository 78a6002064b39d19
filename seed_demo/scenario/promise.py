"""What became of the first house's promise: trouble treated again, a second owner, wood to be added.

Its first owner finds a soft sill; it is covered, so the office has that wall treated again and closes the
report. A month on the house is sold. The second owner asks to treat a sunroom, and reports ants: both wait
for the office today.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from portal.acts import adding, asking, holder_page, office_transfers, retreating, troubles
from portal.acts.holding import holders_of
from portal.acts.parts import Actor, Parts
from portal.acts.reporting import TroubleTyped, report
from portal.acts.transferring import NextTyped
from portal.acts.troubles import StepTyped, take_step
from seed_demo.scenario.clock import StoryClock
from seed_demo.scenario.houses import story
from seed_demo.scenario.picture import framed_wall
from seed_demo.scenario.plans import LotPlan
from seed_demo.scenario.tale import Cast, LotTale

ADA, BEN = ("Ada Roe", "ada.roe@owner.example.com"), ("Ben Sallow", "ben.sallow@owner.example.com")
#: Where they write from: an address that documentation may use (RFC 5737).
FROM = "203.0.113.17"
#: What is treated again, of a house that has its siding by now.
AGAIN = {"name": "Back wall, by the door", "levels": [
    story("Main floor", {"by": "measured", "length": "27'"}, "9' 6\"", "sided"),
]}  # fmt: skip
#: What everybody writes, step by step.
SAID = {
    "report": "The sill by the back door is soft: a screwdriver goes in half an inch.",
    "answered": "Thank you for the photo. We come and look on the day booked.",
    "booked": "At three, if that suits you.",
    "found": "Decay over two feet of the sill, both plates of the back wall damp, no live insects.",
    "decided": "Decay in framing that was treated; nothing of what voids it was found.",
    "closed": "The wall is treated again. Keep the door's sill clear of soil.",
    "deed": "First page of the deed, with both names and the day.",
    "addition": "A sunroom on the south side, 12 by 14 feet, on its own slab. No siding before you came.",
    "ants": "Winged ants at the kitchen window, since Monday.",
}
#: What happens, in order: the act, days from today, hour and minute.
WAY = (
    ("report", -50, 19, 10), ("answer", -49, 9, 40), ("inspect", -47, 15, 10), ("decide", -46, 9, 50),
    ("make_again", -46, 10, 20), ("book", -46, 11, 5), ("arrive", -41, 7, 50), ("mark", -41, 17, 50),
    ("sign_off", -40, 9, 25), ("close", -39, 9, 15),
    ("hand_on", -25, 18, 5), ("agree", -24, 9, 35), ("take_over", -22, 18, 15),
    ("ask_addition", -5, 17, 45), ("report_ants", -2, 12, 5),
)  # fmt: skip


class PromiseTale:
    """Told through acts only. `first` is the lot of the house, which is in force by then."""

    def __init__(self, parts: Parts, clock: StoryClock, first: LotTale, technician: Actor) -> None:
        self.parts, self.clock, self.first = parts, clock, first
        self.office = first.cast.office
        self.trouble = ""
        plan = LotPlan(51, first.plan.street, AGAIN, "treated", -46, booked_in=-41)
        cast = Cast(self.office, first.cast.owner, first.cast.builder, technician)
        self.again = LotTale(parts, clock, cast, plan)

    def acts(self) -> list[tuple[datetime, int, Callable[[], None]]]:
        """Moment, a number behind those of all lots, and what is done then."""
        found, last = [], self.clock.at(WAY[0][1], 0)
        for name, offset, hour, minute in WAY:
            # A weekend stepped over may put two acts on one day: they keep their order all the same.
            last = max(self.clock.at(offset, hour, minute), last + timedelta(minutes=25))
            act = getattr(self, name, None) or getattr(self.again, name)
            found.append((last, self.again.plan.number, act))
        return found

    def _report(self, words: str, who: tuple[str, str], photos: tuple[bytes, ...], key: str) -> None:
        warranty = self.first.sheet().warranty
        assert warranty is not None
        token = warranty.link.rpartition("/")[2]
        report(self.parts, token, TroubleTyped(words, *who, "555-0188"), photos, FROM, key)

    def report(self) -> None:
        """The first owner reports trouble, with a photo."""
        self._report(SAID["report"], ADA, (framed_wall(),), "demo-sill")
        self.trouble = troubles.list_troubles(self.parts, self.office)[0].id

    def _step(self, kind: str, *photos: bytes, **more: Any) -> None:
        typed = StepTyped(SAID[kind], **more)
        take_step(self.parts, self.office, self.trouble, kind, typed, photos, f"demo-{kind}")

    def answer(self) -> None:
        """The office answers, and says who comes when."""
        self._step("answered")
        self._step("booked", day=self.clock.day(-47), person=self.office.name)

    def inspect(self) -> None:
        """What was found."""
        self._step("found", framed_wall())

    def decide(self) -> None:
        """It is covered, by the sentence of the terms that says so."""
        clause = troubles.trouble(self.parts, self.office, self.trouble).covers[0]
        self._step("decided", decision="covered", clauses=(clause,))

    def make_again(self) -> None:
        """The re-treatment: a lot of its own, its walls corrected to the one that is treated again, a job."""
        again = self.again
        again.lot_id = retreating.make_retreatment(self.parts, self.office, self.trouble, "demo-again")
        asking.change(self.parts, self.office, again.lot_id, again.version, again.as_seen(AGAIN))
        retreating.agree_retreatment(self.parts, self.office, self.trouble, again.version)

    def close(self) -> None:
        """It is closed, and whoever reported is told."""
        self._step("closed")

    def hand_on(self) -> None:
        """The first owner sells, and names the next."""
        (holder,) = holders_of(self.parts, self.office, self.first.lot_id)
        token = self.parts.tokens.make("holder", {"holder": holder.id, "turn": 0})
        holder_page.ask_transfer(self.parts, token, NextTyped(*BEN, self.clock.day(-26)), "demo-sold")

    def _transfer(self) -> str:
        return office_transfers.transfers_of(self.parts, self.office, self.first.lot_id)[-1].id

    def agree(self) -> None:
        """The office has seen the deed."""
        lot_id, seen = self.first.lot_id, SAID["deed"]
        office_transfers.agree(self.parts, self.office, lot_id, self._transfer(), seen, "", b"")

    def take_over(self) -> None:
        """The second owner takes it over."""
        token = self.parts.tokens.make("transfer", {"transfer": self._transfer()})
        holder_page.accept(self.parts, token, BEN[0], "555-0177")

    def ask_addition(self) -> None:
        """The second owner asks to treat what is built on."""
        warranty = self.first.sheet().warranty
        assert warranty is not None
        typed = adding.AdditionTyped(SAID["addition"], self.clock.day(9), *BEN, "555-0177")
        adding.ask_by_link(self.parts, warranty.link.rpartition("/")[2], typed, FROM, "demo-sunroom")

    def report_ants(self) -> None:
        """And reports trouble, which nobody has answered yet."""
        self._report(SAID["ants"], BEN, (), "demo-ants")
