"""The settings, one frozen record, filled from SILLBOOK_* in one function."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

#: Compiled catalogs, a folder a language; texts are written in English, which therefore needs none.
CATALOGS = Path(__file__).resolve().parent / "locale"
#: The languages there are, and the locale (as Babel names it) whose figures and days go with each.
LOCALES = {"en": "en_US"}


class BadSettings(Exception):
    """Settings that are missing or cannot be used: all of them, in words."""

    def __init__(self, says: list[str]) -> None:
        self.says = says
        super().__init__("\n".join(says))


@dataclass(frozen=True)
class Settings:
    """What the portal is told from outside."""

    database: str
    blobs: Path
    secret: str = field(repr=False)
    base_url: str
    zone: str = "America/Chicago"
    language: str = "en"
    catalogs: Path = CATALOGS
    paper: str = "Letter"
    smtp_host: str = ""
    smtp_port: int = 25
    smtp_user: str = ""
    smtp_password: str = field(default="", repr=False)
    smtp_tls: str = "starttls"
    mail_from: str = "office@example.com"
    trusted_proxies: int = 0
    demo: bool = False
    worker: bool = True
    #: Whether invoices and credit notes carry their summary for machines in their PDF (PDF/A-3).
    summaries: bool = False
    #: The folder of the office's keys, where it was set.
    keys: Path | None = None

    @property
    def key_folder(self) -> Path:
        """Where the office's keys lie: beside the papers, unless said otherwise."""
        return self.keys or self.blobs.absolute().parent / "keys"

    @property
    def locale(self) -> str:
        """The locale of the office's language."""
        return LOCALES[self.language]

    @property
    def secure(self) -> bool:
        """Whether people reach the portal over TLS: cookies are then sent over nothing else."""
        return self.base_url.startswith("https://")


PAPERS = ("Letter", "A4")
SWITCH = {
    "1": True,
    "yes": True,
    "true": True,
    "on": True,
    "0": False,
    "no": False,
    "false": False,
    "off": False,
}


def from_environment(environ: Mapping[str, str] | None = None) -> Settings:
    """Read SILLBOOK_* settings. Raises `BadSettings` with every one that is missing or wrong."""
    env = os.environ if environ is None else environ
    wrong: list[str] = []

    def text(name: str, default: str | None = None, why: str = "") -> str:
        value = env.get(f"SILLBOOK_{name}", default)
        # Set to nothing is as missing as not set: an empty secret would sign links for anybody.
        if default is None and not (value or "").strip():
            wrong.append(f"SILLBOOK_{name} is missing: {why}.")
        return (value or "").strip()

    def number(name: str, default: int) -> int:
        value = text(name, str(default))
        if not (value.isascii() and value.isdecimal()) or int(value) > 65535:
            wrong.append(f"SILLBOOK_{name} is “{value}”; it must be a whole number.")
            return default
        return int(value)

    def switch(name: str, default: bool) -> bool:
        value = text(name, "on" if default else "off").lower()
        if value not in SWITCH:
            wrong.append(f"SILLBOOK_{name} is “{value}”; write on or off.")
        return SWITCH.get(value, default)

    def one_of(name: str, default: str, choices: tuple[str, ...]) -> str:
        value = text(name, default)
        if value not in choices:
            wrong.append(f"SILLBOOK_{name} is “{value}”; it must be one of {', '.join(choices)}.")
        return value

    settings = Settings(
        database=text("DATABASE", None, "the database, such as sqlite:////var/lib/sillbook/sillbook.db"),
        blobs=Path(text("BLOBS", None, "a folder for papers, such as /var/lib/sillbook/papers")),
        secret=text("SECRET", None, "a long random text that signs links and forms"),
        base_url=text("BASE_URL", None, "the address people type, such as https://portal.example.com").rstrip(
            "/"
        ),
        zone=text("ZONE", Settings.zone),
        language=one_of("LANGUAGE", Settings.language, tuple(LOCALES)),
        paper=one_of("PAPER", Settings.paper, PAPERS),
        smtp_host=text("SMTP_HOST", ""),
        smtp_port=number("SMTP_PORT", Settings.smtp_port),
        smtp_user=text("SMTP_USER", ""),
        smtp_password=text("SMTP_PASSWORD", ""),
        smtp_tls=one_of("SMTP_TLS", Settings.smtp_tls, ("starttls", "tls", "none")),
        mail_from=text("MAIL_FROM", Settings.mail_from),
        trusted_proxies=number("TRUSTED_PROXIES", 0),
        demo=switch("DEMO", False),
        worker=switch("WORKER", True),
        summaries=switch("SUMMARIES", False),
        keys=Path(keys) if (keys := text("KEYS", "")) else None,
    )
    wrong += _checked(settings)
    if wrong:
        raise BadSettings(wrong)
    return settings


def _checked(settings: Settings) -> list[str]:
    wrong = []
    if settings.secret and len(settings.secret) < 32:
        wrong.append("SILLBOOK_SECRET is too short; it needs 32 characters or more.")
    if settings.database and not settings.database.startswith(("sqlite:///", "postgresql+psycopg://")):
        wrong.append("SILLBOOK_DATABASE must begin with sqlite:/// or postgresql+psycopg://.")
    if settings.base_url and not settings.base_url.startswith(("http://", "https://")):
        wrong.append("SILLBOOK_BASE_URL must begin with http:// or https://.")
    try:
        ZoneInfo(settings.zone)
    except (ZoneInfoNotFoundError, ValueError):
        wrong.append(f"SILLBOOK_ZONE is “{settings.zone}”; write a time zone such as America/Chicago.")
    return wrong
