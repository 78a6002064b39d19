"""The text behind the # of a certificate's QR: written by the published rule, and read strictly."""

from __future__ import annotations

import base64
import hashlib
from datetime import date

import pytest

from portal.core.cover.codes import lot_mark, read_code, signed, to_sign
from portal.core.cover.numbers import check_character, shown
from portal.core.errors import BadInput
from tests.parts.documents import PLACE

BODY = "7KM2PQR9XZ"
NUMBER, DAY = shown(BODY + check_character(BODY)), date(2027, 3, 9)
SAID = to_sign(NUMBER, DAY, PLACE, "0123abcd")
CODE = signed(SAID, bytes(range(64)))


def test_the_rule_worked_out_by_hand() -> None:
    """As the README says it, with nothing of ours."""
    lines = "112 Alder Lane\nMarlow Ferry, TX 75999\nLot 7\nAlder Meadow\n"
    lot = base64.urlsafe_b64encode(hashlib.sha256(lines.encode()).digest()[:16]).decode().rstrip("=")

    assert f"1.{BODY}{check_character(BODY)}.20270309.{lot}.0123abcd" == SAID
    assert SAID + "." + base64.urlsafe_b64encode(bytes(range(64))).decode().rstrip("=") == CODE


@pytest.mark.parametrize("before", ["", "https://portal.example.com/warranty/a-b_c#", " ", "#"])
def test_a_code_is_read_with_its_address_or_without(before: str) -> None:
    read = read_code(before + CODE)

    assert (read.number, read.day, read.lot, read.key) == (NUMBER, DAY, lot_mark(PLACE), "0123abcd")
    assert (read.said, read.signature) == (SAID.encode(), bytes(range(64)))


@pytest.mark.parametrize(
    "text",
    [
        "", "1", "1.2.3.4.5.6", CODE[:-1], CODE + "A", CODE.replace("1.", "3.", 1),
        CODE.replace("2027", "2O27"),
        CODE.replace("7K", "8K", 1), CODE.replace("0309", "0231"), CODE.replace("0123abcd", "0123ABCD"),
        CODE + "=", CODE.replace(".", " ", 1), CODE + "\n.", SAID,
    ],
)  # fmt: skip
def test_what_is_no_code_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="not the code of a certificate"):
        read_code(text)
