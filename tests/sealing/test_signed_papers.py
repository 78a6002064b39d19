"""A signed paper, checked by programs that are not ours, and changed everywhere it can be changed."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from asn1crypto import cms  # type: ignore[import-untyped]

from portal.sealing import Keys, Seal
from tests.parts.pdf import opened, text_of
from tests.parts.signatures import byte_range, signature_in, verifies
from tests.sealing.conftest import AT


@pytest.fixture
def signed(seal: Seal, printed: bytes) -> bytes:
    """The paper with the office's signature."""
    return seal.sign_paper(printed, AT, "Signed by the office that gives this warranty")


def certificate_of(seal: Seal) -> Path:
    return seal.keys.folder / seal.key(AT) / "paper.crt"


def test_openssl_finds_it_signed_by_the_offices_key(seal: Seal, signed: bytes, tmp_path: Path) -> None:
    assert verifies(signed, certificate_of(seal), tmp_path)


def test_openssl_does_not_find_it_signed_by_another_offices_key(
    seal: Seal, signed: bytes, tmp_path: Path
) -> None:
    other = Keys(tmp_path / "other")
    other.make("Somebody else", AT)

    assert not verifies(signed, other.folder / other.pair(AT).public.name / "paper.crt", tmp_path)
    assert Seal(other).read_paper(signed) is None


def test_the_signature_covers_the_whole_file_but_itself(signed: bytes, printed: bytes) -> None:
    first, length, then, rest = byte_range(signed)

    assert (first, then + rest) == (0, len(signed))
    assert signed[length : length + 1] == b"<" and signed[then - 1 : then] == b">"
    assert signed.startswith(printed)  # an update at the end: what was printed is not touched
    assert text_of(signed) == text_of(printed)


def test_it_is_pades_baseline_b(signed: bytes) -> None:
    """ETSI EN 319 142-1, table 1, level B-B (from memory).

    The subfilter; signed attributes content-type, message-digest and signing-certificate-v2 and no
    signing-time, which stands in the signature dictionary instead; the certificate inside.
    """
    data = cms.ContentInfo.load(signature_in(signed))["content"]
    named = {one["type"].native for one in data["signer_infos"][0]["signed_attrs"]}

    dictionary = opened(signed).root_object["/AcroForm"]["/Fields"][0].get_object()["/V"]

    assert (dictionary["/Type"], dictionary["/SubFilter"]) == ("/Sig", "/ETSI.CAdES.detached")
    assert {"content_type", "message_digest", "signing_certificate_v2"} <= named
    assert "signing_time" not in named
    assert dictionary["/M"] == "D:20270504130000Z"
    assert len(data["certificates"]) == 1


def test_any_changed_byte_fails_with_openssl_and_with_us(seal: Seal, signed: bytes, tmp_path: Path) -> None:
    """A sample over all that is signed; openssl, which takes longer, gets every eighth of them."""
    _first, length, then, _rest = byte_range(signed)
    chance = random.Random(11)
    places = chance.sample([*range(length), *range(then, len(signed))], 240)
    places += [0, length - 1, then, len(signed) - 1]
    kept, unread = [], []
    for count, place in enumerate(places):
        changed = bytearray(signed)
        changed[place] ^= 1 << chance.randrange(8)
        read = seal.read_paper(bytes(changed))
        if read is not None and read.whole:
            kept.append(place)
        try:
            if count % 8 == 0 and verifies(bytes(changed), certificate_of(seal), tmp_path):
                kept.append(place)
        except (IndexError, ValueError):
            unread.append(place)  # the byte range itself was hit: there is nothing left to verify

    assert kept == [] and len(unread) < 5


def test_a_changed_signature_is_none_of_ours(seal: Seal, signed: bytes) -> None:
    """Every byte of the signature's own value, changed."""
    value = cms.ContentInfo.load(signature_in(signed))["content"]["signer_infos"][0]["signature"].native
    at = signed.index(value.hex().upper().encode())
    for place in range(at, at + 2 * len(value), 2):
        byte = int(signed[place : place + 2], 16) ^ 1
        changed = signed[:place] + f"{byte:02X}".encode() + signed[place + 2 :]
        assert seal.read_paper(changed) is None


@pytest.mark.parametrize("added", [b"\n", b"%", b" 1 0 obj <<>> endobj"])
def test_what_was_added_behind_it_is_noticed(seal: Seal, signed: bytes, added: bytes) -> None:
    read = seal.read_paper(signed + added)

    assert read is not None and not read.whole


@pytest.mark.parametrize(
    "content",
    [
        b"", b"%PDF-1.7", b"/ByteRange [0 1 2 3]", b"/ByteRange [0 9999999999 1 1]<00>",
        b"/ByteRange [0 30 34 0]        <00>", b"/ByteRange [0 30 38 0]        <308006>",
        b"/ByteRange [ 0 1 1 1 ] /ByteRange [ 0 0 0 0 ]",
    ],
)  # fmt: skip
def test_what_is_no_signature_is_none(seal: Seal, content: bytes) -> None:
    assert seal.read_paper(content) is None


def test_the_same_paper_is_signed_with_one_key_and_two_signatures(seal: Seal, printed: bytes) -> None:
    one, two = (seal.sign_paper(printed, AT, "Signed") for _ in range(2))

    assert one != two
    assert {read.key for pdf in (one, two) if (read := seal.read_paper(pdf))} == {seal.key(AT)}
