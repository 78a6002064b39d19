"""The floor and the engine work on the same houses and agree; two ways of reckoning, written apart."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.bench import bare_sums
from tests.bench.houses import feet, house

ROOT = Path(__file__).resolve().parents[2]


def figures(answer: dict[str, Any]) -> dict[str, str]:
    """What the floor reckons, picked out of the engine's answer."""
    picked = {key: answer["feet"][key] for key in ("exterior", "interior", "total", "second_coat")}
    picked |= {key: answer["product"][key] for key in ("concentrate", "finished", "bought", "container_cost")}
    picked |= {key: answer["minutes"][key] for key in ("waiting", "elapsed")}
    return picked | {"price": answer["price"]["total"]}


def test_floor_and_engine_agree_on_a_thousand_houses(tmp_path: Path) -> None:
    lines = tmp_path / "houses.jsonl"
    lines.write_text("".join(json.dumps(house(number)) + "\n" for number in range(1000)))

    command = [sys.executable, "-m", "portal", "estimate", "--many", str(lines)]
    said = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout

    answers = [figures(json.loads(line)) for line in said.splitlines()]
    assert answers == [bare_sums.estimate(house(number)) for number in range(1000)]


def test_the_floor_reckons_a_case_done_by_hand() -> None:
    """57 x 27 ft with 128 ft of partitions, nothing sided: 168 + 128 = 296 ft, 2.96 gal, 5.92 finished."""
    box = {"west": feet(0), "south": feet(0), "width": feet(57 * 12), "depth": feet(27 * 12)}
    outline = {"by": "rectangles", "rectangles": [box]}
    interior = {"by": "measured", "length": feet(128 * 12)}
    found = bare_sums.estimate(
        {"levels": [{"outline": outline, "interior": interior, "siding": "open", "repeat": 1}]}
    )

    assert (found["total"], found["concentrate"], found["finished"]) == ("296.00", "2.96", "5.92")
    assert found["price"] == "429.20"  # 296 x 1.45


def test_a_negative_west_is_read_as_the_engine_reads_it() -> None:
    assert bare_sums.inches(feet(-96)) == -96
