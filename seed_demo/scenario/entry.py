"""What a technician of the demo enters for a stop: an orderly day, each coat after the other."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal

from portal.acts.treating import Stop

CHECKS = (
    "cautions", "ready.debris", "ready.boxes", "ready.finished_wood", "ready.others_out", "check_pass",
    "rinsed",
)  # fmt: skip


class Day:
    """Hands out spans of time, one after the other."""

    def __init__(self) -> None:
        self.at = datetime(2000, 1, 1, 8, 10)

    def span(self, minutes: int) -> tuple[str, str]:
        """The next so many minutes, as times of day."""
        start, self.at = self.at, self.at + timedelta(minutes=minutes)
        return f"{start:%H:%M}", f"{self.at:%H:%M}"


def entry_for(stop: Stop, name: str, found_sided: set[str]) -> dict[str, str]:
    """A whole entry: walls as quoted but those in `found_sided`, second coats after the drying time."""
    entry = dict.fromkeys(CHECKS, "yes") | {"ready.respirator": "yes"} | dict(stop.entry)
    day, sided = Day(), []
    for wall in stop.sheet.walls:
        found = "sided" if wall.key in found_sided else wall.status
        entry[f"found.{wall.key}"] = found
        entry[f"first.{wall.key}.start"], entry[f"first.{wall.key}.end"] = day.span(2 + int(wall.feet) // 10)
        if found == "sided":
            sided.append(wall)
    interior = Decimal(stop.sheet.estimate["feet"]["interior"])
    entry["interior.start"], entry["interior.end"] = day.span(5 + int(interior) // 8)
    if sided:
        day.span(int(stop.sheet.product.dry_minutes))
    for wall in sided:
        entry[f"second.{wall.key}.start"], entry[f"second.{wall.key}.end"] = day.span(
            2 + int(wall.feet) // 12
        )
    product = stop.sheet.estimate["product"]
    return entry | {
        "product": stop.sheet.product.name, "registration": stop.sheet.product.registration,
        "container_lot": "D-2604", "concentrate": product["concentrate"], "water": product["water"],
        "dye": product["dye_floz"], "applicator": name, "certificate": stop.certificate, "signed_by": name,
        "conditions": "Dry, light wind, about 60 °F.", "problems": "",
    }  # fmt: skip
