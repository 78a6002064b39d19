"""A whole stop in a house without a signal: the browser killed, then sent, every entry once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import product
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from portal.acts import entering, treating
from portal.acts.on_site import on_site
from portal.core.treatment.coats import Coat, next_coat, order, read_coats, too_early
from portal.store.tables import FieldEntry, Invoice, Photo, SignIn, TreatmentRecord, Warranty
from tests.parts.house import PASSWORD, PIXEL, House
from tests.parts.phone import Phone
from tests.web.visits import make_visits

pytestmark = [pytest.mark.journey, pytest.mark.timeout(600)]

EMAIL = "wendell@example.com"
WALL = {"name": "wall.png", "mimeType": "image/png", "buffer": PIXEL}
Step = tuple[str, Callable[[Phone, Page], None]]


@pytest.fixture
def phones(
    lite: House, serve: Callable[[Any], str], chromium: Browser, tmp_path: Path
) -> Iterator[Callable[..., Phone]]:
    """Phones with profiles of their own, at the portal of a furnished house, at eight in the morning."""
    base = serve(make_visits(lite, csrf=True).app)
    opened: list[Phone] = []

    def one(ahead: timedelta = timedelta()) -> Phone:
        profile = tmp_path / f"phone-{len(opened)}"
        opened.append(Phone(chromium.browser_type, profile, base, lite.clock() + ahead))
        return opened[-1]

    yield one
    for phone in opened:
        phone.close()


@pytest.fixture
def stop(lite: House) -> str:
    """A stop of today; its job's id."""
    return lite.job(lite.booked())


def tick(page: Page, label: str) -> None:
    page.get_by_label(label).check()


def coat(page: Page, name: str, start: str, end: str) -> None:
    """The span of a coat, typed."""
    for word, text in (("starts", start), ("ends", end)):
        page.get_by_label(f"{name} {word}", exact=True).fill(text)


def arrive(phone: Phone, page: Page) -> None:
    phone.turn_to(7, 45)
    page.get_by_role("button", name="I am here").click()
    expect(page.get_by_label("Arrived", exact=True)).to_have_value("07:45")


def ready(_phone: Phone, page: Page) -> None:
    for box in page.get_by_role("region", name="Ready to spray", exact=True).get_by_role("checkbox").all():
        box.check()


def walls(_phone: Phone, page: Page) -> None:
    page.get_by_role("group", name="North side, Main floor").get_by_label("Siding on").check()
    left = page.get_by_role("button", name="left are as quoted")
    if left.is_visible():
        left.click()
    expect(page.get_by_role("group", name="West side, Main floor").get_by_label("Open")).to_be_checked()


def photo(_phone: Phone, page: Page) -> None:
    place = page.locator('[data-photo="1.1.N"]')
    if place.locator("canvas").count() == 0:
        place.get_by_label("Photo of this wall").set_input_files(WALL)  # type: ignore[arg-type]


def mix(_phone: Phone, page: Page) -> None:
    for n in range(1, 5):
        tick(page, f"Batch {n} is mixed")


def label(_phone: Phone, page: Page) -> None:
    page.get_by_label("Lot number on the container").fill("D-2604")
    page.get_by_role("button", name="Keep, and on to: Coats").click()


def first_coats(_phone: Phone, page: Page) -> None:
    for n, side in enumerate(("South", "North", "East", "West")):
        coat(page, f"{side} side, Main floor, First coat", f"08:{10 * n:02}", f"08:{10 * n + 9:02}")
    coat(page, "Interior", "09:00", "09:30")


def second_coats(_phone: Phone, page: Page) -> None:
    for n, side in enumerate(("South", "North")):
        coat(page, f"{side} side, Main floor, Second coat", f"10:{10 * n:02}", f"10:{10 * n + 9:02}")


def after(_phone: Phone, page: Page) -> None:
    tick(page, "I went over every section again. Missed and light places are sprayed.")
    tick(page, "Emptied containers rinsed three times, into the mix")
    for name, text in (("Concentrate", "3.53"), ("Water", "3.53"), ("Marking dye", "3.53")):
        page.get_by_label(name, exact=True).fill(text)


