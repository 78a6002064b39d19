"""A builder's own people: invited, changed in their rights, removed, by the company itself and the office."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import pytest

from portal.acts import colleagues, people
from portal.acts.parts import RIGHTS, Actor
from portal.core.errors import BadInput, NotAllowed, NotFound, Overtaken, Refused, TooManyTries
from portal.post.worker import send_due
from portal.store import people as rows
from portal.store.outbox import Outbox
from portal.store.tables import Letter
from tests.acts.test_people import WRONG, last_link, sign_in
from tests.parts.at_once import at_once
from tests.parts.house import PASSWORD, House
from tests.parts.refusals import problems, refusal

ALL = frozenset(RIGHTS)
LAST = (
    "Harriet Finch is the last of Harrow & Finch Homes who can change its people. "
    "Give somebody else that right first."
)


def joined(house: House, *rights: str, name: str = "Ada Quist", by: Actor | None = None) -> Actor:
    """Somebody whom Harriet invited, and who joined."""
    email = f"{name.split()[0].lower()}@example.com"
    people.invite_colleague(house.parts, by or house.builder, name, email, rights)
    people.set_password(house.parts, "invitation", last_link(house, email), PASSWORD)
    return people.actor_by_email(house.parts, email)


def stored(house: House, person_id: str | None) -> Any:
    """A person's row."""
    with house.parts.store.reading() as work:
        return rows.person(work, person_id or "")


def rights_of(house: House, who: Actor) -> frozenset[str]:
    return rows.rights_of(stored(house, who.person_id))


def change(house: House, by: Actor, whom: Actor, *rights: str) -> None:
    colleagues.change_rights(house.parts, by, whom.person_id or "", rights, rights_of(house, whom))


def remove(house: House, by: Actor, whom: Actor) -> None:
    colleagues.remove(house.parts, by, whom.person_id or "")


def test_the_first_of_a_company_has_every_right_and_gives_them_on(house: House) -> None:
    asker, buyer = joined(house), joined(house, "accept", "money", name="Bo Reed")

    assert house.builder.rights == ALL
    assert (asker.rights, buyer.rights) == (frozenset(), {"accept", "money"})
    assert (asker.kind, asker.company) == ("builder", "Harrow & Finch Homes")
    assert {("invitation", "ada@example.com"), ("invitation", "bo@example.com")} <= set(house.letters())


def test_the_office_says_which_rights_somebody_it_invites_has(lite: House) -> None:
    people.invite(
        lite.parts, lite.office, "builder", "Cy Vane", "cy@example.com", lite.rival.company_id,
        rights=("money",),
    )  # fmt: skip
    company = people.add_company(lite.parts, lite.office, "Alder Homes", "", "", "")
    people.invite(lite.parts, lite.office, "builder", "Di Lund", "di@example.com", company, rights=())

    assert people.actor_by_email(lite.parts, "cy@example.com").rights == {"money"}
    assert people.actor_by_email(lite.parts, "di@example.com").rights == ALL  # the first of the company


def test_who_lacks_the_right_changes_nobody(lite: House) -> None:
    asker, buyer = joined(lite, "accept", "money"), joined(lite, name="Bo Reed")
    one = buyer.person_id or ""

    acts: tuple[Callable[[], Any], ...] = (
        lambda: people.invite_colleague(lite.parts, asker, "Una Cray", "una@example.com", ()),
        lambda: people.invite_again(lite.parts, asker, one),
        lambda: colleagues.person_to_change(lite.parts, asker, one),
        lambda: colleagues.change_rights(lite.parts, asker, one, ("accept",), ()),
        lambda: colleagues.remove(lite.parts, asker, one),
        lambda: colleagues.change_company(lite.parts, asker, "9 Elm Street", "", ""),
    )
    for act in acts:
        with pytest.raises(NotAllowed, match="Changing people is not among your rights"):
            act()

    assert [row.name for row in colleagues.our_company(lite.parts, asker).company.people] == [
        "Ada Quist", "Bo Reed", "Harriet Finch",
    ]  # fmt: skip


