"""Is it real? Every answer there is, of real certificates signed with real keys."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from portal.acts import covering, papers, sealed
from portal.acts.is_it_real import DOOR, LARGEST, check_paper, check_text
from portal.core.cover.codes import signed, to_sign
from portal.core.errors import BadInput, TooManyTries
from portal.sealing import Keys, Seal
from portal.store.tables import Certificate, SealedPaper
from tests.parts import documents
from tests.parts.house import House
from tests.parts.signatures import byte_range
from tests.sealing.conftest import printed as printed  # a PDF as the press makes them

pytestmark = pytest.mark.slow


class OnePdf:
    """Papers that are all the same PDF: what is tried here is what is signed on it."""

    def __init__(self, content: bytes) -> None:
        self.content = content

    def make(self, *_given: object) -> bytes:
        """The PDF."""
        return self.content


@pytest.fixture
def signing(lite: House, printed: bytes, tmp_path: Path) -> House:
    """A house that signs with keys of its own."""
    keys = Keys(tmp_path / "keys")
    keys.make("Trestle Wood Care", lite.clock())
    lite.parts = replace(lite.parts, papers=OnePdf(printed), seal=Seal(keys))
    return lite


def pdf(house: House, lot: str) -> bytes:
    return papers.paper(house.parts, house.office, lot, "certificate").content


def code_of(house: House) -> str:
    with house.parts.store.reading() as work:
        return work.session.query(Certificate).order_by(Certificate.number.desc()).first().code


def test_a_certificate_of_ours_is_unchanged_and_in_force(signing: House) -> None:
    lot = signing.paid()

    found = check_paper(signing.parts, pdf(signing, lot), "here")

    assert (found.kind, found.number, found.state) == ("unchanged", signing.warranty(lot).number, "in force")
    assert not found.replaced


def test_it_says_how_the_warranty_stands_today(signing: House) -> None:
    void, expired = signing.paid(), signing.paid()
    content, later = pdf(signing, void), pdf(signing, expired)
    covering.make_void(signing.parts, signing.owner, void, "Framing was cut.")

    assert check_paper(signing.parts, content, "here").state == "void"
    signing.clock.pass_by(days=3660)
    assert check_paper(signing.parts, later, "here").state == "expired"


def test_an_older_certificate_is_ours_and_replaced(signing: House) -> None:
    lot = signing.paid()
    old = pdf(signing, lot)
    code = code_of(signing)
    link = signing.warranty(lot).link

    sealed.replace_link(signing.parts, signing.office, lot, "Lost.")

    # Told at once, not only when somebody has asked for the next certificate.
    assert check_paper(signing.parts, old, "here").replaced
    assert check_text(signing.parts, f"{link}#{code}", "here").replaced
    new = pdf(signing, lot)
    assert check_paper(signing.parts, old, "here").replaced
    assert not check_paper(signing.parts, new, "here").replaced
    assert check_text(signing.parts, f"{link}#{code}", "here").replaced


def test_after_the_keys_were_renewed_the_old_certificate_is_still_ours(signing: House) -> None:
    lot = signing.paid()
    content, code = pdf(signing, lot), code_of(signing)
    assert isinstance(signing.parts.seal, Seal)

    signing.parts.seal.keys.renew("Trestle Wood Care", signing.clock())

    assert pdf(signing, lot) == content
    assert check_paper(signing.parts, content, "here").kind == "unchanged"
    found = check_text(signing.parts, code, "here")
    assert (found.kind, found.replaced) == ("code", False)


def test_a_changed_one_is_told_by_the_signature_it_still_carries(signing: House) -> None:
    content = pdf(signing, signing.paid())
    _first, length, then, _rest = byte_range(content)

    for place in (20, length // 2, length - 2, then + 120, len(content) - 9):
        changed = bytearray(content)
        changed[place] ^= 1
        assert check_paper(signing.parts, bytes(changed), "here").kind == "changed", place
    assert check_paper(signing.parts, content + b"\n", "here").kind == "changed"


def test_a_changed_byte_beside_the_signature_is_not_taken_for_ours_either(signing: House) -> None:
    """The zeros behind the signature are signed by nobody: known by the fingerprint all the same."""
    content = pdf(signing, signing.paid())
    _first, _length, then, _rest = byte_range(content)
    changed = content[: then - 2] + b"1" + content[then - 1 :]

    assert check_paper(signing.parts, changed, "here").kind == "unkept"


def test_what_another_office_signed_or_nobody_is_unknown(
    signing: House, printed: bytes, tmp_path: Path
) -> None:
    other = Keys(tmp_path / "other")
    other.make("Trestle Wood Care", signing.clock())

    forged = Seal(other).sign_paper(printed, signing.clock(), sealed.REASON)

    assert [check_paper(signing.parts, one, "here").kind for one in (forged, printed)] == ["unknown"] * 2


def test_a_fingerprint_is_that_of_the_file_or_the_one_that_is_printed(signing: House) -> None:
    lot = signing.paid()
    pdf(signing, lot)
    with signing.parts.store.reading() as work:
        sha256, mark = (
            work.session.query(SealedPaper).one().sha256,
            work.session.query(Certificate).one().mark,
        )

    assert check_text(signing.parts, sha256.upper(), "here").kind == "unchanged"
    spaced = " ".join(mark[i : i + 8] for i in range(0, 64, 8))
    found = check_text(signing.parts, spaced, "here")
    assert (found.kind, found.number) == ("printed", signing.warranty(lot).number)
    assert check_text(signing.parts, "0" * 64, "here").kind == "unknown"


def test_a_code_that_we_signed_is_known_and_one_that_was_changed_is_not(signing: House) -> None:
    first, second = signing.paid(), signing.paid()
    pdf(signing, first)
    code = code_of(signing)
    number = signing.warranty(second).number.replace("-", "")

    assert check_text(signing.parts, code, "here").number == signing.warranty(first).number
    parts = code.split(".")
    assert check_text(signing.parts, ".".join([parts[0], number, *parts[2:]]), "here").kind == "unknown"


@pytest.mark.parametrize(
    ("content", "says"),
    [(b"", "not a PDF"), (b"GIF89a", "not a PDF"), (b"%PDF-" + b"0" * LARGEST, "too large")],
)
def test_what_is_no_pdf_is_told(lite: House, content: bytes, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        check_paper(lite.parts, content, "here")


@pytest.mark.parametrize("typed", ["", "abc", "0" * 63, "no.code", "1.2.3.4.5.6"])
def test_what_is_neither_fingerprint_nor_code_is_told(lite: House, typed: str) -> None:
    with pytest.raises(BadInput):
        check_text(lite.parts, typed, "here")


def test_guesses_are_slowed_down_by_address_and_right_ones_are_not(signing: House) -> None:
    content = pdf(signing, signing.paid())
    for _ in range(30):
        check_paper(signing.parts, content, "there")
    for guess in range(DOOR.free):
        check_text(signing.parts, f"{guess:064x}", "here")

    with pytest.raises(TooManyTries):
        check_text(signing.parts, "f" * 64, "here")
    with pytest.raises(TooManyTries):
        check_paper(signing.parts, content, "here")
    assert check_text(signing.parts, "f" * 64, "there").kind == "unknown"


def distrust(house: House) -> str:
    seal = house.parts.seal
    assert isinstance(seal, Seal)
    leaked = seal.key(house.clock())
    seal.keys.distrust(leaked, "Trestle Wood Care", house.clock())
    return leaked


def test_of_a_leaked_key_what_is_kept_here_is_ours_and_is_signed_anew(signing: House) -> None:
    lot = signing.paid()
    old, code = pdf(signing, lot), code_of(signing)
    today = signing.parts.today()
    distrust(signing)

    of_paper, of_code = check_paper(signing.parts, old, "here"), check_text(signing.parts, code, "here")

    assert (of_paper.kind, of_paper.replaced, of_paper.distrusted) == ("unchanged", True, today)
    assert (of_code.kind, of_code.replaced, of_code.distrusted) == ("code", True, today)
    new = check_paper(signing.parts, pdf(signing, lot), "here")
    assert (new.kind, new.replaced, new.distrusted) == ("unchanged", False, None)
    assert check_text(signing.parts, code_of(signing), "here").distrusted is None


def test_of_a_leaked_key_what_is_not_kept_here_is_not_to_be_relied_on(signing: House, printed: bytes) -> None:
    """Whoever took the key signs a paper and a code of their own, for a warranty that there is."""
    number = signing.warranty(signing.paid()).number
    seal = signing.parts.seal
    forged = seal.sign_paper(printed, signing.clock(), "Signed by somebody else")
    codes = []
    for paper in ("certificate", "notice"):
        said = to_sign(number, signing.parts.today(), documents.PLACE, seal.key(signing.clock()), paper)
        codes.append(signed(said, seal.sign_code(said, signing.clock())))
    distrust(signing)

    assert check_paper(signing.parts, forged, "here").kind == "distrusted"
    for code in codes:
        found = check_text(signing.parts, code, "here")
        assert (found.kind, found.number) == ("distrusted", "")
