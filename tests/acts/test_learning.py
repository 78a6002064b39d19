"""What finished jobs teach, and a new edition from it: shown before, an owner's, and old estimates stay."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from portal.acts import amending, learning, treating
from portal.acts.amending import PageTyped
from portal.core.errors import NotAllowed, NotFound, Refused
from tests.parts.house import House, ranch

pytestmark = pytest.mark.slow

OPEN = ranch(siding="open")


def finished(house: House, times: int, concentrate: str = "") -> list[str]:
    """Jobs found as quoted; `concentrate` used where it is not as planned. 296 ft each."""
    lots = []
    for _ in range(times):
        lot = house.booked(house=OPEN)
        house.clock.turn_to(house.parts.today(), 18)
        changes = {"concentrate": concentrate, "water": concentrate} if concentrate else {}
        house.mark(lot, house.entry(lot, **changes))
        house.clock.turn_to(house.parts.today() + timedelta(days=1), 8)
        lots.append(lot)
    return lots


def proposal(house: House, kind: str) -> learning.Proposal | None:
    return next((one for one in learning.look(house.parts, house.office).proposals if one.kind == kind), None)


def test_five_jobs_that_took_more_offer_another_coverage(house: House) -> None:
    """296 ft with 3.7 gal are 80 ft a gallon, where 100 were reckoned."""
    finished(house, 5, "3.70")

    found = proposal(house, "product")

    assert found is not None
    assert [(c.at, c.now, c.then) for c in found.changes] == [("feet_per_gallon", Decimal(100), Decimal(80))]


def test_four_jobs_offer_nothing(lite: House) -> None:
    finished(lite, 4, "3.70")

    assert proposal(lite, "product") is None


def test_an_edition_is_made_once_and_estimates_from_before_stay(lite: House) -> None:
    before = finished(lite, 5, "3.70")[0]
    old, shown = lite.sheet(before).revisions[0].document, proposal(lite, "product")
    assert shown is not None

    numbers = [learning.learn(lite.parts, lite.owner, "product", shown.mark, "once") for _ in range(1)]
    new = lite.sheet(lite.sent(house=OPEN)).revisions[0].document

    assert numbers == [2] and proposal(lite, "product") is None
    assert old is not None and new is not None
    assert (old.estimate["product"]["concentrate"], new.estimate["product"]["concentrate"]) == (
        "2.96",
        "3.70",
    )
    assert lite.sheet(before).revisions[0].document == old


def test_what_is_no_longer_what_was_shown_is_not_made(lite: House) -> None:
    finished(lite, 5, "3.70")
    shown = proposal(lite, "product")
    assert shown is not None
    finished(lite, 6, "4.00")

    with pytest.raises(Refused, match="Look again"):
        learning.learn(lite.parts, lite.owner, "product", shown.mark, "k")


def test_only_an_owner_makes_an_edition(lite: House) -> None:
    finished(lite, 5, "3.70")
    shown = proposal(lite, "product")
    assert shown is not None

    with pytest.raises(NotAllowed):
        learning.learn(lite.parts, lite.office, "product", shown.mark, "k")
    with pytest.raises(NotAllowed):
        learning.look(lite.parts, lite.builder)
    with pytest.raises(NotFound):
        learning.learn(lite.parts, lite.owner, "rates", shown.mark, "k")


def test_the_crews_figures_follow_the_minutes_on_site(lite: House) -> None:
    """All jobs run from 7:45 to 11:30: 225 minutes, against those planned by the crew's figures."""
    lot = finished(lite, 5)[0]
    quoted = lite.sheet(lot).revisions[0].document
    assert quoted is not None
    by = 225 / Decimal(quoted.estimate["minutes"]["elapsed"])

    found = proposal(lite, "crew")

    assert found is not None
    changes = {change.at: change for change in found.changes}
    assert changes["spray_feet_per_hour"].then == round(400 / by)
    assert changes["setup_minutes"].then == round(20 * by * 2) / Decimal(2)


def test_a_record_amended_in_its_amounts_is_left_out(lite: House) -> None:
    lot = finished(lite, 1)[0]
    treating.sign_off(lite.parts, lite.office, lot)
    amending.amend(lite.parts, lite.office, lot, lite.version(lot), PageTyped("amounts", "a", "b", "c"))

    found = learning.look(lite.parts, lite.office)

    assert (found.jobs, found.left_out) == (0, 1)
