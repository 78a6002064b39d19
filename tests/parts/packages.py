"""Packages, taken as far as a test needs them."""

from __future__ import annotations

from typing import Any

from portal.acts import package_office, package_sheet, packing
from portal.acts.package_answer import Seen
from portal.acts.package_office import Outcome
from portal.acts.package_sheet import PackageSheet
from tests.parts.house import RATES, House, ranch

#: A rate book whose slices run over a package, without a call-out; tax of 7 %.
TOGETHER = RATES | {"slices_over": "package", "call_out": "0"}
#: 168 ft around and 128 ft of interior walls, all open: ANSI/ASHRAE Standard 140 case L100.
L100 = ranch(siding="open")


def asked_for(house: House, count: int = 3, **changes: Any) -> list[str]:
    """So many lots of a builder's, asked for."""
    return [house.asked(**{"house": L100} | changes) for _ in range(count)]


def packed(house: House, lot_ids: list[str] | None = None, name: str = "Lime Kiln Lane") -> str:
    """A package of these lots, or of three new ones; its id."""
    lots = tuple(lot_ids or asked_for(house))
    return packing.put_together(house.parts, house.builder, name, lots, house.key())


def shown(house: House, package_id: str, by: Any = None) -> PackageSheet:
    """The package, as the office sees it."""
    return package_sheet.package_sheet(house.parts, by or house.office, package_id)


def press(house: House, package_id: str, what: str) -> Outcome:
    """A press in the office, on the package as it stands."""
    seen = shown(house, package_id).seen
    return package_office.press(house.parts, house.office, package_id, what, seen, house.key())


def sent_package(house: House, package_id: str = "") -> str:
    """A package of which all quotes are sent."""
    package_id = package_id or packed(house)
    for what in ("start", "approve", "send"):
        press(house, package_id, what)
    return package_id


def lots_of(house: House, package_id: str) -> list[str]:
    """Its lots by their names."""
    return [lot.id for lot in shown(house, package_id).lots]


def seen_of(house: House, package_id: str, *which: int) -> tuple[Seen, ...]:
    """What the builder sees of these of its lots, or of all that can be answered."""
    lots = shown(house, package_id, house.builder).lots
    rows = [lots[i] for i in which] if which else [lot for lot in lots if lot.answerable]
    return tuple(Seen(lot.id, lot.revision or 0, lot.fingerprint) for lot in rows)
