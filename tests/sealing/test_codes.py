"""Ed25519 against the standard's own vectors, and codes checked by a program that is not ours."""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from pathlib import Path

import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from portal.cli import main
from portal.core.cover.codes import read_code, signed, to_sign
from portal.core.cover.numbers import check_character, shown
from portal.core.errors import BadInput
from portal.sealing import Seal
from portal.sealing.keys import name_of
from portal.sealing.public import check_code, read_keys
from tests.parts import documents
from tests.parts.signatures import code_verifies
from tests.sealing.conftest import AT

PLACE = documents.PLACE
BODY = "7KM2PQR9XZ"
NUMBER = shown(BODY + check_character(BODY))

#: RFC 8032, section 7.1, TEST 1 to 3: secret key, public key, message, signature.
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0"
        "595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eae"
        "b4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9"
        "716ed28dc027beceea1ec40a",
    ),
]


def code_of(seal: Seal) -> str:
    said = to_sign(NUMBER, date(2027, 3, 9), PLACE, seal.key(AT))
    return signed(said, seal.sign_code(said, AT))


@pytest.mark.parametrize(("secret", "public", "message", "signature"), RFC_8032)
def test_the_seal_signs_as_the_standard_prints_it(
    seal: Seal, secret: str, public: str, message: str, signature: str
) -> None:
    """The key of each vector is put into the folder in place of the office's."""
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    folder = seal.keys.folder / seal.key(AT)
    pem, none = serialization.Encoding.PEM, serialization.NoEncryption()
    (folder / "code.pem").write_bytes(key.private_bytes(pem, serialization.PrivateFormat.PKCS8, none))

    assert key.public_key().public_bytes_raw().hex() == public
    text = bytes.fromhex(message)
    if text.isascii():
        assert seal.sign_code(text.decode(), AT).hex() == signature
    Ed25519PublicKey.from_public_bytes(bytes.fromhex(public)).verify(bytes.fromhex(signature), text)


def test_openssl_finds_a_code_signed_and_any_changed_character_not(seal: Seal, tmp_path: Path) -> None:
    code, pem = read_code(code_of(seal)), seal.public()[0].pem
    public = pem[pem.index("-----BEGIN PUBLIC KEY-----") :]

    assert code_verifies(code.said, code.signature, public, tmp_path)
    for place in range(0, len(code.said), 7):
        changed = bytearray(code.said)
        changed[place] ^= 1
        assert not code_verifies(bytes(changed), code.signature, public, tmp_path)


def test_every_changed_character_of_a_code_is_refused(seal: Seal) -> None:
    text = code_of(seal)
    keys = read_keys(seal.public()[0].pem)
    kept = []
    for place, was in enumerate(text):
        for other in "2A0.":
            changed = text[:place] + other + text[place + 1 :]
            if other == was:
                continue
            with suppress(BadInput):
                if check_code(keys, read_code(changed)):
                    kept.append(changed)

    assert check_code(keys, read_code(text)) and kept == []


def test_the_key_of_a_code_is_named_by_its_own_fingerprint(seal: Seal) -> None:
    assert name_of(seal.public()[0].code) == seal.key(AT) == read_code(code_of(seal)).key


def test_the_command_checks_a_code_with_nothing_but_the_public_keys(
    seal: Seal, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, text = tmp_path / "keys.pem", f"https://portal.example.com/warranty/x#{code_of(seal)}"
    file.write_text(seal.public()[0].pem)
    lot = [part for line in (PLACE.address, PLACE.city_line, PLACE.lot, PLACE.subdivision)
           for part in ("--lot", line)]  # fmt: skip

    assert main(["check-qr", text, "--keys", str(file), *lot]) == 0
    assert f"Warranty {NUMBER}, begun 2027-03-09" in capsys.readouterr().out
    assert main(["check-qr", text, "--keys", str(file), "--lot", "another"]) == 1
    assert main(["check-qr", text[:-2], "--keys", str(file)]) == 2
    seal.keys.renew("Trestle Wood Care", AT)
    file.write_text(seal.public()[0].pem)
    assert main(["check-qr", text, "--keys", str(file)]) == 1
    file.write_text("".join(pair.told for pair in seal.public()))
    assert main(["check-qr", text, "--keys", str(file)]) == 0
    capsys.readouterr()
    seal.keys.distrust(read_code(text).key, "Trestle Wood Care", AT)
    file.write_text("".join(pair.told for pair in seal.public()))
    assert main(["check-qr", text, "--keys", str(file)]) == 1
    assert "does not trust since 2027-05-04" in capsys.readouterr().err
    file.write_text("no keys")
    assert main(["check-qr", text, "--keys", str(file)]) == 2


def test_the_command_makes_shows_and_renews_keys(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, value in {
        "DATABASE": f"sqlite:///{tmp_path / 'a.db'}", "BLOBS": str(tmp_path / "papers"), "SECRET": "s" * 40,
        "BASE_URL": "https://portal.example.com",
    }.items():  # fmt: skip
        monkeypatch.setenv(f"SILLBOOK_{name}", value)

    assert main(["keys"]) == 1
    assert "keys --make" in capsys.readouterr().err
    assert main(["keys", "--make"]) == 0
    first = capsys.readouterr().out
    assert "in use, signs until" in first and "BEGIN PUBLIC KEY" in first and "PRIVATE" not in first
    assert main(["keys", "--make"]) == 0 and capsys.readouterr().out == first
    assert main(["keys", "--renew"]) == 0
    renewed = capsys.readouterr().out
    assert first.split()[0] in renewed and renewed.split()[0] != first.split()[0]
    assert (tmp_path / "keys").is_dir()
    newest = renewed.split()[0]
    assert main(["keys", "--distrust", "00000000"]) == 1 and "no key 00000000" in capsys.readouterr().err
    assert main(["keys", "--distrust", newest]) == 0
    said = capsys.readouterr()
    assert f"{newest}  not trusted since" in said.out and "takes over" in said.err
    assert said.out.split()[0] not in (newest, first.split()[0])
