"""One lot from asking to warranty, act by act, on both databases."""

from __future__ import annotations

from portal.acts import upkeep
from tests.parts.house import House


def test_a_lot_goes_all_the_way(house: House) -> None:
    lot = house.paid()

    sheet = house.sheet(lot)

    assert sheet.stage == "in force"
    assert sheet.sheets == ("done",) * 5
    assert house.verbs(lot) == [
        "asked", "started", "approved", "sent", "accepted", "booked", "treated", "invoiced", "held", "paid",
        "in force",
    ]  # fmt: skip
    assert upkeep.broken_link(house.parts) is None
