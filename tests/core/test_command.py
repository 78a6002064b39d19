"""`python3 -m portal estimate`, run as a person or a program runs it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.core.houses import Document, house, level, measured, rectangle, rectangles

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[2]
# With -I the current folder is not on the path, and with -S nor is any installed package.
BARE_START = (
    "import sys; sys.path.insert(0, {root!r}); from portal.cli import main; sys.exit(main(sys.argv[1:]))"
)
L100 = house(level(rectangles(rectangle(57, "27'")), measured(128)), name="L100")
BAD = house(level(rectangles(rectangle(width="5 yd"))), pool=True)


def run(*words: object, given: bytes = b"", bare: bool = False) -> subprocess.CompletedProcess[bytes]:
    """The command with these words; `bare` is a Python without any installed package."""
    flags = ["-I", "-S"] if bare else []
    start = ["-c", BARE_START.format(root=str(ROOT))]
    said = [sys.executable, *flags, *(start if bare else ["-m", "portal"]), *map(str, words)]
    return subprocess.run(said, cwd=ROOT, input=given, capture_output=True, timeout=60)


def written(folder: Path, name: str, value: Any) -> Path:
    path = folder / name
    path.write_bytes(value if isinstance(value, bytes) else json.dumps(value).encode())
    return path


def told(ran: subprocess.CompletedProcess[bytes]) -> list[str]:
    """Where, for each problem that a refused run told; nothing may stand on its standard output."""
    assert (ran.returncode, ran.stdout) == (2, b""), ran
    return [problem["at"] for problem in json.loads(ran.stderr)["errors"]]


def lines(ran: subprocess.CompletedProcess[bytes]) -> list[Document]:
    return [json.loads(line) for line in ran.stdout.splitlines()]


def test_a_house_file_is_answered(tmp_path: Path) -> None:
    ran = run("estimate", written(tmp_path, "house.json", L100))

    found = json.loads(ran.stdout)
    assert (ran.returncode, ran.stderr, found["name"]) == (0, b"", "L100")
    assert (found["feet"]["total"], found["product"]["finished"], found["price"]["total"]) == (
        "296.00",
        "5.92",
        "429.20",
    )


def test_standard_input_is_read_where_the_file_is_a_hyphen() -> None:
    ran = run("estimate", "-", given=b"\xef\xbb\xbf" + json.dumps(L100).encode())

    assert json.loads(ran.stdout)["feet"]["total"] == "296.00"


def test_a_bare_python_without_any_package_is_enough() -> None:
    ran = run("estimate", "-", given=json.dumps(L100).encode(), bare=True)

    assert (ran.returncode, ran.stderr) == (0, b"")


def test_product_crew_and_rates_are_taken_from_files(tmp_path: Path) -> None:
    product = written(tmp_path, "p.json", {"feet_per_gallon": "50"})
    crew = written(tmp_path, "c.json", {"sprayers": 2})
    rates = written(tmp_path, "r.json", {"currency": "CAD", "bands": [{"per_foot": 2}]})

    ran = run(
        "estimate",
        "-",
        "--product",
        product,
        f"--crew={crew}",
        "--rates",
        rates,
        given=json.dumps(L100).encode(),
    )

    found = json.loads(ran.stdout)
    assert (found["product"]["concentrate"], found["minutes"]["prepare"]) == ("5.92", "14.80")
    assert (found["price"]["currency"], found["price"]["total"]) == ("CAD", "592.00")


def test_bad_input_is_told_as_json_on_standard_error(tmp_path: Path) -> None:
    ran = run("estimate", written(tmp_path, "house.json", BAD))

    assert set(told(ran)) == {"pool", "levels[0].outline.rectangles[0].width"}


def test_what_is_wrong_in_any_of_the_files_is_told_together(tmp_path: Path) -> None:
    house_file = written(tmp_path, "h.json", BAD)
    product = written(tmp_path, "p.json", {"batch_gallons": 0})
    crew = written(tmp_path, "c.json", b"[1]")
    rates = written(tmp_path, "r.json", b'{"bands": NaN}')

    ran = run("estimate", house_file, "--product", product, "--crew", crew, "--rates", rates)

    assert {"pool", "product.batch_gallons", "crew", "rates"} < set(told(ran))
    nowhere = run("estimate", "--many", tmp_path / "nowhere", "--product", product, "--crew", crew)
    assert told(nowhere) == ["", "product.batch_gallons", "crew"]


@pytest.mark.parametrize("name", ["nowhere.json", "."])
def test_a_file_that_cannot_be_read_is_told(tmp_path: Path, name: str) -> None:
    assert told(run("estimate", tmp_path / name)) == [""]
    assert told(run("estimate", "-", "--rates", tmp_path / name, given=json.dumps(L100).encode())) == [
        "rates"
    ]
    assert told(run("estimate", "--many", tmp_path / name)) == [""]


def test_a_file_without_a_name_is_no_left_out_option(tmp_path: Path) -> None:
    house_file = written(tmp_path, "h.json", L100)

    assert told(run("estimate", house_file, "--product", "", "--crew=", "--rates", "")) == [
        "product",
        "crew",
        "rates",
    ]


def test_what_stops_being_readable_is_told() -> None:
    memory = Path("/proc/self/mem")
    if not memory.exists():
        pytest.skip("no file here that can be opened and not read")

    assert told(run("estimate", memory)) == told(run("estimate", "--many", memory)) == [""]


@pytest.mark.parametrize("closing", ["<&-", ">&-", ">/dev/full"])
@pytest.mark.parametrize("words", [["-"], ["--many", "-"]], ids=" ".join)
def test_a_closed_or_full_standard_stream_is_told_without_a_crash(words: list[str], closing: str) -> None:
    if closing == ">/dev/full" and not Path("/dev/full").exists():
        pytest.skip("no full device here")
    said = f'exec "$0" -m portal estimate "$@" {closing}'

    ran = subprocess.run(
        ["sh", "-c", said, sys.executable, *words],
        cwd=ROOT, input=json.dumps(L100).encode(), capture_output=True, timeout=60,
    )  # fmt: skip

    assert told(ran) == [""]


def test_a_house_of_too_many_batches_is_told_at_the_product(tmp_path: Path) -> None:
    product = written(tmp_path, "p.json", {"batch_gallons": "0.001"})

    assert told(run("estimate", "-", "--product", product, given=json.dumps(L100).encode())) == [
        "product.batch_gallons"
    ]


USAGE = [
    [],
    ["a.json", "--many", "b.jsonl"],
    ["a.json", "b.json"],
    ["--many"],
    ["--product", "p.json"],
    ["--color"],
    ["-", "--rates", "-"],
    ["--man", "b.jsonl"],
    ["-", "\udcff"],
    ["-", "x" * 9000],
]


@pytest.mark.parametrize("words", USAGE, ids=lambda words: ascii(" ".join(words))[:40])
def test_a_usage_error_is_told_with_the_usage(words: list[str]) -> None:
    ran = run("estimate", *words)

    assert told(ran) == [""] and b"usage: python3 -m portal estimate" in ran.stderr
    assert len(ran.stderr) < 400


def test_help_is_no_error() -> None:
    for words in (["--help"], ["estimate", "--help"]):
        ran = run(*words)
        assert ran.returncode == 0 and b"usage" in ran.stdout and not ran.stderr


@pytest.mark.parametrize("words", [[], ["estimates"]])
def test_an_unknown_command_is_a_usage_error(words: list[str]) -> None:
    ran = run(*words)

    assert (ran.returncode, ran.stdout) == (2, b"") and b"usage" in ran.stderr


def test_many_houses_are_answered_line_by_line_in_order() -> None:
    houses = [house(level(measured(100 + n), measured(0)), name=f"Lot {n}") for n in range(30)]

    ran = run("estimate", "--many", "-", given="\n".join(map(json.dumps, houses)).encode())

    assert ran.returncode == 0
    assert [(found["name"], found["feet"]["total"]) for found in lines(ran)] == [
        (f"Lot {n}", f"{100 + n}.00") for n in range(30)
    ]


def test_a_bad_line_is_answered_in_its_place_and_blank_ones_are_counted() -> None:
    good, bad = json.dumps(L100).encode(), json.dumps(BAD).encode()
    given = b"\n".join(
        [good + b"\r", b"", b"  \t", bad, b"{} {}", b'"\xff"', b"[]", good, b" " + b"9" * 1_000_001]
    )

    ran = run("estimate", "--many", "-", given=given)

    found = lines(ran)
    assert (ran.returncode, ran.stderr) == (1, b"")
    assert [answer.get("line", answer.get("name")) for answer in found] == ["L100", 4, 5, 6, 7, "L100", 9]
    assert {problem["at"] for problem in found[1]["errors"]} == {
        "pool",
        "levels[0].outline.rectangles[0].width",
    }
    assert [problem["at"] for answer in found[2:5] for problem in answer["errors"]] == ["", "", ""]


def test_a_line_of_a_million_bytes_is_read() -> None:
    document = json.dumps(L100).encode()
    padded = document + b" " * (1_000_000 - len(document))

    ran = run("estimate", "--many", "-", given=b"\n".join([padded + b"\r", padded + b" ", padded]) + b"\n")

    assert [answer.get("line", answer.get("name")) for answer in lines(ran)] == ["L100", 2, "L100"]


def test_the_options_hold_for_every_line_and_a_bad_one_for_none(tmp_path: Path) -> None:
    given = (json.dumps(L100) + "\n").encode() * 2
    batches = written(tmp_path, "p.json", {"batch_gallons": "0.001"})
    bad = written(tmp_path, "b.json", {"batch_gallons": "0"})

    ran = run("estimate", "--many", "-", "--product", batches, given=given)

    assert ran.returncode == 1
    assert [problem["at"] for answer in lines(ran) for problem in answer["errors"]] == [
        "product.batch_gallons"
    ] * 2
    assert told(run("estimate", "--many", "-", "--product", bad, given=given)) == ["product.batch_gallons"]


def test_nothing_to_estimate_is_no_error() -> None:
    ran = run("estimate", "--many", "-", given=b"\n \n")

    assert (ran.returncode, ran.stdout) == (0, b"")


def test_names_of_any_script_come_out_as_they_went_in() -> None:
    ran = run("estimate", "-", given=json.dumps({**L100, "name": "Łąka № 7 👷"}).encode())

    assert "Łąka № 7 👷".encode() in ran.stdout


def test_a_reader_that_has_enough_is_no_crash(tmp_path: Path) -> None:
    houses = written(tmp_path, "many.jsonl", (json.dumps(L100) + "\n").encode() * 3000)
    said = [sys.executable, "-m", "portal", "estimate", "--many", str(houses)]

    with subprocess.Popen(said, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as ran:
        assert ran.stdout and ran.stderr
        ran.stdout.readline()
        ran.stdout.close()
        assert ran.stderr.read() == b""
