"""Papers in a folder, each under its SHA-256. Written beside and renamed, so that a half file has no name."""

from __future__ import annotations

import hashlib
import os
import threading
from pathlib import Path

from portal.core.errors import NotFound


class Blobs:
    """A folder of bytes that never change."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def _path(self, sha256: str) -> Path:
        return self.folder / sha256[:2] / sha256

    def put(self, content: bytes) -> str:
        """Keep `content`; answers its SHA-256 in hex. The same bytes are kept once."""
        sha256 = hashlib.sha256(content).hexdigest()
        path = self._path(sha256)
        # Read, not only looked for: what was damaged on the disk is written anew.
        if not self._is_whole(path, sha256):
            path.parent.mkdir(parents=True, exist_ok=True)
            beside = path.with_name(f"{sha256}.{os.getpid()}.{threading.get_ident()}.part")
            with beside.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            beside.replace(path)
        return sha256

    @staticmethod
    def _is_whole(path: Path, sha256: str) -> bool:
        try:
            return hashlib.sha256(path.read_bytes()).hexdigest() == sha256
        except FileNotFoundError:
            return False

    def get(self, sha256: str) -> bytes:
        """The bytes. Raises `NotFound` where they are missing or damaged."""
        try:
            content = self._path(sha256).read_bytes()
        except FileNotFoundError:
            raise NotFound("blob", sha256) from None
        if hashlib.sha256(content).hexdigest() != sha256:
            raise NotFound("undamaged blob", sha256)
        return content

    def drop(self, sha256: str) -> None:
        """Let bytes go whose record was let go. Twice is once."""
        self._path(sha256).unlink(missing_ok=True)
