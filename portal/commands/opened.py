"""How commands open the house: by its settings, on a database that is at its newest edition."""

from __future__ import annotations

from portal.acts.parts import Parts
from portal.settings import BadSettings, from_environment


def opened() -> Parts:
    """The parts of the house. Raises `BadSettings` where they are wrong, or the database is not migrated."""
    from portal import wiring
    from portal.store import migrate

    settings = from_environment()
    if not migrate.is_current(settings.database):
        raise BadSettings(["The database is not at its newest edition. Run: python3 -m portal migrate"])
    return wiring.build(settings)