def remarks(_phone: Phone, page: Page) -> None:
    page.get_by_label("Problems (optional)").fill("The porch beam is split.")


def sign(phone: Phone, page: Page) -> None:
    phone.turn_to(17)
    page.get_by_label("Your name, as a signature").fill("Wendell Pike")
    page.get_by_role("button", name="Mark it treated").click()
    expect(page.locator("#signal")).to_contain_text("marked treated as soon as all is sent")


STEPS: list[Step] = [
    ("arrive", arrive),
    ("cautions", lambda _phone, page: tick(page, "Coveralls, gloves and eye protection are on.")),
    ("ready", ready), ("walls", walls), ("photo", photo), ("mix", mix), ("label", label),
    ("first coats", first_coats), ("second coats", second_coats), ("after", after), ("remarks", remarks),
    ("sign", sign),
]  # fmt: skip


def everything_once(house: House, job: str) -> None:
    """The stop is treated; each of its entries was taken once; there is one of each record."""
    stop = treating.stop(house.parts, house.technician, job)
    record = house.sheet(stop.lot_id).record
    assert stop.state == "treated" and record is not None
    assert (house.rows(TreatmentRecord), house.rows(Invoice), house.rows(Warranty)) == (1, 1, 1)
    assert [(wall.key, wall.found, wall.coats) for wall in record.walls] == [
        ("1.1.N", "sided", 2), ("1.1.E", "wrapped", 1), ("1.1.S", "sided", 2), ("1.1.W", "open", 1),
    ]  # fmt: skip
    assert (record.container_lot, record.problems, record.signed_by) == (
        "D-2604", "The porch beam is split.", "Wendell Pike",
    )  # fmt: skip
    assert [photo.wall for photo in record.photos] == ["1.1.N"] and house.rows(Photo) == 1
    assert record.clocks_off == ()
    with house.parts.store.reading() as work:
        rows = work.session.query(FieldEntry).order_by(FieldEntry.number).all()
        assert len({row.device_id for row in rows}) == 1
        seqs = [row.device_seq for row in rows]
        assert seqs == sorted(set(seqs)), "in the device's order, none twice"
        changes = Counter((row.field, row.value) for row in rows)
        assert [key for key, count in changes.items() if count > 1] == []
    assert house.verbs(stop.lot_id).count("arrived") == 1


def whole_stop(house: House, phone: Phone, job: str, killed_after: set[str], at_once: bool) -> None:
    """Do all steps without a signal; after some of them the browser is killed, at once or once it is kept."""
    phone.make_ready(EMAIL)
    # Put away in good order before leaving: a browser writes its cookies down every half minute only.
    phone.close()
    phone.start()
    phone.no_signal()
    page = phone.open(job)
    for name, do in STEPS:
        do(phone, page)
        if name not in killed_after:
            continue
        if not at_once:
            page.wait_for_timeout(600)
        phone.kill()
        phone.start()
        page = phone.open(job)
        if at_once:
            do(phone, page)  # what had not come to the disk yet is not shown either, and is entered again
            page.wait_for_timeout(600)  # kept before going on: only the step killed is entered again
    assert house.rows(FieldEntry) == 0 and house.rows(Photo) == 0
    house.clock.turn_to(house.parts.today(), 17)
    phone.send()
    expect(page.get_by_text("Treatment record")).to_be_visible(timeout=30_000)
    assert phone.stored("entries") == [] and phone.stored("photos") == []


