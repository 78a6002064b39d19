"""Who may come in: invitations, passwords, sign-ins that end, doors that slow down."""

from __future__ import annotations

from functools import partial

import pytest

from portal.acts import people, upkeep
from portal.core.errors import NotFound, Refused, TooManyTries
from portal.store.tables import Letter, SignIn, Try
from tests.parts.at_once import at_once
from tests.parts.house import PASSWORD, Furnished, House
from tests.parts.refusals import problems, refusal

HERE, ELSEWHERE = "203.0.113.7", "203.0.113.8"  # TEST-NET-3, RFC 5737
WRONG = "The mail address and the password do not go together."


def sign_in(
    house: House, email: str = "harriet@example.com", password: str = PASSWORD, at: str = HERE
) -> str:
    return people.sign_in(house.parts, email, password, at)


def invited(house: House, email: str = "ivo@example.com") -> str:
    """Somebody new; the token of the link in their mail."""
    people.invite(house.parts, house.office, "technician", "Ivo Lath", email, certificate="CA-9")
    return last_link(house, email)


def last_link(house: House, email: str) -> str:
    """The token of the newest link that was mailed to somebody."""
    with house.parts.store.reading() as work:
        rows = work.session.query(Letter).filter(Letter.to == email).order_by(Letter.written_at)
        text = [row.text for row in rows][-1]
    return next(line for line in text.splitlines() if line.startswith("link: ")).rpartition("/")[2]


def test_an_invited_person_chooses_a_password_and_is_in(house: House) -> None:
    link = invited(house)
    assert (people.link_is_for(house.parts, "invitation", link).name) == "Ivo Lath"

    token = people.set_password(house.parts, "invitation", link, "a sill and a plate")

    who = people.who_is(house.parts, token)
    assert who is not None and (who.name, who.kind, who.owner) == ("Ivo Lath", "technician", False)
    assert sign_in(house, "ivo@example.com", "a sill and a plate")


def test_a_link_is_used_once(lite: House) -> None:
    link = invited(lite)
    people.set_password(lite.parts, "invitation", link, "a sill and a plate")

    said = refusal(lambda: people.set_password(lite.parts, "invitation", link, "another password"))

    assert said == "This link was used already. Sign in, or ask for a new one."


def test_a_link_used_twice_at_the_same_moment_sets_one_password(house: House) -> None:
    link = invited(house)

    answers = at_once(*[
        partial(people.set_password, house.parts, "invitation", link,
        f"password number {n}") for n in range(3)
    ])  # fmt: skip

    assert sorted(type(answer).__name__ for answer in answers) == ["Refused", "Refused", "str"]
    assert house.verbs().count("joined") == 7  # six of the cast, and this one once


@pytest.mark.parametrize(("purpose", "days"), [("invitation", 14), ("reset", 2 / 24)])
def test_a_link_grows_old(lite: House, purpose: str, days: float) -> None:
    link = lite.parts.tokens.make(purpose, {"person": lite.builder.person_id, "turn": 1})
    assert people.link_is_for(lite.parts, purpose, link)

    lite.clock.pass_by(days=days, seconds=2)

    assert refusal(lambda: people.link_is_for(lite.parts, purpose, link)) == (
        "This link is too old. Ask for a new one."
    )


@pytest.mark.parametrize(("made", "used"), [("invitation", "reset"), ("reset", "invitation")])
def test_a_link_made_for_one_door_opens_no_other(lite: House, made: str, used: str) -> None:
    link = lite.parts.tokens.make(made, {"person": lite.builder.person_id, "turn": 1})

    assert refusal(lambda: people.link_is_for(lite.parts, used, link)).startswith("This link is not whole.")


def test_a_link_that_was_tampered_with_is_not_whole(lite: House) -> None:
    link = invited(lite)

    assert refusal(lambda: people.link_is_for(lite.parts, "invitation", link[:-2] + "xx")).startswith(
        "This link is not whole."
    )


def test_a_forgotten_password_is_replaced_by_mail_and_ends_other_sign_ins(house: House) -> None:
    before = sign_in(house)
    people.forgot(house.parts, "  Harriet@Example.com ", HERE)

    token = people.set_password(
        house.parts, "reset", last_link(house, "harriet@example.com"), "a better password"
    )

    assert people.who_is(house.parts, before) is None
    assert people.who_is(house.parts, token) == house.builder
    assert refusal(lambda: sign_in(house)) == WRONG


