"""The folder of the office's keys: made once, renewed, read by nobody but their owner.

    keys/current          the name of the pair in use
    keys/NAME/paper.pem   its private key for papers        only of the pair in use
    keys/NAME/code.pem    its private key for codes         only of the pair in use
    keys/NAME/paper.crt   the certificate (X.509) that goes with it
    keys/NAME/code.pub    the public key that goes with it
    keys/NAME/distrusted  the day since which it is not trusted, of a pair that may have leaked

NAME is the first eight characters of the SHA-256 of the public key for codes, which codes carry. Folders
have mode 0700 and private keys 0600; a key that others can read is not used.
"""

from __future__ import annotations

import hashlib
import os
import stat
import tempfile
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec, ed25519
from cryptography.x509.oid import NameOID, ObjectIdentifier

from portal.core.errors import Refused, refuse

CURRENT, PAPER_KEY, CODE_KEY, PAPER_CERT, CODE_PUBLIC, DISTRUSTED = (
    "current", "paper.pem", "code.pem", "paper.crt", "code.pub", "distrusted",
)  # fmt: skip
#: How long a pair signs. What it signed is checked against the kept public half, without an end.
LIFE = timedelta(days=5 * 365)
#: RFC 9336: a key purpose for signing documents.
DOCUMENT_SIGNING = ObjectIdentifier("1.3.6.1.5.5.7.3.36")
NAME_LENGTH = 8


@dataclass(frozen=True, slots=True)
class PublicPair:
    """What may be known of a pair by everybody. `distrusted`: since when nothing it signed proves a thing."""

    name: str
    certificate: x509.Certificate
    code: ed25519.Ed25519PublicKey
    distrusted: date | None = None

    @property
    def pem(self) -> str:
        """Both, as text."""
        pem = serialization.Encoding.PEM
        public = self.code.public_bytes(pem, serialization.PublicFormat.SubjectPublicKeyInfo)
        return self.certificate.public_bytes(pem).decode() + public.decode()

    @property
    def told(self) -> str:
        """The same for somebody who checks offline: whose they are, and whether to trust them."""
        not_trusted = f"Distrusted since {self.distrusted}: {self.name}\n" if self.distrusted else ""
        return f"key {self.name}\n{not_trusted}{self.pem}"

    @property
    def sha256(self) -> str:
        """The fingerprint of the certificate, as readers of PDF show it."""
        return self.certificate.fingerprint(hashes.SHA256()).hex()


@dataclass(frozen=True, slots=True)
class Pair:
    """The pair in use, with its private halves."""

    public: PublicPair
    paper: ec.EllipticCurvePrivateKey
    code: ed25519.Ed25519PrivateKey


