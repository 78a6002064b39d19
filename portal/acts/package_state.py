"""Which package a person may have, held with its lots; and what was seen of it."""

from __future__ import annotations

from typing import Any

from portal.acts.parts import Actor
from portal.core.documents import fingerprint
from portal.core.errors import NotFound, Overtaken
from portal.core.naming import in_order
from portal.store import packages
from portal.store.transaction import Work


def package_for(work: Work, who: Actor, package_id: str) -> Any:
    """The package, where it is this person's to see. Another builder's is not there at all."""
    row = packages.package(work, package_id)
    if who.kind == "office" or (who.kind == "builder" and who.company_id == row.company_id):
        return row
    raise NotFound("package", package_id)


def held(work: Work, who: Actor, package_id: str) -> tuple[Any, list[Any]]:
    """The package and its lots by their names, all held against other writers.

    The lots first, in one order: whoever holds a lot may wait for its package, never the other way.
    """
    package_for(work, who, package_id)
    lots = packages.locked_lots(work, [lot.id for lot in packages.lots_in(work, package_id)])
    row = packages.locked(work, package_id)
    return row, in_order([lot for lot in lots if lot.package_id == row.id], lambda lot: lot.name)


def seen_of(row: Any, lots: list[Any]) -> str:
    """What a page of the package shows, as one text to compare: a change to any lot changes it."""
    versions = {lot.id: lot.version for lot in lots}
    return fingerprint({"package": row.id, "version": row.version, "lots": versions})


def must_be_seen(row: Any, lots: list[Any], seen: str) -> None:
    """Refuse an act on a package that changed since it was shown: each lot's price hangs on all."""
    if seen != seen_of(row, lots):
        raise Overtaken("package")
