"""What comes in at the edge: settings, signed links, passwords, formats, and the commands of the house."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from portal.acts import closing
from portal.core.errors import BadInput, Refused
from portal.core.words import say
from portal.formats import Formats
from portal.links import Links
from portal.passwords import Passwords
from portal.settings import BadSettings, Settings, from_environment
from portal.store import migrate
from portal.tokens import LIFETIMES, Tokens
from tests.parts.house import QUICK_HASHER, House

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[1]
NEEDED = {
    "SILLBOOK_DATABASE": "sqlite:////tmp/none.db", "SILLBOOK_BLOBS": "/tmp/none", "SILLBOOK_SECRET": "s" * 32,
    "SILLBOOK_BASE_URL": "https://portal.example.com/",
}  # fmt: skip


def wrong(**changes: str) -> list[str]:
    with pytest.raises(BadSettings) as caught:
        from_environment(NEEDED | {f"SILLBOOK_{name}": value for name, value in changes.items()})
    return caught.value.says


def test_four_settings_are_enough_and_the_rest_is_safe() -> None:
    settings = from_environment(NEEDED)

    assert (settings.base_url, settings.secure) == ("https://portal.example.com", True)
    assert (settings.demo, settings.worker, settings.trusted_proxies, settings.paper) == (
        False,
        True,
        0,
        "Letter",
    )


def test_everything_that_is_missing_is_said_at_once() -> None:
    with pytest.raises(BadSettings) as caught:
        from_environment({})

    assert [line.split()[0] for line in caught.value.says] == list(NEEDED)


@pytest.mark.parametrize("name", ["DATABASE", "BLOBS", "SECRET", "BASE_URL"])
@pytest.mark.parametrize("empty", ["", "   "])
def test_set_to_nothing_is_missing(name: str, empty: str) -> None:
    assert wrong(**{name: empty})[0].startswith(f"SILLBOOK_{name} is missing: ")


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("SECRET", "short", "SILLBOOK_SECRET is too short; it needs 32 characters or more."),
        ("DATABASE", "mysql://x", "SILLBOOK_DATABASE must begin with sqlite:/// or postgresql+psycopg://."),
        ("BASE_URL", "portal.example.com", "SILLBOOK_BASE_URL must begin with http:// or https://."),
        (
            "ZONE",
            "Mars/Olympus",
            "SILLBOOK_ZONE is “Mars/Olympus”; write a time zone such as America/Chicago.",
        ),
        ("ZONE", "../etc", "SILLBOOK_ZONE is “../etc”; write a time zone such as America/Chicago."),
        ("PAPER", "Foolscap", "SILLBOOK_PAPER is “Foolscap”; it must be one of Letter, A4."),
        ("SMTP_PORT", "65536", "SILLBOOK_SMTP_PORT is “65536”; it must be a whole number."),
        ("SMTP_PORT", "٢٥", "SILLBOOK_SMTP_PORT is “٢٥”; it must be a whole number."),
        ("SMTP_TLS", "maybe", "SILLBOOK_SMTP_TLS is “maybe”; it must be one of starttls, tls, none."),
        ("DEMO", "perhaps", "SILLBOOK_DEMO is “perhaps”; write on or off."),
        ("TRUSTED_PROXIES", "-1", "SILLBOOK_TRUSTED_PROXIES is “-1”; it must be a whole number."),
    ],
)
def test_what_cannot_be_used_is_said_with_what_was_read(name: str, value: str, said: str) -> None:
    assert wrong(**{name: value}) == [said]


@pytest.mark.parametrize(
    ("typed", "on"), [("on", True), ("YES", True), ("1", True), ("off", False), ("No", False)]
)
def test_a_switch_is_turned_by_words(typed: str, on: bool) -> None:
    assert from_environment(NEEDED | {"SILLBOOK_DEMO": typed}).demo is on


def test_secrets_are_not_shown() -> None:
    shown = repr(
        Settings("sqlite:///x", Path("x"), "the secret itself", "http://x", smtp_password="the password")
    )

    assert "the secret itself" not in shown and "the password" not in shown


class Clock:
    """A clock to turn."""

    moment = datetime(2027, 5, 4, 13, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.moment


@pytest.mark.parametrize("purpose", LIFETIMES)
def test_a_token_carries_its_content_until_it_is_old(purpose: str) -> None:
    clock = Clock()
    tokens = Tokens("s" * 32, clock)
    token = tokens.make(purpose, {"person": "x", "turn": 3})

    clock.moment += timedelta(seconds=LIFETIMES[purpose])
    assert tokens.read(purpose, token) == {"person": "x", "turn": 3}
    clock.moment += timedelta(seconds=1)
    with pytest.raises(Refused, match="This link is too old"):
        tokens.read(purpose, token)


@pytest.mark.parametrize(
    "spoil", [lambda t: t[:-1], lambda t: "", lambda t: t + "x", lambda t: t[1:], lambda t: "é" + t]
)
def test_a_token_that_is_not_whole_is_refused(spoil: object) -> None:
    tokens = Tokens("s" * 32, Clock())
    token = tokens.make("reset", {"person": "x"})

    with pytest.raises(Refused, match="This link is not whole"):
        tokens.read("reset", spoil(token))  # type: ignore[operator]


def test_a_token_of_another_secret_or_purpose_is_refused() -> None:
    token = Tokens("s" * 32, Clock()).make("reset", {})

    for tokens, purpose in ((Tokens("t" * 32, Clock()), "reset"), (Tokens("s" * 32, Clock()), "invitation")):
        with pytest.raises(Refused):
            tokens.read(purpose, token)


def test_a_password_is_kept_as_argon2id_and_matches_itself_alone() -> None:
    passwords = Passwords()  # the real one, once

    kept = passwords.hash("a sill and a plate")

    assert kept.startswith("$argon2id$")
    assert passwords.matches("a sill and a plate", kept)
    assert not passwords.matches("a sill and a plat", kept)
    assert not passwords.matches("a sill and a plate", None)
    assert not passwords.matches("nobody has this password", None)
    assert not passwords.matches("a sill and a plate", "damaged")


def test_the_same_letters_from_another_keyboard_are_the_same_password() -> None:
    passwords = Passwords(QUICK_HASHER)
    one, two = "caf\u00e9 au lait 7", "cafe\u0301 au lait 7"

    assert passwords.matches(two, passwords.hash(one))
    assert passwords.matches(one, passwords.hash(two))


@pytest.mark.parametrize(
    "password", ["x" * 9, "x" * 201, "x" * 10_000, "qwertyuiop", "QwertyUiop", "Harriet Finch"]
)
def test_a_password_that_does_not_help_is_refused(password: str) -> None:
    with pytest.raises(BadInput):
        Passwords(QUICK_HASHER).hash(password, "Harriet Finch")


@pytest.mark.parametrize("password", ["x" * 10, "x" * 200, "correct horse", "ß" * 10, "🪵" * 10])
def test_any_other_password_will_do(password: str) -> None:
    passwords = Passwords(QUICK_HASHER)

    assert passwords.matches(password, passwords.hash(password))


FORMATS = Formats("en_US", ZoneInfo("America/Chicago"), str)


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        (FORMATS.money("1234.5"), "$1,234.50"), (FORMATS.money(Decimal("-0.01")), "−$0.01"),
        (FORMATS.money("-24"), "−$24.00"),
        (FORMATS.fixed("-4"), "−4.00"), (FORMATS.hours("4.4"), "4.40"),
        (FORMATS.money(None), ""),
        (FORMATS.money("0"), "$0.00"), (FORMATS.money("5", "EUR"), "€5.00"),
        (FORMATS.number("296.00"), "296"), (FORMATS.number("2.96"), "2.96"), (FORMATS.number("1250.50"),
        "1,250.5"),
        (FORMATS.number("0.125", 3), "0.125"), (FORMATS.number("2.5", 0), "3"), (FORMATS.number("2.345"),
        "2.35"),
        (FORMATS.fixed("296"), "296.00"), (FORMATS.fixed("2.345"), "2.35"), (FORMATS.fixed("-2.345"),
        "−2.35"),
        (FORMATS.percent("8.2500"), "8.25"),
        (FORMATS.day(date(2027, 3, 9)), "Mar 9, 2027"), (FORMATS.day("2027-03-09"), "Mar 9, 2027"),
        (FORMATS.day(None), ""),
        (FORMATS.weekday("2027-03-09"), "Tue, Mar 9"), (FORMATS.weekday(None), ""),
        (FORMATS.moment(None), ""), (FORMATS.clock(None), ""),
        (FORMATS.told("as it is"), "as it is"),
        (FORMATS.told(say("{a} of {b}", a=1, b=say("{n} feet", n=2))), "1 of 2 feet"),
        (FORMATS.told(say("{at}, {day}", at=time(8, 5), day=date(2027, 3, 9))), "8:05\u202fAM, Mar 9, 2027"),
        (str(say("{at}, {day}", at=time(8, 5), day=date(2027, 3, 9))), "08:05, 2027-03-09"),
    ],
)  # fmt: skip
def test_amounts_and_days_are_shown_as_people_read_them(shown: str, expected: str) -> None:
    assert shown == expected


def test_a_moment_is_shown_where_the_office_is() -> None:
    moment = datetime(2027, 3, 10, 3, 40, tzinfo=UTC)  # still the evening before in Chicago

    assert FORMATS.moment(moment).replace("\u202f", " ") == "Mar 9, 2027, 9:40 PM"
    assert FORMATS.clock(moment).replace("\u202f", " ") == "9:40 PM"


def test_addresses_are_below_the_portals_own() -> None:
    links = Links("https://portal.example.com/sill")

    made = [links.fewer("t"), links.invitation("t"), links.reset("t"),
            links.builder_lot("l"), links.office_lot("l"),
    links.stop("j"),
            links.warranty("w"), links.find_warranty()]  # fmt: skip

    assert all(link.startswith("https://portal.example.com/sill/") for link in made)
    assert len(set(made)) == len(made)


def command(house: House, *words: str) -> subprocess.CompletedProcess[str]:
    settings = house.settings
    own = {
        "SILLBOOK_DATABASE": settings.database, "SILLBOOK_BLOBS": str(settings.blobs),
        "SILLBOOK_SECRET": settings.secret, "SILLBOOK_BASE_URL": settings.base_url,
    }  # fmt: skip
    rest = {name: value for name, value in os.environ.items() if not name.startswith("SILLBOOK_")}
    return subprocess.run(
        [sys.executable, "-m", "portal", *words], cwd=ROOT, env=rest | own, capture_output=True, text=True
    )


def test_the_command_line_checks_the_history(lite: House) -> None:
    lite.paid()

    whole = command(lite, "check-history")
    with lite.parts.store.engine.connect() as connection:
        connection.exec_driver_sql("DROP TRIGGER history_refuses_update")
        connection.exec_driver_sql("UPDATE history SET subject = 'another' WHERE seq = 3")
        connection.commit()
    broken = command(lite, "check-history")

    assert (whole.returncode, whole.stdout) == (0, "Every line of the history fits the one before.\n")
    assert (broken.returncode, broken.stderr) == (1, "The history does not fit from line 3 on.\n")


def test_the_command_line_adds_the_books_up_again(lite: House) -> None:
    lite.paid()
    lite.clock.turn_to(date(2027, 6, 1))
    seen = closing.look(lite.parts, lite.owner)
    assert seen is not None
    closing.close_month(lite.parts, lite.owner, seen.through, seen.mark)

    whole = command(lite, "check-books")
    with lite.parts.store.engine.connect() as connection:
        connection.exec_driver_sql("DROP TRIGGER posting_refuses_update")
        connection.exec_driver_sql("UPDATE posting SET amount = amount + 1 WHERE seq = 2")
        connection.commit()
    broken = command(lite, "check-books")

    assert (whole.returncode, whole.stdout) == (
        0,
        "Every entry balances, and every closed month is as it was closed.\n",
    )
    assert (broken.returncode, broken.stderr.splitlines()) == (
        1,
        ["Entry 1 does not balance.", "The month closed through 2027-05-31 is not as it was closed."],
    )


def test_the_command_line_invites_the_first_owner(lite: House) -> None:
    said = command(lite, "first-owner", "Ida Lath", "ida@example.com")
    again = command(lite, "first-owner", "Ida Lath", "ida@example.com")

    assert said.stdout.startswith("http://portal.example.com/join/"), said.stderr
    assert (again.returncode, again.stdout) == (2, "")
    assert "Somebody with this mail address is here already." in again.stderr


@pytest.mark.parametrize(
    "words", [("check-history",), ("first-owner", "Ida Lath", "ida@example.com"), ("serve",)]
)
def test_a_command_on_a_database_that_is_not_migrated_says_what_to_do(
    lite: House, tmp_path: Path, words: tuple[str, ...]
) -> None:
    lite.settings = replace(lite.settings, database=f"sqlite:///{tmp_path / 'new.db'}")

    said = command(lite, *words)
    migrated = command(lite, "migrate")

    assert said.returncode == 2
    assert said.stderr == "The database is not at its newest edition. Run: python3 -m portal migrate\n"
    assert (migrated.returncode, migrate.is_current(lite.settings.database)) == (0, True)


def test_a_command_without_settings_says_which(lite: House) -> None:
    lite.settings = replace(lite.settings, secret="short")

    said = command(lite, "check-history")

    assert (said.returncode, said.stderr) == (
        2,
        "SILLBOOK_SECRET is too short; it needs 32 characters or more.\n",
    )
