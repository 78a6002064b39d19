"""Signs a PDF: PAdES baseline B-B, as an update added to its end, so that nothing before it changes."""

from __future__ import annotations

import io
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from typing import Any

from asn1crypto import keys as asn1_keys  # type: ignore[import-untyped]
from asn1crypto import x509 as asn1_x509
from cryptography.hazmat.primitives import serialization
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from pyhanko_certvalidator.registry import SimpleCertificateStore

from portal.sealing.keys import Pair

FIELD = "Office"


class _Timed(signers.PdfSigner):
    """Writes the house's own time into the signature; the library would ask the machine."""

    def __init__(self, at: datetime, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self._at = at

    def init_signing_session(self, *given: Any, **named: Any) -> Any:
        session = super().init_signing_session(*given, **named)
        session.system_time = self._at
        return session


def sign(pdf: bytes, pair: Pair, at: datetime, reason: str) -> bytes:
    """The PDF with the office's signature, after which nothing may be added to it."""
    meta = signers.PdfSignatureMetadata(
        field_name=FIELD, md_algorithm="sha256", subfilter=fields.SigSeedSubFilter.PADES, reason=reason,
        certify=True, docmdp_permissions=fields.MDPPerm.NO_CHANGES,
    )  # fmt: skip
    # Hidden, as PDF/UA asks of a field that is nowhere on the page.
    hidden = fields.InvisSigSettings(set_print_flag=False, set_hidden_flag=True, box_out_of_bounds=True)
    spec = fields.SigFieldSpec(FIELD, invis_sig_settings=hidden, readable_field_name=reason)
    signer = _Timed(at, meta, _signer(pair), new_field_spec=spec)
    # pyHanko runs an event loop of its own, which it may not where somebody's is running already: on a
    # thread of its own there is none.
    with ThreadPoolExecutor(1) as thread:
        out = thread.submit(signer.sign_pdf, IncrementalPdfFileWriter(io.BytesIO(pdf))).result()
    assert isinstance(out, io.BytesIO)
    return out.getvalue()


def _signer(pair: Pair) -> Any:
    certificate = pair.public.certificate.public_bytes(serialization.Encoding.DER)
    private = pair.paper.private_bytes(
        serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    return signers.SimpleSigner(
        asn1_x509.Certificate.load(certificate), asn1_keys.PrivateKeyInfo.load(private),
        SimpleCertificateStore(),  # type: ignore[no-untyped-call]
    )  # fmt: skip
