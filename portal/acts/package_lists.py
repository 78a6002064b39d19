"""Lists of packages, and of the lots that can be put into one."""

from __future__ import annotations

from portal.acts.packing import MOST_LOTS, UNSENT
from portal.acts.parts import Actor, Parts, must_be
from portal.core.naming import in_order
from portal.store import packages, reads
from portal.store.packages import PackageRow
from portal.store.reads import LotFilter, LotRow


def list_packages(parts: Parts, who: Actor, limit: int = 200) -> tuple[PackageRow, ...]:
    """Packages, the newest on top: a builder's own, the office's all."""
    must_be(who, "builder", "office")
    own = who.company_id if who.kind == "builder" else None
    with parts.store.reading() as work:
        return tuple(packages.rows(work, parts.today(), company_id=own, limit=limit))


def unpacked(parts: Parts, who: Actor) -> tuple[LotRow, ...]:
    """A builder's lots that are still with the office and in no package, by name."""
    must_be(who, "builder")
    which = LotFilter(company_id=who.company_id, stages=UNSENT, packed=False)
    with parts.store.reading() as work:
        found = reads.lots(work, which, MOST_LOTS)
    return tuple(in_order(found, lambda lot: f"{lot.subdivision} {lot.name}"))
