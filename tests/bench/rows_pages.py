"""Rows of pages: what asking the store adds to showing a page, and that it stays flat as records grow."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager

from flask import redirect

from tests.bench.filled import a_house, browser, copy_rows, fetch, held_page
from tests.bench.harness import Pair, row
from tests.parts.house import House

LOTS = 20_000
FEW, MANY = 1_000, 100_000


@contextmanager
def many_lots() -> Iterator[House]:
    """A house with 20,000 lots of one builder, one of them made by acts."""
    with a_house() as house:
        house.paid()
        copy_rows(house, LOTS - 1, "lot")
        yield house


def against_held(house: House, who: object, path: str) -> Pair:
    """A page against the same bytes from a view that holds what to show."""
    app, client = browser(house, who)  # type: ignore[arg-type]
    held = held_page(app, client, path)
    return Pair(floor=lambda: fetch(client, held), subject=lambda: fetch(client, path))


@row("a builder's list of 50 of 20,000 lots, signed in", against="the same bytes without a query", aim=4)
def builders_list() -> Iterator[Pair]:
    """The sign-in is looked up, a page of lots, the counts of all by stage, the subdivisions' names."""
    with many_lots() as house:
        yield against_held(house, house.builder, "/lots")


@row("the office's list of 50 of 20,000 lots, signed in", against="the same bytes without a query", aim=4)
def offices_list() -> Iterator[Pair]:
    """The same for the office, over every builder's lots."""
    with many_lots() as house:
        yield against_held(house, house.office, "/office/lots")


@row("a builder's lot sheet among 20,000, signed in", against="the same bytes without a query", aim=4)
def builders_sheet() -> Iterator[Pair]:
    """A lot that has gone all the way: every record of it is read and made into what the page shows."""
    with many_lots() as house:
        lot = house.asked()
        house.paid(
            house.treated(house.booked(house.accepted(house.sent(house.approved(house.to_check(lot))))))
        )
        yield against_held(house, house.builder, f"/lots/{lot}")


@row("the office's lot sheet among 20,000, signed in", against="the same bytes without a query", aim=4)
def offices_sheet() -> Iterator[Pair]:
    """A quote to be checked, which is drafted anew by today's editions each time it is looked at."""
    with many_lots() as house:
        yield against_held(house, house.office, f"/office/lots/{house.to_check()}")


@contextmanager
def many_warranties(count: int) -> Iterator[House]:
    """A house with so many warranties, one of them made by acts."""
    with a_house() as house:
        house.paid(house_number="12-B")
        copy_rows(house, count - 1, "lot", "warranty", "register_line")
        yield house


def lookup(house: House) -> tuple[Callable[[], bytes], Callable[[], bytes]]:
    """Finding a warranty by number and house number, and the same two pages without asking anybody."""
    with house.parts.store.reading() as work:
        from portal.store.tables import Warranty

        found = work.session.query(Warranty).filter(Warranty.house_key == "12B").one()
        number, token = found.number, found.link_token
    app, client = browser(house, None)
    held = held_page(app, client, f"/warranty/{token}")
    app._got_first_request = False
    app.add_url_rule("/held-find", "held-find", lambda: redirect(held), methods=["POST"])
    pair = {"number": number, "house_number": "12-b"}

    def ask(path: str) -> bytes:
        answer = client.post(path, data=pair, follow_redirects=True)
        if answer.status_code != 200:
            raise RuntimeError(answer.status)
        return answer.data

    return lambda: ask("/warranty"), lambda: ask("/held-find")


@row("a warranty looked up among 100,000", against="the same template without a lookup", aim=2.5)
def warranty_lookup() -> Iterator[Pair]:
    """The form is sent, the tries are counted, the warranty found, its page shown."""
    with many_warranties(MANY) as house:
        asked, held = lookup(house)
        yield Pair(floor=held, subject=asked)


@row("a warranty looked up among 100,000", against="the same among 1,000", aim=1.25)
def warranty_lookup_stays_flat() -> Iterator[Pair]:
    """The same lookup in two stores of different size."""
    with ExitStack() as stack:
        few, many = (stack.enter_context(many_warranties(count)) for count in (FEW, MANY))
        yield Pair(floor=lookup(few)[0], subject=lookup(many)[0])
