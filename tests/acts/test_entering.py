"""What phones send is taken once each, in whatever pieces; what two enter differently goes to the office."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from functools import partial
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from portal.acts import booking, entering, treating
from portal.acts.entering import Batch, Sent, Taken
from portal.acts.on_site import on_site
from portal.core.errors import NotAllowed, NotFound
from portal.store.tables import FieldEntry, Invoice, TreatmentRecord, Warranty
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow


class Phone:
    """A technician's phone: makes entries, knows what it was told, has a clock of its own."""

    def __init__(self, house: House, lot: str, seed: int = 1, ahead: timedelta = timedelta()) -> None:
        self.house, self.lot, self.ahead = house, lot, ahead
        self.chance = Random(f"{lot} {seed}")
        self.id, self.seq = self.uuid(), 0
        self.heads: dict[str, tuple[str, ...]] = {}
        self.kept: list[Sent] = []

    def uuid(self) -> str:
        return str(uuid.UUID(int=self.chance.getrandbits(128), version=4))

    def now(self) -> datetime:
        return self.house.clock() + self.ahead

    def enter(self, **fields: str) -> None:
        """Keep entries; a field's dots are written as double underscores."""
        self.keep({name.replace("__", "."): value for name, value in fields.items()})

    def keep(self, entry: dict[str, str]) -> None:
        for name, value in entry.items():
            self.seq += 1
            sent = Sent(self.uuid(), self.seq, name, value, self.heads.get(name, ()), self.now())
            self.heads[name] = (sent.id,)
            self.kept.append(sent)

    def send(self, entries: list[Sent] | None = None) -> Taken:
        """Send all that was ever kept, or these."""
        batch = Batch(self.id, self.now(), self.kept if entries is None else entries)
        taken = entering.take(self.house.parts, self.house.technician, self.house.job(self.lot), batch)
        if entries is None:
            self.heads = dict(taken.merged.heads)
        return taken


def entry_of(house: House, lot: str) -> dict[str, str]:
    return treating.stop(house.parts, house.technician, house.job(lot)).entry


def at_site(house: House, **changes: object) -> tuple[str, Phone]:
    """A booked lot in the evening, and a phone."""
    lot = house.booked(**changes)
    house.clock.turn_to(house.parts.today(), 18)
    return lot, Phone(house, lot)


def test_what_a_phone_kept_is_taken_in_its_order_with_both_times(house: House) -> None:
    lot, phone = at_site(house)
    phone.enter(water="3")
    house.clock.pass_by(hours=1)
    phone.enter(water="3.5", dye="3")

    taken = phone.send()

    assert taken.taken == tuple(one.id for one in phone.kept) and not taken.refused
    assert entry_of(house, lot) == {"water": "3.5", "dye": "3"}
    with house.parts.store.reading() as work:
        rows = work.session.query(FieldEntry).order_by(FieldEntry.number).all()
        found = [(row.field, row.value, row.device_seq, row.device_id, row.source) for row in rows]
        assert found == [("water", "3", 1, phone.id, "phone"), ("water", "3.5", 2, phone.id, "phone"),
                         ("dye", "3", 3, phone.id, "phone")]  # fmt: skip
        assert [row.received_at - row.device_at for row in rows] == [timedelta(hours=1)] + [timedelta()] * 2


def test_sent_twice_is_taken_once_and_answered_alike(house: House) -> None:
    lot, phone = at_site(house)
    phone.enter(water="3", dye="3", arrived="07:45")

    first = phone.send()
    again = phone.send()

    assert (again.taken, again.number, again.merged) == (first.taken, first.number, first.merged)
    assert house.rows(FieldEntry) == 3
    assert house.verbs(lot).count("arrived") == 1