def test_who_forgot_and_never_joined_gets_the_invitation_again(lite: House) -> None:
    invited(lite)
    people.forgot(lite.parts, "ivo@example.com", HERE)

    link = last_link(lite, "ivo@example.com")

    assert people.link_is_for(lite.parts, "invitation", link).name == "Ivo Lath"


def test_nobody_learns_who_is_here(lite: House) -> None:
    before = lite.rows(Letter)

    people.forgot(lite.parts, "nobody@example.com", HERE)

    assert lite.rows(Letter) == before
    assert refusal(lambda: sign_in(lite, "nobody@example.com")) == WRONG
    assert refusal(lambda: sign_in(lite, password="wrong")) == WRONG


def test_nobody_is_buried_in_mails(lite: House) -> None:
    before = lite.rows(Letter)

    for n in range(9):
        people.forgot(lite.parts, "harriet@example.com", f"203.0.113.{n}")

    assert lite.rows(Letter) - before == 3


def test_one_address_asks_for_so_many_mails_and_then_waits(lite: House) -> None:
    for n in range(20):
        people.forgot(lite.parts, f"nobody-{n}@example.com", HERE)

    with pytest.raises(TooManyTries):
        people.forgot(lite.parts, "harriet@example.com", HERE)


def slowed(house: House, **who: str) -> int:
    """Seconds to wait that a wrong password is answered with, or 0."""
    try:
        sign_in(house, **{"password": "wrong"} | who)
    except TooManyTries as slow:
        return slow.wait_seconds
    except Refused:
        return 0
    raise AssertionError("it was right")


def test_one_person_slows_down_after_a_few_wherever_it_is_tried_from(house: House) -> None:
    tries = [slowed(house, at=f"203.0.113.{n}") for n in range(5)]

    assert tries == [0] * 5
    assert slowed(house, at="198.51.100.1") == 16
    with pytest.raises(TooManyTries):
        sign_in(house, at="198.51.100.1")
    house.clock.pass_by(seconds=16)
    assert sign_in(house, at="198.51.100.1")
    assert slowed(house, at="198.51.100.1") == 0  # a right one starts the count again


def test_many_passwords_sent_at_once_are_tried_no_oftener_than_one_by_one(house: House) -> None:
    guesses = [partial(slowed, house, password=f"wrong {n}") for n in range(12)]

    waits = at_once(*guesses)

    assert sorted(waits) == [0] * 5 + [16] * 7


def test_one_address_slows_down_whoever_it_tries(house: House) -> None:
    tries = [slowed(house, email=f"nobody-{n}@example.com") for n in range(5)]

    assert tries == [0] * 5
    assert slowed(house, email="rosa@example.com") == 16
    assert slowed(house, email="rosa@example.com", at=ELSEWHERE) == 0


def test_a_right_one_is_no_try(lite: House) -> None:
    for _ in range(12):
        sign_in(lite)

    assert lite.rows(Try) == 0


def test_many_tries_at_the_same_moment_count_as_many(house: House) -> None:
    at_once(*[partial(slowed, house, at=f"203.0.113.{n}") for n in range(6)])

    assert slowed(house, at="198.51.100.1") >= 16


def test_a_reset_gets_in_while_somebody_else_keeps_the_door_slow(lite: House) -> None:
    for n in range(5):
        slowed(lite, at=f"198.51.100.{n}")
    people.forgot(lite.parts, "harriet@example.com", HERE)

    people.set_password(lite.parts, "reset", last_link(lite, "harriet@example.com"), "a better password")

    assert sign_in(lite, password="a better password")


def test_a_sign_in_ends_when_nobody_comes_and_after_the_longest_time(house: House) -> None:
    idle, busy = sign_in(house), sign_in(house)

    for _ in range(6):
        house.clock.pass_by(days=9)
        assert people.who_is(house.parts, busy)
    assert people.who_is(house.parts, idle) is None
    house.clock.pass_by(days=7)

    assert people.who_is(house.parts, busy) is None


def test_signing_out_ends_this_sign_in_and_no_other(lite: House) -> None:
    here, there = sign_in(lite), sign_in(lite)

    people.sign_out(lite.parts, here)

    assert people.who_is(lite.parts, here) is None
    assert people.who_is(lite.parts, there) == lite.builder