def test_another_companys_people_are_not_there_at_all(lite: House) -> None:
    other, office = lite.rival.person_id or "", lite.office.person_id or ""

    acts: tuple[Callable[[str], Any], ...] = (
        lambda one: people.invite_again(lite.parts, lite.builder, one),
        lambda one: colleagues.person_to_change(lite.parts, lite.builder, one),
        lambda one: colleagues.change_rights(lite.parts, lite.builder, one, (), ()),
        lambda one: colleagues.remove(lite.parts, lite.builder, one),
    )
    for person_id in (other, office, "nobody"):
        for act in acts:
            with pytest.raises(NotFound):
                act(person_id)


def test_nobody_gives_a_right_that_they_lack(lite: House) -> None:
    clerk, asker = joined(lite, "people"), joined(lite, name="Bo Reed")
    says = "You can only give rights that you have yourself. Ask somebody who has it, or the office."

    assert problems(lambda: change(lite, clerk, clerk, "people", "money")) == {"rights": says}
    assert problems(lambda: change(lite, clerk, asker, "accept")) == {"rights": says}
    invite = partial(people.invite_colleague, lite.parts, clerk, "Una Cray", "una@example.com")
    assert problems(lambda: invite(("money",))) == {"rights": says}

    change(lite, lite.builder, asker, "accept")
    change(lite, clerk, asker, "accept", "people")  # what is there may stay
    change(lite, clerk, asker)  # and may be taken

    assert rights_of(lite, asker) == frozenset()


def test_a_right_that_there_is_not_is_refused(lite: House) -> None:
    with pytest.raises(BadInput):
        change(lite, lite.builder, lite.builder, *RIGHTS, "everything")


def test_rights_hold_from_the_next_page_on_and_are_noted(lite: House) -> None:
    asker = joined(lite)
    token = sign_in(lite, asker.email)

    change(lite, lite.builder, asker, "money")

    who = people.who_is(lite.parts, token)
    assert who is not None and who.rights == {"money"}
    assert lite.verbs()[-1] == "rights changed"


def test_two_who_change_the_same_rights_do_not_undo_each_other(lite: House) -> None:
    asker = joined(lite)
    change(lite, lite.builder, asker, "accept")

    with pytest.raises(Overtaken):
        colleagues.change_rights(lite.parts, lite.builder, asker.person_id or "", ("money",), ())
    colleagues.change_rights(lite.parts, lite.builder, asker.person_id or "", ("accept",), ())  # it is so

    assert rights_of(lite, asker) == {"accept"}


def test_the_last_who_can_change_people_stays_so(house: House) -> None:
    assert refusal(lambda: remove(house, house.builder, house.builder)) == LAST
    assert refusal(lambda: change(house, house.office, house.builder, "accept")) == LAST
    people.invite_colleague(house.parts, house.builder, "Una Cray", "una@example.com", RIGHTS)
    assert refusal(lambda: remove(house, house.builder, house.builder)) == LAST  # Una has not joined yet

    second = joined(house, *RIGHTS)
    change(house, second, house.builder, "accept")
    remove(house, second, house.builder)

    assert not stored(house, house.builder.person_id).active


def test_two_who_take_the_last_right_from_each_other_leave_one(house: House) -> None:
    second = joined(house, *RIGHTS)

    answers = at_once(
        partial(remove, house, house.builder, second), partial(remove, house, second, house.builder)
    )

    assert sorted(type(answer).__name__ for answer in answers) == ["NoneType", "NotAllowed"]
    here = colleagues.our_company(house.parts, house.rival)  # a company that nobody touched
    assert len(here.company.people) == 1
    with house.parts.store.reading() as work:
        left = rows.persons(work, kind="builder", company_id=house.builder.company_id)
        assert [row.may_manage_people for row in left] == [True]


def test_who_leaves_is_out_at_once_and_stays_in_the_record_by_name(house: House) -> None:
    asker = joined(house)
    lot = house.asked(by=asker)
    token = sign_in(house, asker.email)
    people.forgot(house.parts, asker.email, "203.0.113.9")
    link = last_link(house, asker.email)

    remove(house, house.builder, asker)
    remove(house, house.builder, asker)  # pressed twice

    assert people.who_is(house.parts, token) is None
    assert refusal(lambda: sign_in(house, asker.email)) == WRONG
    assert "was used already" in refusal(lambda: people.link_is_for(house.parts, "reset", link))
    before = house.rows(Letter)
    people.forgot(house.parts, asker.email, "203.0.113.9")
    assert house.rows(Letter) == before
    assert house.sheet(lot).history[-1].by == "Ada Quist"
    left = colleagues.our_company(house.parts, house.builder).company.left
    assert [(row.name, row.email, row.rights) for row in left] == [("Ada Quist", asker.email, frozenset())]
    assert house.verbs().count("removed") == 1