def test_two_requests_with_the_same_entries_at_once_make_one_of_each(house: House) -> None:
    lot, phone = at_site(house)
    phone.enter(water="3", dye="3", product="Borate concentrate A")
    send = partial(phone.send, list(phone.kept))

    answers = at_once(send, send, send)

    assert {answer.taken for answer in answers} == {tuple(one.id for one in phone.kept)}
    assert house.rows(FieldEntry) == 3
    assert entry_of(house, lot)["water"] == "3"


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pieces=st.lists(st.sets(st.integers(0, 7)), max_size=6))
def test_sending_any_part_again_and_again_changes_nothing(lite: House, pieces: list[set[int]]) -> None:
    lite.clock.pass_by(days=1)  # each case a day of its own: no day of a technician has room for all
    lot, phone = at_site(lite)
    phone.keep({"water": "3", "dye": "3", "day": "2027-05-04", "found.1.1.N": "open"})
    phone.keep({"water": "3.5", "dye": "", "found.1.1.N": "sided", "problems": "A loose plate"})
    phone.send(list(phone.kept))
    before, stood = lite.rows(FieldEntry), entry_of(lite, lot)

    for piece in pieces:
        phone.send([phone.kept[n] for n in sorted(piece)])

    assert (lite.rows(FieldEntry), entry_of(lite, lot)) == (before, stood)
    assert stood == {"water": "3.5", "day": "2027-05-04", "found.1.1.N": "sided", "problems": "A loose plate"}


def test_the_first_arrival_puts_the_stop_on_site(house: House) -> None:
    lot, phone = at_site(house)
    phone.enter(arrived="07:45")

    taken = phone.send()

    assert taken.state == "on site" and house.sheet(lot).stage == "on site"


def test_two_phones_on_stretches_of_their_own_are_merged(house: House) -> None:
    lot, one = at_site(house)
    other = Phone(house, lot, seed=2)
    one.keep({"first.1.1.N.start": "08:00", "first.1.1.N.end": "08:10"})
    other.keep({"first.1.1.S.start": "08:01", "first.1.1.S.end": "08:12"})

    one.send()
    merged = other.send().merged

    assert merged.conflicts == {}
    assert entry_of(house, lot) == {
        "first.1.1.N.start": "08:00", "first.1.1.N.end": "08:10", "first.1.1.S.start": "08:01",
        "first.1.1.S.end": "08:12",
    }  # fmt: skip


def differing(house: House) -> tuple[str, Phone, Phone]:
    """A stop on which two phones entered an end of a coat, neither knowing of the other; else whole."""
    lot, one = at_site(house)
    other = Phone(house, lot, seed=2)
    one.keep(house.entry(lot))
    other.keep({"first.1.1.N.end": "08:25"})
    one.send()
    other.send()
    return lot, one, other


def test_what_two_enter_differently_goes_to_the_office_with_both_and_no_mark_before_it_picks(
    house: House,
) -> None:
    lot, _, _ = differing(house)
    job = house.job(lot)

    site = on_site(house.parts, house.office, lot)
    told = problems(lambda: treating.mark_kept(house.parts, house.technician, job, house.key()))

    (heads,) = site.differing
    assert [(head.field, head.value, head.by) for head in heads] == [
        ("first.1.1.N.end", "08:02", "Wendell Pike"), ("first.1.1.N.end", "08:25", "Wendell Pike"),
    ]  # fmt: skip
    assert told == {"first.1.1.N.end": "Two phones entered different things: “08:02” and “08:25”. "
                                       "The office picks one of them."}  # fmt: skip
    assert (house.rows(Invoice), house.rows(TreatmentRecord), house.rows(Warranty)) == (0, 0, 0)
    assert [to for kind, to in house.letters() if kind == "differing"] == [
        "odile@example.com", "terrence@example.com",
    ]  # fmt: skip
    assert house.verbs(lot).count("entered differently") == 1

    entering.pick(house.parts, house.office, lot, "first.1.1.N.end", heads[0].id)
    treating.mark_kept(house.parts, house.technician, job, house.key())

    record = house.sheet(lot).record
    assert record is not None and f"{record.walls[0].first_end.astimezone(house.parts.zone):%H:%M}" == "08:02"
    assert on_site(house.parts, house.office, lot).differing == ()


def test_a_plain_form_cannot_settle_what_two_phones_differ_on_either(lite: House) -> None:
    lot, _, _ = differing(lite)

    told = problems(lambda: lite.mark(lot, lite.entry(lot) | {"first.1.1.N.end": "08:03"}))

    assert list(told) == ["first.1.1.N.end"]


def test_a_phone_cannot_settle_it_by_naming_both(lite: House) -> None:
    _, one, _ = differing(lite)
    heads = one.send().merged.heads["first.1.1.N.end"]
    sent = Sent(one.uuid(), 99, "first.1.1.N.end", "08:03", heads, one.now())

    (refused,) = one.send([sent]).refused

    assert "The office picks one of them" in str(refused[1])