class Keys:
    """The folder. Nothing of it is kept in memory: a key renewed beside a running portal is used at once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def exist(self) -> bool:
        """Whether there is a pair in use."""
        return (self.folder / CURRENT).is_file()

    def make(self, firm: str, now: datetime) -> str | None:
        """Make the first pair; answers its name, or None where there is one."""
        return None if self.exist() else self.renew(firm, now)

    def renew(self, firm: str, now: datetime) -> str:
        """Make a pair that takes over; answers its name. Of the one before, the private halves go."""
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.folder.chmod(0o700)
        before = self._name() if self.exist() else None
        paper, code = ec.generate_private_key(ec.SECP256R1()), ed25519.Ed25519PrivateKey.generate()
        public = PublicPair(name_of(code.public_key()), _certificate(paper, firm, now), code.public_key())
        self._keep(Pair(public, paper, code))
        if before is not None:
            for private in (PAPER_KEY, CODE_KEY):
                (self.folder / before / private).unlink(missing_ok=True)
        return public.name

    def distrust(self, name: str, firm: str, now: datetime) -> str | None:
        """Trust a pair no more; answers the name of the one that took over, where it was in use.

        Raises `Refused` where there is no such pair. What was said once is not taken back, nor is its day.
        """
        if name not in {pair.name for pair in self.known()}:
            raise refuse("There is no key {name} here.", name=name)
        marked = self.folder / name / DISTRUSTED
        if not marked.is_file():
            _write(marked, now.date().isoformat().encode())
        # A key that somebody else may have must not sign one more paper.
        return self.renew(firm, now) if self.exist() and self._name() == name else None

    def _keep(self, pair: Pair) -> None:
        """Written beside and renamed, so that half a pair has no name and `current` never names one."""
        beside = Path(tempfile.mkdtemp(prefix="making-", dir=self.folder))
        public = pair.public
        _write(beside / PAPER_KEY, _private_pem(pair.paper))
        _write(beside / CODE_KEY, _private_pem(pair.code))
        _write(beside / PAPER_CERT, public.certificate.public_bytes(serialization.Encoding.PEM))
        _write(beside / CODE_PUBLIC, public.pem.removeprefix(
            public.certificate.public_bytes(serialization.Encoding.PEM).decode()
        ).encode())  # fmt: skip
        beside.rename(self.folder / public.name)
        named = self.folder / f"{CURRENT}.new"
        _write(named, public.name.encode())
        named.replace(self.folder / CURRENT)

    def pair(self, now: datetime) -> Pair:
        """The pair in use. Raises `Refused` where it is missing, open to others, or its time is over."""
        if not self.exist():
            raise missing()
        name = self._name()
        paper, code = self._private(name, PAPER_KEY), self._private(name, CODE_KEY)
        if not isinstance(paper, ec.EllipticCurvePrivateKey) or not isinstance(
            code, ed25519.Ed25519PrivateKey
        ):
            raise missing()
        public = self._public(name)
        if public is None:
            raise missing()
        if public.distrusted:
            raise refuse("The office’s signing key is not trusted any more. Make a new one: "
                         "python3 -m portal keys --renew")  # fmt: skip
        if now > public.certificate.not_valid_after_utc:
            raise refuse(
                "The office’s signing key ran out on {day}. Make a new one: python3 -m portal keys --renew",
                day=public.certificate.not_valid_after_utc.date(),
            )
        return Pair(public, paper, code)

    def known(self) -> tuple[PublicPair, ...]:
        """Every pair there ever was, the one in use first."""
        if not self.folder.is_dir():
            return ()
        current = self._name() if self.exist() else ""
        names = sorted(
            (path.name for path in self.folder.iterdir() if len(path.name) == NAME_LENGTH and path.is_dir()),
            key=lambda name: (name != current, name),
        )
        return tuple(pair for name in names if (pair := self._public(name)) is not None)

    def _name(self) -> str:
        return (self.folder / CURRENT).read_text().strip()

    def _private(self, name: str, file: str) -> object:
        path = self.folder / name / file
        try:
            mode = path.stat().st_mode
            content = path.read_bytes()
        except OSError:
            raise missing() from None
        if stat.S_IMODE(mode) & 0o077:
            raise refuse(
                "Others on this machine can read the office’s signing key, so it is not used. Only its owner "
                "may read {file}: make a new key with python3 -m portal keys --renew",
                file=f"{name}/{file}",
            )
        try:
            return serialization.load_pem_private_key(content, None)
        except ValueError:
            raise missing() from None

    def _public(self, name: str) -> PublicPair | None:
        try:
            certificate = x509.load_pem_x509_certificate((self.folder / name / PAPER_CERT).read_bytes())
            code = serialization.load_pem_public_key((self.folder / name / CODE_PUBLIC).read_bytes())
        except (OSError, ValueError):
            return None
        if not isinstance(code, ed25519.Ed25519PublicKey):
            return None
        return PublicPair(name, certificate, code, self._distrusted(name))

    def _distrusted(self, name: str) -> date | None:
        try:
            return date.fromisoformat((self.folder / name / DISTRUSTED).read_text().strip())
        except FileNotFoundError:
            return None


def missing() -> Refused:
    """There is no key to sign with."""
    return refuse(
        "The office’s signing key is missing, so no certificate can be signed. Make one: "
        "python3 -m portal keys --make"
    )


def name_of(code: ed25519.Ed25519PublicKey) -> str:
    """What a pair is called: by its public key for codes."""
    raw = code.public_bytes(serialization.Encoding.Raw, serialization.PublicFormat.Raw)
    return hashlib.sha256(raw).hexdigest()[:NAME_LENGTH]


def _private_pem(key: ec.EllipticCurvePrivateKey | ed25519.Ed25519PrivateKey) -> bytes:
    pem, pkcs8 = serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8
    return key.private_bytes(pem, pkcs8, serialization.NoEncryption())


def _write(path: Path, content: bytes) -> None:
    """Made with the owner's rights alone: a mode set afterward would leave a moment for others."""
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _certificate(key: ec.EllipticCurvePrivateKey, firm: str, now: datetime) -> x509.Certificate:
    """A certificate that vouches for itself: whoever wants to trust it compares its fingerprint."""
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, firm[:64])])
    usage = x509.KeyUsage(
        digital_signature=True, content_commitment=True, key_encipherment=False, data_encipherment=False,
        key_agreement=False, key_cert_sign=False, crl_sign=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip
    return (
        x509.CertificateBuilder().subject_name(name).issuer_name(name).public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(hours=1)).not_valid_after(now + LIFE)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([DOCUMENT_SIGNING]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )  # fmt: skip
