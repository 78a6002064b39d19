"""Whether the rectangles of a story lie apart: allowed, and priced, but often a slip in an edge."""

from __future__ import annotations

from portal.core.takeoff.plan import Plan, Wall
from portal.core.words import Said, say


def parts_of(found: Plan) -> int:
    """Of how many parts a story is made. Floors that meet in a corner alone are two, as their walls are."""
    return sum(_turns_left(ring) for ring in found.rings) if _of_rectangles(found) else 1


def apart(found: Plan) -> Said | None:
    """What to look at where the rectangles make more than one part; no error, for two parts may be meant."""
    parts = parts_of(found)
    if parts < 2:
        return None
    return say(
        "The rectangles make {parts} separate parts. If they are one house, check the West edge and the "
        "South edge of each.",
        parts=parts,
    )


def _of_rectangles(found: Plan) -> bool:
    return any(wall.face for ring in found.rings for wall in ring)


def _turns_left(ring: tuple[Wall, ...]) -> bool:
    # Outer rings run counterclockwise, courts clockwise: the sign of the area tells them apart.
    return sum(wall.x1 * wall.y2 - wall.x2 * wall.y1 for wall in ring) > 0
