"""The floor of `--many`: the same sums for the same houses, in bare integers and nothing else.

    python tests/bench/bare_sums.py HOUSES.jsonl

It reads what houses.py writes and only that: whole inches, the default product, crew
and rates. No check of the input, no words, no exact fractions: inches, 240ths of a minute
and cents are integers here. A test holds its figures to the engine's, to the last place.
"""

from __future__ import annotations

import json
import sys
from typing import Any

FACES = ("north", "east", "south", "west")


def half_up(number: int, by: int) -> int:
    """number / by, rounded half up; neither is negative."""
    return (2 * number + by) // (2 * by)


def hundredths(number: int, by: int) -> str:
    """number / by to two places, as text."""
    rounded = half_up(100 * number, by)
    return f"{rounded // 100}.{rounded % 100:02}"


def inches(text: str) -> int:
    """Read 32' 6" or -8' 0", as houses.py writes them."""
    whole, rest = text.split("' ")
    return int(whole) * 12 + int(rest[:-1])


def union(boxes: list[list[int]]) -> list[int]:
    """Boundary of a union of rectangles: inches of it that look north, east, south and west."""
    across = sorted({x for west, _, width, _ in boxes for x in (west, west + width)})
    up = sorted({y for _, south, _, depth in boxes for y in (south, south + depth)})
    floor = {
        (i, j)
        for west, south, width, depth in boxes
        for i in range(across.index(west), across.index(west + width))
        for j in range(up.index(south), up.index(south + depth))
    }
    found = [0, 0, 0, 0]
    for i, j in floor:
        wide, deep = across[i + 1] - across[i], up[j + 1] - up[j]
        found[0] += wide if (i, j + 1) not in floor else 0
        found[1] += deep if (i + 1, j) not in floor else 0
        found[2] += wide if (i, j - 1) not in floor else 0
        found[3] += deep if (i - 1, j) not in floor else 0
    return found


def stretches(level: dict[str, Any]) -> list[tuple[int, str]]:
    """The exterior of one storey as lengths with their status."""
    outline, siding = level["outline"], level["siding"]
    if outline["by"] == "walk":
        return [(inches(wall["length"]), wall["siding"]) for wall in outline["walls"]]
    if outline["by"] == "measured":
        whole, sided, wrapped = inches(outline["length"]), inches(siding["sided"]), inches(siding["wrapped"])
        return [(sided, "sided"), (wrapped, "wrapped"), (whole - sided - wrapped, "open")]
    keys = ("west", "south", "width", "depth")
    looks = union([[inches(box[key]) for key in keys] for box in outline["rectangles"]])
    if isinstance(siding, str):
        return [(sum(looks), siding)]
    return [(length, siding[face]) for length, face in zip(looks, FACES, strict=True)]


def waiting(sided: list[int], other: int) -> int:
    """240ths of a minute until the paint of the first coats is dry, in the order that waits least.

    A second coat is always the quicker one here, so Johnson's order is the longest stretch first.
    """
    if not sided:
        return 0
    first_done = second_done = 0
    for length in sorted(sided, reverse=True):
        first_done += 3 * length
        second_done = max(second_done, first_done) + 2 * length
    return max(0, 20 * 240 - other - 3 * sum(sided) + second_done - 2 * sum(sided))


def containers(concentrate: int) -> tuple[int, int, int]:
    """Of concentrate in 1200ths of a gallon: how many of five gallons, of one, and their cost in cents."""
    need = -(-concentrate // 1200)
    sets = ((fives, max(0, need - 5 * fives)) for fives in range(need // 5 + 2))
    cost, _, _, fives, ones = min((41500 * f + 9200 * o, 5 * f + o, f + o, f, o) for f, o in sets)
    return fives, ones, cost


def price(total: int, second: int, wrapped: int) -> int:
    """Cents, by slices of 300 and 1,000 ft, with the minimum."""
    slices = 145 * min(total, 3600) + 120 * max(0, min(total, 12000) - 3600) + 95 * max(0, total - 12000)
    return max(39500, half_up(slices, 12) + half_up(60 * second, 12) + half_up(25 * wrapped, 12))


def estimate(house: dict[str, Any]) -> dict[str, str]:
    """The figures of one house."""
    interior, found = 0, []
    for level in house["levels"]:
        interior += inches(level["interior"]["length"]) * level["repeat"]
        found += stretches(level) * level["repeat"]
    by_status = {"open": 0, "wrapped": 0, "sided": 0}
    for length, status in found:
        by_status[status] += length
    exterior, second = sum(by_status.values()), by_status["sided"]
    total, outside = exterior + interior, exterior - second
    concentrate = total + second
    sprayed_else = 3 * (total - second) + 3 * outside + 4 * by_status["wrapped"]
    wait = waiting([length for length, status in found if status == "sided"], sprayed_else)
    work = 2 * total + 3 * total + 3 * outside + 4 * by_status["wrapped"] + 2 * second
    elapsed = work + wait + 240 * (20 + 15 + 6 * -(-concentrate // 1200))
    fives, ones, cost = containers(concentrate)
    return {
        "exterior": hundredths(exterior, 12),
        "interior": hundredths(interior, 12),
        "total": hundredths(total, 12),
        "second_coat": hundredths(second, 12),
        "concentrate": hundredths(concentrate, 1200),
        "finished": hundredths(2 * concentrate, 1200),
        "bought": hundredths(5 * fives + ones, 1),
        "container_cost": hundredths(cost, 100),
        "waiting": hundredths(wait, 240),
        "elapsed": hundredths(elapsed, 240),
        "price": hundredths(price(total, second, by_status["wrapped"]), 100),
    }


def main(path: str) -> None:
    """One line of figures for each line of the file."""
    with open(path, encoding="utf-8") as lines:
        for line in lines:
            print(json.dumps(estimate(json.loads(line))))


if __name__ == "__main__":
    main(sys.argv[1])
