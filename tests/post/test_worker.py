"""The outbox is emptied once, whatever breaks: on SQLite and on PostgreSQL."""

from __future__ import annotations

import logging
import threading
from datetime import timedelta

import pytest

from portal.post.smtp import SmtpTransport
from portal.post.worker import HOLD, Worker, send_due, wait_after
from portal.store import trail
from tests.parts.mail import Mailbox
from tests.post.conftest import Kept, Post

SECOND = timedelta(seconds=1)


class Crash(BaseException):
    """The process dies here: no handler runs."""


def test_what_lies_in_the_outbox_arrives_and_is_marked(post: Post, mailbox: Mailbox) -> None:
    ids = post.put(2)
    way = SmtpTransport(mailbox.host, mailbox.port, tls="none", mail_from="office@example.com")

    assert send_due(post.outbox, way, post.clock) == 2

    assert sorted(letter["Message-ID"] for letter in mailbox.letters) == sorted(ids)
    assert [(post.row(i).sent_at, post.row(i).trouble) for i in ids] == [(post.clock.now, "")] * 2


def test_what_is_sent_is_not_sent_again(post: Post) -> None:
    post.put()
    way = Kept()
    send_due(post.outbox, way, post.clock)
    post.clock.move(10 * HOLD)

    assert send_due(post.outbox, way, post.clock) == 0
    assert len(way.taken) == 1


def test_a_letter_of_an_act_that_was_undone_never_was(post: Post) -> None:
    def act() -> None:
        with post.store.writing() as work:
            trail.add_letter(
                work, to="a@example.org", subject="s", text="t", html="h", domain="x", lot_id=None
            )
            raise Crash

    with pytest.raises(Crash):
        act()

    assert send_due(post.outbox, Kept(), post.clock) == 0


def test_a_crash_before_the_sending_loses_nothing(post: Post) -> None:
    (message_id,) = post.put()
    with pytest.raises(Crash):
        send_due(post.outbox, Kept(trouble=Crash()), post.clock)
    way = Kept()

    assert send_due(post.outbox, way, post.clock) == 0
    post.clock.move(HOLD)
    assert send_due(post.outbox, way, post.clock) == 1
    assert way.taken == [message_id]


def test_a_crash_between_sending_and_marking_sends_the_same_message_id_again(post: Post) -> None:
    (message_id,) = post.put()
    way = Kept(trouble=Crash(), after=True)
    with pytest.raises(Crash):
        send_due(post.outbox, way, post.clock)
    way.trouble = None
    post.clock.move(HOLD)

    send_due(post.outbox, way, post.clock)

    assert way.taken == [message_id, message_id]
    assert post.row(message_id).sent_at == post.clock.now


def test_trouble_is_kept_in_its_words_and_the_wait_grows(post: Post) -> None:
    (message_id,) = post.put()
    way = Kept(trouble=OSError("the line is down"))
    waits = []
    for _ in range(4):
        send_due(post.outbox, way, post.clock)
        row = post.row(message_id)
        waits.append(row.next_try_at - post.clock.now)
        post.clock.move(waits[-1])

    assert waits == [timedelta(minutes=m) for m in (1, 2, 4, 8)]
    assert (row.tries, row.sent_at, row.trouble) == (4, None, "OSError: the line is down")


def test_a_letter_is_not_tried_before_its_time(post: Post) -> None:
    post.put()
    send_due(post.outbox, Kept(trouble=OSError("down")), post.clock)
    way = Kept()

    post.clock.move(timedelta(minutes=1) - SECOND)
    assert send_due(post.outbox, way, post.clock) == 0
    post.clock.move(SECOND)
    assert send_due(post.outbox, way, post.clock) == 1


def test_one_bad_letter_does_not_hold_up_the_others(post: Post, mailbox: Mailbox) -> None:
    (bad,) = post.put(to="nobody@example.org\r\nBcc: all@example.org")
    (good,) = post.put()
    way = SmtpTransport(mailbox.host, mailbox.port, tls="none", mail_from="office@example.com")

    assert send_due(post.outbox, way, post.clock) == 1

    assert post.row(good).sent_at is not None
    assert "ValueError" in post.row(bad).trouble


def test_a_wait_is_never_longer_than_six_hours() -> None:
    assert wait_after(1) == timedelta(minutes=1)
    assert wait_after(10_000) == timedelta(hours=6)


def test_two_workers_on_one_outbox_send_each_letter_once(post: Post) -> None:
    ids = post.put(24)
    ways = [Kept(), Kept(), Kept()]
    together = threading.Barrier(len(ways))
    wrong: list[BaseException] = []

    def work(way: Kept) -> None:
        together.wait()
        try:
            send_due(post.outbox, way, post.clock)
        except BaseException as trouble:
            wrong.append(trouble)

    threads = [threading.Thread(target=work, args=(way,)) for way in ways]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert wrong == []
    assert sorted(i for way in ways for i in way.taken) == sorted(ids)


def test_a_claim_holds_while_the_letter_is_being_sent(post: Post) -> None:
    """What another worker sees in the very moment of the sending: the claim is committed."""
    post.put()
    seen = []

    class Slow(Kept):
        def send(self, letter: object, now: object) -> None:
            seen.append(post.outbox.claim(HOLD))

    send_due(post.outbox, Slow(), post.clock)

    assert seen == [None]


def test_the_worker_sends_and_stops(post: Post) -> None:
    post.put(3)
    way = Kept()
    calls: list[str] = []
    worker = Worker(post.outbox, way, post.clock, daily=(lambda: calls.append("daily"),), pause=0.01)

    worker.start()
    for _ in range(500):
        if len(way.taken) == 3:
            break
        threading.Event().wait(0.01)
    worker.stop()

    assert not worker.is_alive()
    assert len(way.taken) == 3
    assert calls == ["daily"]


def test_the_worker_logs_trouble_and_goes_on(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    post.put()
    way = Kept()
    calls: list[str] = []

    def breaks() -> None:
        raise RuntimeError("the day went wrong")

    worker = Worker(post.outbox, way, post.clock, daily=(breaks, lambda: calls.append("second")))
    with caplog.at_level(logging.ERROR, logger="sillbook.post"):
        worker.turn()

    assert "the day went wrong" in caplog.text
    assert calls == ["second"]
    assert len(way.taken) == 1


def test_the_daily_acts_are_called_anew_each_hour_and_after_trouble_at_once(post: Post) -> None:
    calls: list[str] = []

    def breaks_first() -> None:
        calls.append("called")
        if len(calls) == 1:
            raise RuntimeError("not yet")

    worker = Worker(post.outbox, Kept(), post.clock, daily=(breaks_first,))
    for _ in range(3):
        worker.turn()
    post.clock.move(timedelta(hours=1))
    worker.turn()

    assert len(calls) == 3


def test_what_is_always_looked_for_is_called_at_every_look(post: Post) -> None:
    calls: list[str] = []

    def breaks() -> None:
        calls.append("broken")
        raise RuntimeError("the list went wrong")

    worker = Worker(post.outbox, Kept(), post.clock, always=(breaks, lambda: calls.append("looked")))
    for _ in range(2):
        worker.turn()

    assert calls == ["broken", "looked"] * 2


def test_a_worker_that_never_ran_can_be_stopped(post: Post) -> None:
    Worker(post.outbox, Kept(), post.clock).stop()