def test_letters_no_longer_go_to_who_left_not_even_those_that_wait(lite: House) -> None:
    asker = joined(lite)
    lot = lite.approved()
    lite.sent(lot)
    assert ("quote_sent", asker.email) in lite.letters()

    remove(lite, lite.builder, asker)
    lite.booked(lite.accepted(lot))

    assert asker.email not in [to for _kind, to in lite.letters()]
    assert ("booked", "harriet@example.com") in lite.letters()


def test_a_letter_that_is_under_way_when_its_reader_leaves_harms_nobody(lite: House) -> None:
    asker = joined(lite)
    lite.sent()
    gone: list[str] = []

    class Slow:
        def send(self, letter: Any, now: Any) -> None:
            if letter.to == asker.email and not gone:
                remove(lite, lite.builder, asker)
            gone.append(letter.to)

    send_due(Outbox(lite.parts.store), Slow(), lite.clock)

    assert "harriet@example.com" in gone
    with lite.parts.store.reading() as work:
        assert work.session.query(Letter).filter(Letter.sent_at.is_(None)).count() == 0


def test_the_address_of_who_left_can_be_invited_again_as_somebody_new(house: House) -> None:
    asker = joined(house, "accept")
    remove(house, house.builder, asker)

    again = joined(house)
    remove(house, house.builder, again)
    elsewhere = joined(house, by=house.rival)

    assert len({asker.person_id, again.person_id, elsewhere.person_id}) == 3
    assert elsewhere.company == "Osier Creek Builders"
    assert again.rights == frozenset()


def test_an_invitation_is_taken_back_and_its_link_is_void(lite: House) -> None:
    person = people.invite_colleague(lite.parts, lite.builder, "Una Cray", "una@example.com", ())
    link = last_link(lite, "una@example.com")

    colleagues.remove(lite.parts, lite.builder, person)

    assert "was used already" in refusal(lambda: people.link_is_for(lite.parts, "invitation", link))
    with pytest.raises(Refused, match="has left"):
        people.invite_again(lite.parts, lite.office, person)


def test_an_invitation_goes_out_once_more_by_whoever_may_invite(lite: House) -> None:
    person = people.invite_colleague(lite.parts, lite.builder, "Una Cray", "una@example.com", ())

    people.invite_again(lite.parts, lite.builder, person)

    assert lite.letters().count(("invitation", "una@example.com")) == 2


def test_a_builder_does_not_learn_who_else_is_here(lite: House) -> None:
    def invite(email: str) -> dict[str, str]:
        return problems(lambda: people.invite_colleague(lite.parts, lite.builder, "Una Cray", email, ()))

    assert invite("harriet@example.com") == {"email": "Somebody with this mail address is here already."}
    for email in ("bram@example.com", "terrence@example.com"):
        assert invite(email) == {"email": "This mail address cannot be invited from here. Ask the office."}


def test_a_builder_does_not_mail_the_whole_town(lite: House) -> None:
    for n in range(40):
        people.invite_colleague(lite.parts, lite.builder, f"Una {n}", f"una{n}@example.com", ())

    with pytest.raises(TooManyTries):
        people.invite_colleague(lite.parts, lite.builder, "Una Cray", "una@example.com", ())


def test_a_company_keeps_its_own_address(lite: House) -> None:
    colleagues.change_company(lite.parts, lite.builder, "9 Elm Street\nMarlow Ferry", "555-0199", "")

    ours = colleagues.our_company(lite.parts, lite.builder)
    assert (ours.address, ours.company.phone) == ("9 Elm Street\nMarlow Ferry", "555-0199")
    quote = lite.sheet(lite.sent()).revisions[0].document
    assert quote is not None and quote.builder.address == ("9 Elm Street", "Marlow Ferry")
    assert problems(lambda: colleagues.change_company(lite.parts, lite.builder, "", "", "x")) == {
        "email": "“x” is no mail address."
    }


def test_whom_to_ask_are_those_who_have_the_right_and_joined(lite: House) -> None:
    asker = joined(lite)
    people.invite_colleague(lite.parts, lite.builder, "Una Cray", "una@example.com", ("accept",))

    assert colleagues.who_may(lite.parts, asker, "accept") == ("Harriet Finch",)
