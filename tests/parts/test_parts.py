"""The parts themselves: what they promise to the tests that stand on them."""

from __future__ import annotations

import smtplib
import socket
import sqlite3
import urllib.request
from collections.abc import Callable
from email.message import EmailMessage
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.parts.mail import Mailbox
from tests.parts.network import ReachedOut, is_near
from tests.parts.postgres import PostgresServer

FAR = "192.0.2.1"  # TEST-NET-1, RFC 5737: an address that belongs to nobody


def hello(_environ: Any, start_response: Any) -> list[bytes]:
    start_response("200 OK", [("Content-Type", "text/html; charset=utf-8")])
    return [b"<!doctype html><html lang=en><title>Hello</title><h1>Hello</h1>"]


def test_a_connection_to_the_world_is_an_error() -> None:
    with socket.socket() as out, pytest.raises(ReachedOut, match=FAR):
        out.connect((FAR, 80))


def test_a_name_in_the_world_is_not_looked_up() -> None:
    with pytest.raises(ReachedOut, match="example"):
        socket.getaddrinfo("www.example.com", 443)


def test_a_datagram_to_the_world_is_an_error() -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as out, pytest.raises(ReachedOut):
        out.sendto(b"x", (FAR, 53))


@pytest.mark.parametrize("host", ["127.0.0.1", "127.8.9.1", "::1", "localhost", b"localhost", None])
def test_this_machine_is_near(host: object) -> None:
    assert is_near(host)


@pytest.mark.parametrize("host", ["10.0.0.1", "192.168.1.1", "::ffff:10.0.0.1", "localhost.example.com"])
def test_the_house_next_door_is_not_near(host: object) -> None:
    assert not is_near(host)


def test_a_served_application_answers(serve: Callable[[Any], str]) -> None:
    with urllib.request.urlopen(serve(hello)) as answer:
        assert answer.status == 200
        assert b"<h1>Hello</h1>" in answer.read()


def test_a_letter_arrives_as_it_was_sent(mailbox: Mailbox) -> None:
    letter = EmailMessage()
    letter["Subject"], letter["From"], letter["To"] = "Your quote", "office@example.com", "b@example.org"
    letter.set_content("Feet: 30′ 6″")

    with smtplib.SMTP(mailbox.host, mailbox.port) as post:
        post.send_message(letter)

    (arrived,) = mailbox.letters
    assert arrived["Subject"] == "Your quote"
    assert arrived.get_content().strip() == "Feet: 30′ 6″"
    assert mailbox.envelopes == [("office@example.com", ("b@example.org",))]


def test_the_server_is_a_real_postgresql(postgres_server: PostgresServer) -> None:
    import psycopg

    with psycopg.connect(f"host={postgres_server.folder} user=postgres dbname=postgres") as opened:
        row = opened.execute("SELECT current_setting('server_version_num')::int").fetchone()

    assert row is not None
    assert row[0] >= 160_000


def test_two_sqlite_databases_do_not_know_each_other(sqlite_url: str) -> None:
    with sqlite3.connect(sqlite_url.removeprefix("sqlite:///")) as opened:
        tables = {name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    opened.close()

    assert "alembic_version" in tables


def test_a_fresh_database_of_each_kind_stands_at_the_newest_migration(store_url: str) -> None:
    from portal.store import migrate

    assert migrate.is_current(store_url)


@pytest.mark.journey
def test_the_browser_shows_a_served_page(page: Page, serve: Callable[[Any], str]) -> None:
    page.goto(serve(hello))

    assert page.get_by_role("heading", name="Hello").is_visible()


@pytest.mark.journey
def test_the_browser_cannot_leave_this_machine(page: Page) -> None:
    with pytest.raises(Exception, match="ERR_NAME_NOT_RESOLVED"):
        page.goto("http://www.example.com/")
