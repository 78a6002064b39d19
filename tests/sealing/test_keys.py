"""The folder of keys: made once, the owner's alone, renewed without forgetting what was signed before."""

from __future__ import annotations

import stat
from datetime import timedelta
from pathlib import Path

import pytest

from portal.core.errors import Refused
from portal.sealing import Keys, Seal
from portal.sealing.keys import LIFE
from tests.sealing.conftest import AT


def modes(folder: Path) -> dict[str, int]:
    return {
        path.relative_to(folder).as_posix(): stat.S_IMODE(path.stat().st_mode) for path in folder.rglob("*")
    }


def test_keys_are_made_once_and_are_their_owners_alone(seal: Seal) -> None:
    name = seal.key(AT)

    assert seal.keys.make("Somebody else", AT) is None
    assert seal.key(AT) == name
    assert stat.S_IMODE(seal.keys.folder.stat().st_mode) == 0o700
    assert modes(seal.keys.folder) == {
        "current": 0o600, name: 0o700, f"{name}/paper.pem": 0o600, f"{name}/code.pem": 0o600,
        f"{name}/paper.crt": 0o600, f"{name}/code.pub": 0o600,
    }  # fmt: skip


def test_a_key_that_others_can_read_is_not_used(seal: Seal) -> None:
    (seal.keys.folder / seal.key(AT) / "paper.pem").chmod(0o640)

    with pytest.raises(Refused, match="Others on this machine can read"):
        seal.sign_code("1", AT)


def test_without_keys_nothing_is_signed_and_it_says_how_to_make_them(tmp_path: Path) -> None:
    seal = Seal(Keys(tmp_path / "keys"))

    for act in (lambda: seal.key(AT), lambda: seal.sign_code("1", AT), lambda: seal.sign_paper(b"", AT, "")):
        with pytest.raises(Refused, match="python3 -m portal keys --make"):
            act()
    assert seal.public() == () and seal.read_paper(b"%PDF-") is None


@pytest.mark.parametrize("file", ["paper.pem", "code.pem", "paper.crt", "code.pub"])
def test_half_a_pair_signs_nothing(seal: Seal, file: str) -> None:
    (seal.keys.folder / seal.key(AT) / file).write_text("no key")

    with pytest.raises(Refused, match="is missing"):
        seal.key(AT)


def test_a_pair_signs_for_its_time_and_not_after_it(seal: Seal) -> None:
    assert seal.key(AT + LIFE)
    with pytest.raises(Refused, match="ran out on"):
        seal.key(AT + LIFE + timedelta(seconds=1))


def test_a_renewed_pair_takes_over_and_the_older_still_checks_what_it_signed(
    seal: Seal, printed: bytes
) -> None:
    old, paper = seal.key(AT), seal.sign_paper(printed, AT, "Signed")

    new = seal.keys.renew("Trestle Wood Care", AT)

    assert new != old and seal.key(AT) == new
    assert [pair.name for pair in seal.public()] == [new, old]
    read = seal.read_paper(paper)
    assert read is not None and (read.key, read.whole) == (old, True)
    assert not {f"{old}/paper.pem", f"{old}/code.pem"} & set(modes(seal.keys.folder))


def test_a_key_that_leaked_signs_nothing_more_and_its_public_half_says_so(seal: Seal) -> None:
    leaked = seal.key(AT)

    took_over = seal.keys.distrust(leaked, "Trestle Wood Care", AT)

    assert took_over == seal.key(AT) != leaked
    assert (seal.distrusted(leaked), seal.distrusted(took_over)) == (AT.date(), None)
    assert not (seal.keys.folder / leaked / "code.pem").exists()
    assert [pair.distrusted for pair in seal.public()] == [None, AT.date()]
    # Said again, nothing changes, not even the day.
    assert seal.keys.distrust(leaked, "Trestle Wood Care", AT + timedelta(days=9)) is None
    assert seal.distrusted(leaked) == AT.date() and seal.key(AT) == took_over
    with pytest.raises(Refused, match="no key nowhere"):
        seal.keys.distrust("nowhere", "Trestle Wood Care", AT)


def test_a_key_half_distrusted_is_not_used(seal: Seal) -> None:
    """The power went between the mark and the new pair."""
    (seal.keys.folder / seal.key(AT) / "distrusted").write_text("2027-05-04")

    with pytest.raises(Refused, match="not trusted any more"):
        seal.sign_code("1", AT)
