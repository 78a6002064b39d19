"""Signed links: each carries its purpose, so that a link made for one door opens no other."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from itsdangerous import BadSignature, SignatureExpired, TimestampSigner, URLSafeTimedSerializer

from portal.core.errors import refuse

#: How long a link of each purpose is good for, in seconds.
LIFETIMES = {
    "invitation": 14 * 24 * 3600, "reset": 2 * 3600, "letters": 400 * 24 * 3600,
    "holder": 400 * 24 * 3600, "transfer": 30 * 24 * 3600,
    "renewal": 900 * 24 * 3600, "bill": 400 * 24 * 3600,
}  # fmt: skip


class Tokens:
    """Makes and reads signed links with the house's clock."""

    def __init__(self, secret: str, now: Callable[[], datetime]) -> None:
        class Signer(TimestampSigner):
            def get_timestamp(self) -> int:
                return int(now().timestamp())

        self._secret, self._signer = secret, Signer

    def _serializer(self, purpose: str) -> URLSafeTimedSerializer:
        return URLSafeTimedSerializer(self._secret, salt=f"sillbook.{purpose}", signer=self._signer)

    def make(self, purpose: str, content: dict[str, Any]) -> str:
        """A link's token for one purpose."""
        assert purpose in LIFETIMES
        return str(self._serializer(purpose).dumps(content))

    def read(self, purpose: str, token: str) -> dict[str, Any]:
        """What a token carries. Raises `Refused` where it is old, or not one of ours for this purpose."""
        try:
            content = self._serializer(purpose).loads(token, max_age=LIFETIMES[purpose])
        except SignatureExpired:
            raise refuse("This link is too old. Ask for a new one.") from None
        except BadSignature:
            raise refuse(
                "This link is not whole. Open it again from the mail, or ask for a new one."
            ) from None
        assert isinstance(content, dict)
        return content
