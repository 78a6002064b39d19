"""What phones in the field sent: entries, each once and for good, and photos."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from portal.store.tables.base import Base

#: What a device makes its ids with: a UUID of version 4 as text (RFC 9562).
DEVICE_ID = 36


class FieldEntry(Base):
    """One value entered in one field of a stop's entry. Append-only; it goes only with its record.

    `id` was made on the device, so that what is sent twice is the same row. `number` counts the entries of
    a job as they came in; `knows` are the ids of the entries of the same field that it replaces, because
    whoever entered it saw them. `device_at` is what the device's own clock said, `offset_seconds` by how
    much that clock was ahead of ours when it sent. What came after the job was marked treated is `late`.
    """

    __tablename__ = "field_entry"
    __table_args__ = (UniqueConstraint("job_id", "number"),)
    id: Mapped[str] = mapped_column(String(DEVICE_ID), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    number: Mapped[int]
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"))
    by: Mapped[str] = mapped_column(String(200))
    source: Mapped[str] = mapped_column(String(10))
    device_id: Mapped[str] = mapped_column(String(DEVICE_ID), default="")
    device_seq: Mapped[int] = mapped_column(default=0)
    field: Mapped[str] = mapped_column(String(80))
    value: Mapped[str] = mapped_column(Text)
    knows: Mapped[list[Any]]
    device_at: Mapped[datetime]
    received_at: Mapped[datetime]
    offset_seconds: Mapped[int] = mapped_column(default=0)
    late: Mapped[bool] = mapped_column(default=False)


class Photo(Base):
    """A photo of a wall or of a problem; its bytes are in the blobs, encoded anew by us.

    Append-only; it goes only when its record is forgotten.

    `wall` is the key of the stretch it shows, or nothing for a photo of a problem.
    """

    __tablename__ = "photo"
    __table_args__ = (Index("ix_photo_job_id", "job_id"),)
    id: Mapped[str] = mapped_column(String(DEVICE_ID), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"))
    by: Mapped[str] = mapped_column(String(200))
    device_id: Mapped[str] = mapped_column(String(DEVICE_ID), default="")
    wall: Mapped[str] = mapped_column(String(60), default="")
    words: Mapped[str] = mapped_column(String(500), default="")
    sha256: Mapped[str] = mapped_column(String(64))
    small_sha256: Mapped[str] = mapped_column(String(64))
    sent_sha256: Mapped[str] = mapped_column(String(64))
    width: Mapped[int]
    height: Mapped[int]
    device_at: Mapped[datetime]
    received_at: Mapped[datetime]
    late: Mapped[bool] = mapped_column(default=False)