def test_a_whole_stop_without_a_signal_the_browser_killed_twice_then_sent(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    whole_stop(lite, phones(), stop, {"walls", "second coats"}, at_once=False)

    everything_once(lite, stop)


@pytest.mark.long
@pytest.mark.parametrize("at_once", [False, True], ids=["once it is kept", "in the middle"])
def test_the_browser_is_killed_at_every_step_and_nothing_is_lost_or_doubled(
    lite: House, phones: Callable[..., Phone], stop: str, at_once: bool
) -> None:
    whole_stop(lite, phones(), stop, {name for name, _ in STEPS}, at_once=at_once)

    everything_once(lite, stop)


def signed_out(house: House) -> None:
    """Every sign-in is over, as when a password was set anew."""
    with house.parts.store.writing() as work:
        work.session.query(SignIn).delete()


def test_a_sign_in_that_is_over_asks_to_sign_in_again_and_loses_nothing(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    phone = phones()
    phone.make_ready(EMAIL)
    phone.no_signal()
    page = phone.open(stop)
    arrive(phone, page)
    tick(page, "Coveralls, gloves and eye protection are on.")
    signed_out(lite)

    phone.send()
    expect(page.locator("#signal")).to_contain_text(
        "Your sign-in is over. Sign in again to send 3: nothing is lost."
    )
    kept = len(phone.stored("entries"))
    page.get_by_role("link", name="Sign in").click()
    page.get_by_label("Mail address").fill(EMAIL)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()

    expect(page.locator("#signal")).to_contain_text("All is sent.")
    assert kept == 3 and page.url.endswith(f"/stops/{stop}")
    entry = treating.stop(lite.parts, lite.technician, stop).entry
    assert entry == {"arrived": "07:45", "day": "2027-05-04", "cautions": "yes"}


def test_two_phones_on_one_stop_are_merged_and_what_they_differ_on_is_the_offices(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    one, other = phones(), phones()
    for phone in (one, other):
        phone.make_ready(EMAIL)
        phone.no_signal()
        phone.turn_to(9)
    north, south = one.open(stop), other.open(stop)
    coat(north, "North side, Main floor, First coat", "08:00", "08:09")
    coat(south, "South side, Main floor, First coat", "08:00", "08:11")
    north.get_by_label("Marking dye").fill("3")
    other.turn_to(9, 1)
    south.get_by_label("Marking dye").fill("4")
    expect(south.locator("#signal")).to_contain_text("Still to be sent: 3")
    expect(north.locator("#signal")).to_contain_text("Still to be sent: 3")
    lite.clock.turn_to(lite.parts.today(), 9)

    one.send()
    expect(north.locator("#signal")).to_have_text("All is sent.")
    other.send()
    expect(south.locator("#signal")).to_have_text("All is sent.")

    told = "Two phones entered different things: “3”, “4”. The office picks one of them."
    expect(south.locator("#dye-error")).to_have_text(told)
    expect(south.get_by_label("Marking dye")).to_be_disabled()
    entry = treating.stop(lite.parts, lite.technician, stop).entry
    assert {at: value for at, value in entry.items() if at.startswith("first.")} == {
        "first.1.1.N.start": "08:00", "first.1.1.N.end": "08:09", "first.1.1.S.start": "08:00",
        "first.1.1.S.end": "08:11",
    }  # fmt: skip

    lot = treating.stop(lite.parts, lite.technician, stop).lot_id
    (heads,) = on_site(lite.parts, lite.office, lot).differing
    entering.pick(lite.parts, lite.office, lot, "dye", heads[0].id)
    north.reload()
    south.reload()

    for page in (north, south):
        expect(page.get_by_label("Marking dye")).to_have_value("3")
        expect(page.get_by_label("Marking dye")).to_be_enabled()
        expect(page.get_by_label("South side, Main floor, First coat ends", exact=True)).to_have_value(
            "08:11"
        )


def test_a_phone_whose_clock_is_wrong_says_so_and_its_times_stay_as_they_are(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    phone = phones(ahead=timedelta(minutes=47))
    phone.make_ready(EMAIL)
    page = phone.open(stop)

    page.get_by_role("button", name="I am here").click()

    expect(page.locator("#signal")).to_contain_text("This phone's clock is 47 minutes off.")
    assert treating.stop(lite.parts, lite.technician, stop).entry["arrived"] == "08:47"
    lot = treating.stop(lite.parts, lite.technician, stop).lot_id
    assert on_site(lite.parts, lite.office, lot).clocks_off == (47,)


def open_with_room(phone: Phone, job: str, size: int) -> Page:
    """Start the phone anew with so much room (Chrome DevTools Protocol, Storage.overrideQuotaForOrigin)."""
    phone.close()
    phone.start()
    assert phone.context is not None
    phone.devtools = phone.context.new_cdp_session(phone.page)
    phone.devtools.send("Storage.overrideQuotaForOrigin", {"origin": phone.base, "quotaSize": size})
    return phone.open(job)


def test_a_phone_that_is_nearly_full_says_so_while_all_is_kept_and_one_that_is_full_what_is_not(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    phone = phones()
    phone.make_ready(EMAIL)
    phone.no_signal()
    page = phone.open(stop)
    arrive(phone, page)
    page.get_by_role("group", name="North side, Main floor").get_by_label("Siding on").check()
    expect(page.locator("#signal")).to_contain_text("Still to be sent: 3")

    # What was set by takes up 8 MiB: there is no room for anything more but that.
    page = open_with_room(phone, stop, 8 * 1024 * 1024)
    photo(phone, page)
    expect(page.locator("#signal")).to_contain_text("Still to be sent: 4")
    expect(page.locator("#signal")).to_contain_text("This phone is nearly full. All is kept so far")

    page = open_with_room(phone, stop, 1)
    page.get_by_label("Problems (optional)").fill("The porch beam is split.")
    expect(page.locator("#signal")).to_contain_text("This phone is full: what you just entered is not kept.")
    expect(page.get_by_label("Problems (optional)")).to_have_value("The porch beam is split.")
    kept = {one["field"] for one in phone.stored("entries")}

    page = open_with_room(phone, stop, 900 * 1024 * 1024)
    page.get_by_label("Problems (optional)").fill("The porch beam is split.")
    expect(page.locator("#signal")).to_contain_text("Still to be sent: 5")
    phone.send()
    expect(page.locator("#signal")).to_contain_text("All is sent.")

    assert kept == {"arrived", "day", "found.1.1.N"}
    entry = treating.stop(lite.parts, lite.technician, stop).entry
    assert entry["problems"] == "The porch beam is split." and lite.rows(Photo) == 1


def test_the_coat_clock_counts_down_says_what_is_next_and_starts_no_second_coat_too_early(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    """Twenty minutes between the coats: common practice of the trade, no source."""
    phone = phones()
    phone.make_ready(EMAIL)
    phone.no_signal()
    page = phone.open(stop)
    clock = page.locator("#coat-clock")
    go = clock.get_by_role("button")
    expect(clock).to_contain_text("Spray next: South side, Main floor, first coat.")

    go.click()
    expect(page.locator("#first-1-1-S-start-error")).to_have_text(
        "Nothing is sprayed before this is done: On site."
    )
    arrive(phone, page)
    tick(page, "Coveralls, gloves and eye protection are on.")
    ready(phone, page)
    phone.turn_to(8)
    go.click()
    expect(clock).to_contain_text("South side, Main floor: first coat since 8:00 AM")
    phone.turn_to(8, 6)
    expect(clock.get_by_role("timer")).to_have_text("6:00")
    go.click()

    expect(page.get_by_label("South side, Main floor, First coat ends", exact=True)).to_have_value("08:06")
    phone.turn_to(8, 7)
    expect(clock.get_by_role("timer")).to_have_text("19:00")
    expect(clock).to_contain_text("South side, Main floor: second coat in")
    expect(clock).to_contain_text("Spray next: North side, Main floor, first coat.")
    page.get_by_role("button", name="Now: South side, Main floor, Second coat starts").click()
    early = page.locator("#second-1-1-S-start-error")
    expect(early).to_have_text("The second coat may start at 8:26 AM: the first has to dry.")
    coat(page, "North side, Main floor, First coat", "08:07", "08:15")
    coat(page, "East side, Main floor, First coat", "08:15", "08:17")
    coat(page, "West side, Main floor, First coat", "08:17", "08:19")
    coat(page, "Interior", "08:19", "08:20")
    phone.turn_to(8, 25)
    expect(clock).to_contain_text("Nothing to spray before 8:26 AM: South side, Main floor has to dry.")
    expect(go).to_have_count(0)
    phone.turn_to(8, 26)
    go.click()
    expect(page.get_by_label("South side, Main floor, Second coat starts", exact=True)).to_have_value("08:26")
    expect(early).to_have_count(0)


def test_signing_out_takes_the_kept_pages_off_the_phone_and_nobody_elses_are_ever_on_it(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    tomorrow = lite.job(lite.booked(day=lite.parts.today() + timedelta(days=1)))
    later = lite.job(lite.booked(day=lite.parts.today() + timedelta(days=2)))
    others = lite.job(lite.accepted())
    phone = phones()
    phone.make_ready(EMAIL, "Ready for no signal: 2 stops.")
    kept = """async () => (await (await caches.open('sillbook-stops')).keys())
                .map(one => new URL(one.url).pathname)"""

    phone.page.goto(f"/stops/{later}")
    phone.page.goto("/letters")
    phone.page.goto("/stops")
    pages = phone.page.evaluate(kept)
    names = phone.page.evaluate("() => caches.keys()")
    # An answer still on its way would bring its own cookie, and with it forget what signing out says.
    phone.page.wait_for_load_state("networkidle")
    phone.page.get_by_role("button", name="Sign out").click()
    expect(phone.page.get_by_text("You are signed out.")).to_be_visible(timeout=20_000)

    assert sorted(pages) == sorted(["/stops", f"/stops/{stop}", f"/stops/{tomorrow}"])
    assert others not in str(pages)
    assert len(names) == 2 and all(name.startswith("sillbook-") for name in names)
    assert phone.page.evaluate("() => caches.has('sillbook-stops')") is False


def test_the_pages_clock_and_the_houses_rule_say_the_same(
    lite: House, phones: Callable[..., Phone], stop: str
) -> None:
    """The same stops asked of portal/core/treatment/coats.py and of static/js/field/coats.js."""
    chance, cases = Random(11), []
    for _ in range(300):
        keys = ["N", "E", "S", "W"][: chance.randint(1, 4)]
        feet = {key: chance.choice([20, 27, 40, 57]) for key in keys}
        twice = {key: chance.random() < 0.6 for key in keys}
        values, now = {}, 480
        for coat_name, edge in product(("first", "second"), ("start", "end")):
            for key in keys:
                if chance.random() < 0.6:
                    now = 480 + chance.randint(0, 90)
                    values[f"{coat_name}.{key}.{edge}"] = f"{now // 60:02}:{now % 60:02}"
        cases.append((feet, twice, values, 480 + chance.randint(0, 120)))
    phone = phones()
    phone.make_ready(EMAIL)
    page = phone.open(stop)

    for feet, twice, values, now in cases:
        walls_of = [(key, Fraction(feet[key]), twice[key]) for key in feet]
        turn = {c.key: n for n, c in enumerate(order([Coat(k, f, True) for k, f, _ in walls_of], True))}
        says = next_coat(read_coats(walls_of, Fraction(0), values), Fraction(now), Fraction(20), True)
        stretches = [{"key": key, "turn": turn[key], "place": n, "twice": twice[key]}
                     for n, key in enumerate(feet)]  # fmt: skip
        shown = page.evaluate(
            """async ([stretches, values, now]) => {
              const rule = await import("/static/js/field/coats.js");
              return rule.nextCoat(rule.readCoats(stretches, values), now, 20);
            }""",
            [stretches, values, now],
        )
        assert (shown["act"], shown["key"], shown["coat"]) == (says.act, says.key, says.coat), (
            twice,
            values,
            now,
        )
        for key in feet:
            early = page.evaluate(
                """async ([values, key]) => (await import("/static/js/field/coats.js"))
                     .tooEarly(values, key, values[`second.${key}.start`] ?? "", 20)""",
                [values, key],
            )
            assert early == too_early(values, key, values.get(f"second.{key}.start", ""), Decimal(20))
