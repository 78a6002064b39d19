"""Canonical JSON: what we write ourselves is what an independent package writes, to the byte."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from portal.core.documents.writing import canonical, fingerprint

values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(max_size=12)
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=20,
)  # fmt: skip


@given(st.dictionaries(st.text(max_size=6), values, max_size=6))
def test_the_bytes_are_those_of_the_package(stored: dict[str, Any]) -> None:
    assert canonical(stored) == rfc8785.dumps(stored)


def test_the_example_of_the_standard() -> None:
    """RFC 8785, section 3.2.2 and 3.2.3: its sample input and its canonical form."""
    sample = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": '\u20ac$\u000f\nA\'B"\\\\"/',
        "literals": [None, True, False],
    }

    assert canonical(sample).decode() == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


def test_the_order_of_keys_in_the_standard() -> None:
    """RFC 8785, section 3.2.3: keys are sorted by their UTF-16 code units."""
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]

    found = canonical(dict.fromkeys(keys, "")).decode()

    order = ["\\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert found == "{" + ",".join(f'"{key}":""' for key in order) + "}"


@pytest.mark.parametrize("too_long", [2**53, -(2**53), 10**30])
def test_a_number_that_others_could_not_read_exactly_is_refused(too_long: int) -> None:
    with pytest.raises(rfc8785.IntegerDomainError):
        canonical({"number": too_long})


def test_a_fingerprint_is_the_hash_of_those_bytes() -> None:
    stored = {"b": [1, "x\x7f"], "a": {"z": None}}

    assert fingerprint(stored) == hashlib.sha256(b'{"a":{"z":null},"b":[1,"x\x7f"]}').hexdigest()