def test_what_was_picked_is_not_picked_again(lite: House) -> None:
    lot, _, _ = differing(lite)
    (heads,) = on_site(lite.parts, lite.office, lot).differing
    pick = partial(entering.pick, lite.parts, lite.office, lot, "first.1.1.N.end")

    pick(heads[1].id)

    assert refusal(lambda: pick(heads[0].id)) == "There is nothing to pick here any more."
    assert entry_of(lite, lot)["first.1.1.N.end"] == "08:25"


def test_a_form_opened_before_a_phone_sent_does_not_take_its_entry_back(lite: House) -> None:
    """The form was shown water 3; a phone changed it to 4 meanwhile; the form, sent, still says 3."""
    lot, phone = at_site(lite)
    phone.enter(water="3")
    seen = phone.send().number
    phone.enter(water="4")
    phone.send()

    treating.keep(lite.parts, lite.technician, lite.job(lot), {"water": "3", "dye": "1"}, seen)

    assert entry_of(lite, lot) == {"water": "4", "dye": "1"}


def test_a_form_and_a_phone_that_change_the_same_field_differ(lite: House) -> None:
    lot, phone = at_site(lite)
    phone.enter(water="3")
    seen = phone.send().number
    phone.enter(water="4")
    phone.send()

    treating.keep(lite.parts, lite.technician, lite.job(lot), {"water": "5"}, seen)

    (heads,) = on_site(lite.parts, lite.office, lot).differing
    assert [head.value for head in heads] == ["4", "5"]


@pytest.mark.parametrize("minutes", [47, -180])
def test_a_phone_whose_clock_is_wrong_is_taken_at_its_word_and_the_record_says_so(
    lite: House, minutes: int
) -> None:
    lot = lite.booked()
    lite.clock.turn_to(lite.parts.today(), 15)
    phone = Phone(lite, lot, ahead=timedelta(minutes=minutes))
    end = f"{phone.now().astimezone(lite.parts.zone):%H:%M}"
    phone.keep(lite.entry(lot) | ({"interior.end": end} if minutes > 0 else {}))

    taken = phone.send()
    treating.mark_kept(lite.parts, lite.technician, lite.job(lot), lite.key())

    record = lite.sheet(lot).record
    assert taken.offset_seconds == minutes * 60
    assert record is not None and record.clocks_off == (minutes,)
    assert on_site(lite.parts, lite.office, lot).clocks_off == (minutes,)
    if minutes > 0:
        assert f"{record.interior_end.astimezone(lite.parts.zone):%H:%M}" == end == "15:47"  # type: ignore[union-attr]


def test_a_second_coat_under_the_drying_time_is_refused_at_the_door_by_direct_request(house: House) -> None:
    """20 minutes between the coats: common practice of the trade, no source."""
    lot, phone = at_site(house)
    phone.keep({"first.1.1.S.start": "12:00", "first.1.1.S.end": "12:10", "second.1.1.S.start": "12:29"})

    taken = phone.send()

    ((refused, why),) = taken.refused
    assert refused == phone.kept[-1].id
    assert str(why) == "The second coat may start at 12:30: 20 minutes after the first ended."
    assert "second.1.1.S.start" not in entry_of(house, lot)
    # What replaces the refused one replaces nothing, and is taken.
    phone.enter(second__1__1__S__start="12:30")
    assert phone.send().refused == ((refused, why),)
    assert entry_of(house, lot)["second.1.1.S.start"] == "12:30"


def test_what_replaced_a_refused_entry_replaces_what_that_would_have_replaced(lite: House) -> None:
    lot, phone = at_site(lite)
    phone.keep({"first.1.1.S.end": "12:10", "second.1.1.S.start": "13:00"})
    phone.send()
    phone.keep({"second.1.1.S.start": "12:11"})
    phone.keep({"second.1.1.S.start": "12:40"})

    taken = phone.send()

    assert len(taken.refused) == 1 and taken.merged.conflicts == {}
    assert entry_of(lite, lot)["second.1.1.S.start"] == "12:40"


