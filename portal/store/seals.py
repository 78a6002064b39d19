"""Finds and adds certificates as issued, and their signed papers."""

from __future__ import annotations

from typing import Any

from sqlalchemy import select

from portal.store.tables import Certificate, SealedPaper
from portal.store.transaction import Work


def newest(work: Work, warranty_id: str) -> Certificate | None:
    """A warranty's newest certificate."""
    query = select(Certificate).where(Certificate.warranty_id == warranty_id)
    return work.session.scalar(query.order_by(Certificate.number.desc()).limit(1))


def issues(work: Work, warranty_id: str) -> list[Certificate]:
    """All certificates of a warranty, the newest first."""
    query = select(Certificate).where(Certificate.warranty_id == warranty_id)
    return list(work.session.scalars(query.order_by(Certificate.number.desc())))


def sealed_with(work: Work, sha256: str) -> str:
    """The name of the key that signed a paper."""
    query = select(SealedPaper.key_name).where(SealedPaper.sha256 == sha256)
    return work.session.scalar(query) or ""


def add_certificate(work: Work, warranty_id: str, number: int, **values: Any) -> Certificate:
    """A further issue."""
    row = Certificate(id=work.new_id(), warranty_id=warranty_id, number=number, made_at=work.now, **values)
    work.put(row)
    return row


def sealed(work: Work, certificate_id: str) -> SealedPaper | None:
    """The signed paper of a certificate that is handed out: the newest."""
    query = select(SealedPaper).where(SealedPaper.certificate_id == certificate_id)
    newest_first = (SealedPaper.made_at.desc(), SealedPaper.sha256)
    return work.session.scalar(query.order_by(*newest_first).limit(1))


def add_sealed(work: Work, certificate_id: str, sha256: str, key_name: str) -> None:
    """A signed paper."""
    work.put(SealedPaper(sha256=sha256, certificate_id=certificate_id, key_name=key_name, made_at=work.now))


def by_paper(work: Work, sha256: str) -> Certificate | None:
    """The certificate whose signed paper has these bytes."""
    query = select(Certificate).join(SealedPaper, SealedPaper.certificate_id == Certificate.id)
    return work.session.scalar(query.where(SealedPaper.sha256 == sha256))


def by_mark(work: Work, mark: str) -> Certificate | None:
    """The certificate of a fingerprint as it is printed."""
    return work.session.scalar(select(Certificate).where(Certificate.mark == mark))