def test_a_copied_database_opens_nothing(lite: House) -> None:
    token = sign_in(lite)

    with lite.parts.store.reading() as work:
        kept = [row.token_hash for row in work.session.query(SignIn)]

    assert token not in kept
    assert all(people.who_is(lite.parts, found) is None for found in kept)


@pytest.mark.parametrize(
    ("password", "said"),
    [
        ("short one", "At least 10 characters, please."),
        ("x" * 201, "At most 200 characters, please."),
        ("Password1234", "This one is the first that anybody would try."),
        ("ivo@example.com", "This one is the first that anybody would try."),
    ],
)
def test_a_password_that_does_not_help_is_refused_and_the_link_still_works(
    lite: House, password: str, said: str
) -> None:
    link = invited(lite)

    assert problems(lambda: people.set_password(lite.parts, "invitation", link, password)) == {
        "password": said
    }
    assert people.set_password(lite.parts, "invitation", link, "a sill and a plate")


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"kind": "plumber"}, "kind"), ({"name": ""}, "name"), ({"name": "x" * 201}, "name"),
        ({"email": "ivo"}, "email"), ({"email": "ivo@example"}, "email"), ({"email": "i vo@example.com"},
        "email"),
        ({"email": "ivo@exam@ple.com"}, "email"), ({"email": "ivo@example.com\nBcc: x"}, "email"),
        ({"email": "Harriet@example.com"}, "email"), ({"certificate": "x" * 81}, "certificate"),
        ({"kind": "builder"}, "company"),
    ],
)  # fmt: skip
def test_an_invitation_that_cannot_be_is_told_at_its_field(
    lite: House, given: dict[str, str], field: str
) -> None:
    whole = {"kind": "technician", "name": "Ivo Lath", "email": "ivo@example.com"}

    assert list(problems(lambda: people.invite(lite.parts, lite.owner, **whole | given))) == [field]


def test_an_invitation_is_sent_again_until_it_is_taken_up(lite: House) -> None:
    invited(lite)
    person = next(p for p in people.everybody(lite.parts, lite.office)[0] if p.name == "Ivo Lath")

    people.invite_again(lite.parts, lite.office, person.id)
    link = last_link(lite, "ivo@example.com")
    people.set_password(lite.parts, "invitation", link, "a sill and a plate")

    assert not person.joined
    assert (
        refusal(lambda: people.invite_again(lite.parts, lite.office, person.id))
        == "Ivo Lath has joined already."
    )


def test_a_builder_of_the_same_name_is_there_already_whatever_its_case(lite: House) -> None:
    add = partial(people.add_company, lite.parts, lite.office)

    assert problems(lambda: add("HARROW & FINCH HOMES", "", "", "")) == {
        "name": "There is a builder of this name already."
    }
    assert list(problems(lambda: add("", "x" * 1001, "5" * 41, "no address"))) == [
        "name", "address", "phone", "email",
    ]  # fmt: skip


def test_everybody_is_listed_with_their_own(lite: House) -> None:
    own, companies = people.everybody(lite.parts, lite.office)

    assert [p.name for p in own] == ["Odile Marchbank", "Rosa Imber", "Terrence Udall", "Wendell Pike"]
    assert [(c.name, [p.name for p in c.people]) for c in companies] == [
        ("Harrow & Finch Homes", ["Harriet Finch"]), ("Osier Creek Builders", ["Bram Sorrel"]),
    ]  # fmt: skip


def test_one_press_sign_in_is_in_the_demo_only(lite: House) -> None:
    assert lite.builder.person_id
    with pytest.raises(NotFound):
        people.demo_sign_in(lite.parts, lite.builder.person_id)
    with pytest.raises(NotFound):
        people.demo_people(lite.parts)


def test_in_the_demo_one_press_is_enough(new_house: object, sqlite_url: str) -> None:
    demo = new_house(sqlite_url, demo=True)  # type: ignore[operator]

    token = people.demo_sign_in(demo.parts, people.demo_people(demo.parts)[0].id)

    assert people.who_is(demo.parts, token)


def test_what_can_no_longer_matter_is_forgotten(house: House) -> None:
    house.asked()
    slowed(house)
    sign_in(house)
    house.clock.pass_by(days=61)

    upkeep.forget(house.parts)

    assert (house.rows(Try), house.rows(SignIn)) == (0, 0)
    assert upkeep.broken_link(house.parts) is None


def test_furnishing_is_told_in_the_history(furnished: Furnished, lite: House) -> None:
    assert lite.verbs()[:4] == ["invited", "joined", "edition", "edition"]