NOT_ENTRIES = [
    {"id": "1"}, {"id": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"}, {"field": "sly"}, {"field": "found."},
    {"value": "a\0b"}, {"value": "x" * 4001}, {"knows": tuple("abcdefghijklmnopqrstu")},
    {"knows": ("x" * 37,)},
]  # fmt: skip


@pytest.mark.parametrize("changes", NOT_ENTRIES)
def test_what_is_no_entry_is_refused_and_the_rest_taken(house: House, changes: dict[str, object]) -> None:
    lot, phone = at_site(house)
    phone.enter(water="3", dye="2")
    bad = {
        "id": phone.uuid(),
        "seq": 9,
        "field": "water",
        "value": "4",
        "knows": (),
        "at": phone.now(),
    } | changes

    taken = phone.send([phone.kept[0], Sent(**bad), phone.kept[1]])  # type: ignore[arg-type]

    assert len(taken.refused) == 1
    assert entry_of(house, lot) == {"water": "3", "dye": "2"}


def test_an_id_that_was_used_for_something_else_is_refused(lite: House) -> None:
    lot, phone = at_site(lite)
    phone.enter(water="3")
    phone.send()
    first = phone.kept[0]

    (refused,) = phone.send([Sent(first.id, 1, "water", "9", (), first.at)]).refused

    assert str(refused[1]) == "Something else was sent under this entry's id."
    assert entry_of(lite, lot) == {"water": "3"}


def test_an_id_of_another_stop_is_refused(lite: House) -> None:
    _, phone = at_site(lite)
    phone.enter(water="3")
    phone.send()
    phone.lot = lite.booked()

    assert len(phone.send().refused) == 1


def test_what_comes_after_the_mark_is_kept_for_the_office_and_changes_nothing(house: House) -> None:
    lot, phone = at_site(house)
    phone.enter(water="3.53")
    phone.send()
    house.mark(lot, house.entry(lot))
    before = entry_of(house, lot)
    other = Phone(house, lot, seed=5)
    other.enter(problems="The porch beam is split.")

    taken = other.send()
    again = other.send()

    assert (taken.taken, taken.late) == ((), (other.kept[0].id,)) and again.late == taken.late
    assert entry_of(house, lot) == before
    (late,) = on_site(house.parts, house.office, lot).late
    assert (late.field, late.value) == ("problems", "The porch beam is split.")
    assert house.sheet(lot).record.problems == ""  # type: ignore[union-attr]


def test_a_stop_moved_to_another_day_forgets_the_arrival_and_keeps_the_rest(lite: House) -> None:
    lot, phone = at_site(lite)
    phone.enter(arrived="07:45", conditions="Dry.")
    phone.send()

    lite.book(lot, lite.parts.today() + timedelta(days=3))

    assert entry_of(lite, lot) == {"conditions": "Dry."}
    with lite.parts.store.reading() as work:
        assert [row.value for row in work.session.query(FieldEntry).filter_by(field="arrived")] == [
            "07:45",
            "",
        ]


def test_what_was_entered_before_there_were_entries_stays_under_them(lite: House) -> None:
    lot, phone = at_site(lite)
    with lite.parts.store.writing() as work:
        entering.own_job(work, lite.technician, lite.job(lot)).entry = {"dye": "2", "water": "1"}
    phone.enter(water="3")

    phone.send()
    treating.keep(lite.parts, lite.technician, lite.job(lot), {"water": "3", "conditions": "Dry."})

    assert entry_of(lite, lot) == {"water": "3", "conditions": "Dry."}


def test_a_stop_that_is_somebody_elses_takes_nothing(lite: House) -> None:
    lot, phone = at_site(lite)
    phone.enter(water="3")
    lite.book(lot, lite.parts.today(), technician_id=lite.second_technician.person_id)

    with pytest.raises(NotFound):
        phone.send()
    with pytest.raises(NotAllowed):
        entering.take(lite.parts, lite.office, lite.job(lot), Batch(phone.id, phone.now(), phone.kept))
    assert lite.rows(FieldEntry) == 0


def test_a_called_off_stop_takes_nothing(lite: House) -> None:
    lot, phone = at_site(lite)
    phone.enter(water="3")
    booking.call_off(lite.parts, lite.office, lot, lite.version(lot), "Rain.")

    with pytest.raises(NotFound):
        phone.send()


@pytest.mark.parametrize("who", ["technician", "builder"])
def test_only_the_office_picks(lite: House, who: str) -> None:
    lot, _, _ = differing(lite)
    (heads,) = on_site(lite.parts, lite.office, lot).differing

    with pytest.raises((NotAllowed, NotFound)):
        entering.pick(lite.parts, getattr(lite, who), lot, "first.1.1.N.end", heads[0].id)
