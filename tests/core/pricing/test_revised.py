"""What changed between two revisions: each change at its own amount, and all of them to the cent.

The amounts by hand are sums of the trade; that a quote's lines are slices of feet, each rounded to the cent,
is the engine's own contract. Against `naive` they are checked by sums written anew here, from the quote's
own walls, one change at a time.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from portal.core.documents import Line, WallAsQuoted
from portal.core.estimate import answer, estimate
from portal.core.pricing.change import Change, Version
from portal.core.pricing.matched import matched
from portal.core.pricing.offer import offer_from
from portal.core.pricing.rates import Rates, read_rates
from portal.core.pricing.revised import GROUPS, explained, grouped
from portal.core.takeoff.reading import read_house
from tests.core.houses import by_face, by_length, level, measured, rectangle, rectangles, walk
from tests.parts import documents

pytestmark = pytest.mark.slow

D, F = Decimal, Fraction
BARE = {"minimum": "0"}


def version(
    *levels: dict[str, Any], rates: dict[str, Any] | None = None, extras: Iterable[Line] = (), **changed: Any
) -> Version:
    """A revision of a house of these levels, priced by the engine at these rates (else its defaults)."""
    read = read_rates(BARE | (rates or {}))
    house = documents.house(*levels)
    told = answer(estimate(read_house(house), rates=read))
    percents = [D(str((rates or {}).get(f"{key}_percent", "0"))) for key in ("discount", "tax")]
    offer = offer_from(told["price"], tuple(extras), *percents)
    return Version(replace(documents.quote(house), estimate=told, offer=offer, **changed), read)


def told(changes: Iterable[Change]) -> list[tuple[str, str, str, str, str]]:
    """Kind, name, before, after, amount: as a table reads."""
    return [(one.kind, one.name, _text(one.before), _text(one.after), str(one.amount)) for one in changes]


def _text(value: object) -> str:
    return "" if value is None else str(value)


def extra(label: str, amount: str, reason: str = "asked for") -> Line:
    return Line("extra", label, D(amount), reason=reason)


def square(side: Any = 40, siding: Any = "open", inside: Any = 100, **more: Any) -> dict[str, Any]:
    """A story of four sides alike, each `side` feet long by the first and 30 by the second of them."""
    return level(rectangles(rectangle(side, 30)), measured(inside), siding, **more)


SIDES = by_face("open", "open", "open", "open")


def test_the_same_twice_is_no_change() -> None:
    same = version(square(siding=SIDES), extras=[extra("Stairs", "85.00")])

    assert explained(same, same) == ()


def test_a_house_that_grew_by_ten_feet_tells_each_wall() -> None:
    """By hand: 10 ft at 1.45 on the north side; of the south side's, 240 + 10 + 10 ft stay below 300."""
    old, new = version(square(40, SIDES)), version(square(50, SIDES))

    assert told(explained(old, new)) == [
        ("wall", "north side", "40.00", "50.00", "14.50"),
        ("wall", "south side", "40.00", "50.00", "14.50"),
    ]


def test_feet_beyond_a_band_are_told_at_the_rate_they_cost() -> None:
    """290 ft, and 20 on each of two sides: 10 at 1.45 and 10 at 1.20, then 20 at 1.20."""
    old, new = version(square(40, SIDES, 150)), version(square(60, SIDES, 150))

    assert [str(one.amount) for one in explained(old, new)] == ["26.50", "24.00"]


def test_siding_that_went_on_tells_its_wall_and_the_second_coat() -> None:
    old = version(square(siding=by_face("wrapped", "open", "open", "sided")))
    new = version(square(siding=by_face("sided", "open", "wrapped", "open")))

    assert told(explained(old, new)) == [
        ("siding", "north side", "wrapped", "sided", "14.00"),  # 40 x 0.60 - 40 x 0.25
        ("siding", "south side", "open", "wrapped", "10.00"),
        ("siding", "west side", "sided", "open", "-18.00"),
    ]


def test_a_wall_longer_and_sided_is_told_in_two() -> None:
    old = version(square(40, by_face("open", "open", "open", "open")))
    new = version(square(50, by_face("sided", "open", "open", "open")))

    assert told(explained(old, new)) == [
        ("wall", "north side", "40.00", "50.00", "14.50"),
        ("wall", "south side", "40.00", "50.00", "14.50"),
        ("siding", "north side", "open", "sided", "30.00"),
    ]


def test_interior_walls_are_told_by_story_and_a_new_story_by_its_walls() -> None:
    """Sided all around, at 1.45 and 0.60 up to 300 ft; the third wall has 10 ft on each side of them."""
    upper = square(20, "sided", 50, name="Upper floor")
    old, new = version(square(inside=100)), version(square(inside=110), upper)

    assert told(explained(old, new)) == [
        ("wall", "north side", "", "20.00", "41.00"),
        ("wall", "east side", "", "30.00", "61.50"),
        ("wall", "south side", "", "20.00", "38.50"),
        ("wall", "west side", "", "30.00", "54.00"),
        ("interior", "", "100.00", "110.00", "12.00"),
        ("interior", "", "", "50.00", "60.00"),
    ]


def test_each_band_tells_its_own_slice() -> None:
    """240 ft: 100 at 2.00 and 140 at 1.00; then the first slice is cut at 50, and both rates go up."""
    bands = [{"up_to_feet": "100", "per_foot": "2.00"}, {"per_foot": "1.00"}]
    finer = [{"up_to_feet": "50", "per_foot": "2.10"}, {"up_to_feet": "100", "per_foot": "2.00"},
             {"up_to_feet": "5000", "per_foot": "1.25"}, {"per_foot": "0.90"}]  # fmt: skip
    old, new = version(square(), rates={"bands": bands}), version(square(), rates={"bands": finer})

    changes = explained(old, new)

    assert told(changes) == [
        ("band", "", "2", "2.1", "5.00"),
        ("band", "", "1", "1.25", "35.00"),
    ]
    assert [one.span for one in changes] == [(0, 50), (100, 5000)]


def test_rates_beside_the_bands_are_told_even_where_they_change_nothing_yet() -> None:
    old = version(square(siding="wrapped"))
    new = version(square(siding="wrapped"), rates={
        "second_coat_per_foot": "0.70", "unwrap_per_foot": "0.30", "call_out": "35",
    })  # fmt: skip

    assert told(explained(old, new)) == [
        ("rate", "second_coat_per_foot", "0.6", "0.7", "0.00"),
        ("rate", "unwrap_per_foot", "0.25", "0.3", "7.00"),  # 140 ft
        ("rate", "call_out", "0", "35", "35.00"),
    ]


def test_below_the_minimum_charge_what_is_missing_to_it_takes_up_the_difference() -> None:
    """240 ft at 1.45 are 348.00, 27.00 short of 375; with 20 ft more they are 377.00."""
    old, new = (
        version(square(40, SIDES), rates={"minimum": "375"}),
        version(square(50, SIDES), rates={"minimum": "380"}),
    )

    assert told(explained(old, new)) == [
        ("wall", "north side", "40.00", "50.00", "14.50"),
        ("wall", "south side", "40.00", "50.00", "14.50"),
        ("fill-up", "", "27.00", "0.00", "-27.00"),
        ("minimum", "", "375.00", "380.00", "3.00"),
    ]


def test_extra_lines_are_dropped_changed_and_added() -> None:
    old = version(
        square(), extras=[extra("Stairs", "85.00"), extra("Porch", "40.00"), extra("Beam", "10.00")]
    )
    new = version(square(), extras=[extra("Beam", "10.00", "why not"), extra("Stairs", "95.00"),
                                    extra("Shed", "60.00")])  # fmt: skip

    assert told(explained(old, new)) == [
        ("extra", "Stairs", "85.00", "95.00", "10.00"),
        ("extra", "Porch", "40.00", "", "-40.00"),
        ("extra", "Shed", "", "60.00", "60.00"),
    ]


def test_discount_and_tax_tell_what_is_on_the_sums_and_what_is_their_own() -> None:
    """348.00 less 5 % (17.40) and 7 % tax (23.14); then 100 more, 10 % (44.80) and 8 % (32.26)."""
    old = version(square(), rates={"discount_percent": "5", "tax_percent": "7"})
    new = version(square(), rates={"discount_percent": "10", "tax_percent": "8"}, extras=[extra("A", "100")])

    assert told(explained(old, new)) == [
        ("extra", "A", "", "100", "100"),
        ("discount", "", "-17.40", "-22.40", "-5.00"),
        ("discount percent", "", "5", "10", "-22.40"),
        ("tax", "", "23.14", "28.22", "5.08"),
        ("tax percent", "", "7", "8", "4.04"),
    ]
    assert grouped(explained(old, new)) == {"extras": D(100), "discount": D("-27.40"), "tax": D("9.12")}


def test_a_wall_put_into_a_walk_is_told_as_one_though_it_renumbers_the_rest() -> None:
    plain = level(walk("E 40, N 30, W 40, S 30"))
    with_bay = level(walk("E 40, N 10, E 4, N 8, W 4, N 12, W 40, S 30"))

    changes = explained(version(plain), version(with_bay))

    assert told(changes) == [
        ("wall", "wall 2, heading N", "30.00", "10.00", "-29.00"),
        ("wall", "wall 3, heading E", "", "4.00", "5.80"),
        ("wall", "wall 4, heading N", "", "8.00", "11.60"),
        ("wall", "wall 5, heading W", "", "4.00", "5.80"),
        ("wall", "wall 6, heading N", "", "12.00", "17.40"),
    ]


def test_measured_another_way_old_walls_go_and_new_ones_come() -> None:
    old = version(level(rectangles(), measured(100), "open"))
    new = version(level(measured(140), measured(100), by_length(sided="20", open="rest")))

    assert [one.name for one in explained(old, new)] == [
        "north side", "east side", "south side", "west side", "sided part", "open part",
    ]  # fmt: skip
    assert grouped(explained(old, new)) == {"feet": D("12.00")}  # 20 ft at 0.60


def test_a_story_renamed_keeps_its_walls() -> None:
    old, new = version(square(name="Main")), version(square(name="Ground floor"))

    assert explained(old, new) == ()


def test_a_story_put_below_leaves_the_walls_above_alone() -> None:
    """The upper floor was the first story, and is the second now."""
    old = version(square(name="Main"))
    new = version(square(20, name="Basement", inside=0), square(name="Main"))

    assert {one.story for one in explained(old, new)} == {"Basement"}


def test_a_repeated_story_is_told_story_by_story() -> None:
    old, new = version(square(repeat=2)), version(square(repeat=3))

    changes = explained(old, new)

    assert {one.story for one in changes if one.kind == "wall"} == {"Main (3)"}
    assert [(_text(one.before), _text(one.after)) for one in changes if one.kind == "interior"] == [
        ("200.00", "300.00")
    ]


def test_what_a_quote_has_beside_its_own_feet_and_rates_is_told_as_that() -> None:
    """A line of treatment that was not reckoned by these rates alone: 20 less."""
    old, new = version(square()), version(square())
    lines = [replace(line, amount=line.amount - 20) for line in new.document.offer.lines]
    offer = replace(new.document.offer, lines=tuple(lines), subtotal=D(328), total=D(328))

    changes = explained(old, Version(replace(new.document, offer=offer), new.rates))

    assert told(changes) == [("rest", "", "0.00", "-20.00", "-20.00")]


def test_amounts_of_two_currencies_are_not_subtracted() -> None:
    assert explained(version(square()), version(square(50), rates={"currency": "CAD"})) == ()


# Random pairs of revisions.

STATUS = st.sampled_from(("open", "wrapped", "sided"))
INCHES = st.integers(120, 90 * 12)
HUNDREDTHS = st.integers(0, 2000).map(lambda n: str(D(n) / 100))
LABELS = st.sampled_from(("Stairs", "Porch", "Beam"))
AMOUNTS = st.integers(1, 30_000).map(lambda n: str(D(n) / 100))
EXTRAS = st.lists(st.builds(extra, LABELS, AMOUNTS, st.sampled_from(("asked for", "seen"))), max_size=4)


def inches(*lengths: int) -> list[str]:
    return [f'{length}"' for length in lengths]


@st.composite
def stories(draw: st.DrawFn) -> dict[str, Any]:
    """A story given in any of the ways, of any siding; walked ones may have a bay on their east side."""
    east, north, inside = draw(INCHES), draw(INCHES), draw(INCHES)
    how = draw(st.sampled_from(("faces", "one status", "walk", "by length", "ratio")))
    outline: Any = rectangles(rectangle(*inches(east, north)))
    siding: Any = draw(STATUS)
    if how == "faces":
        siding = by_face(*(draw(STATUS) for _side in range(4)))
    elif how == "by length":
        outline, siding = measured(*inches(2160)), by_length(sided=inches(draw(INCHES))[0], open="rest")
    elif how == "walk":
        bay = [("E", 24), ("N", 36), ("W", 24), ("N", 40)] if draw(st.booleans()) else []
        back = north + sum(length for heading, length in bay if heading == "N")
        way = [("E", east), ("N", north), *bay, ("W", east), ("S", back)]
        walls = [{"heading": h, "length": inches(f)[0], "siding": draw(STATUS)} for h, f in way]
        outline, siding = {"by": "walk", "walls": walls}, None
    interior = {"by": "ratio"} if how == "ratio" else measured(*inches(inside))
    name, repeat = draw(st.sampled_from(("Main", "Upper", "Attic"))), draw(st.integers(1, 3))
    return level(outline, interior, siding, name=name, repeat=repeat)


@st.composite
def rates(draw: st.DrawFn) -> dict[str, Any]:
    """A rate book with one to four bands."""
    ends = sorted(draw(st.sets(st.integers(20, 1500), max_size=3)))
    each = [draw(HUNDREDTHS) for _band in (*ends, None)]
    bands = [{"up_to_feet": str(end), "per_foot": rate} for end, rate in zip(ends, each, strict=False)]
    keys = ("second_coat_per_foot", "unwrap_per_foot", "discount_percent", "tax_percent", "call_out")
    one_of_ten = {key: draw(HUNDREDTHS) for key in keys}
    return one_of_ten | {"bands": [*bands, {"per_foot": each[-1]}], "minimum": draw(AMOUNTS)}


@st.composite
def versions(draw: st.DrawFn) -> Version:
    """A revision of a random house, at random rates, with extra lines."""
    return version(
        *draw(st.lists(stories(), min_size=1, max_size=3)), rates=draw(rates()), extras=draw(EXTRAS)
    )


@st.composite
def pairs(draw: st.DrawFn) -> tuple[Version, Version]:
    """Two revisions: a house with one story changed, at the same rates or nearly; or any two."""
    if draw(st.booleans()):
        return draw(versions()), draw(versions())
    levels, at, extras = draw(st.lists(stories(), min_size=1, max_size=3)), draw(rates()), draw(EXTRAS)
    place, other = draw(st.integers(0, len(levels) - 1)), draw(stories())
    changed = [*levels[:place], other | {"name": levels[place]["name"]}, *levels[place + 1 :]]
    later = at | draw(st.sampled_from(({}, {"tax_percent": "8.25"}, {"minimum": "500"}, {"call_out": "35"})))
    return version(*levels, rates=at, extras=extras), version(*changed, rates=later, extras=extras[:1])


@given(pairs())
def test_the_differences_always_add_up_to_the_cent(both: tuple[Version, Version]) -> None:
    old, new = both

    changes = explained(old, new)

    difference = new.document.offer.total - old.document.offer.total
    assert sum((one.amount for one in changes), D(0)) == difference
    assert sum(grouped(changes).values(), D(0)) == difference
    assert all(one.amount == one.amount.quantize(D("0.01")) for one in changes)
    assert all(one.before != one.after for one in changes)
    assert not [one for one in changes if one.kind == "rest"]  # the engine's own quotes leave nothing over


@given(pairs())
def test_there_and_back_again_comes_to_nothing(both: tuple[Version, Version]) -> None:
    old, new = both

    assert sum((one.amount for one in (*explained(old, new), *explained(new, old))), D(0)) == 0
    assert explained(old, old) == explained(new, new) == ()


@given(pairs())
def test_every_wall_is_told_once(both: tuple[Version, Version]) -> None:
    older, newer = (one.document.walls for one in both)

    found = matched(older, newer)

    assert sorted(one.key for one, _other in found if one) == sorted(one.key for one in older)
    assert sorted(one.key for _other, one in found if one) == sorted(one.key for one in newer)
    assert all(one or other for one, other in found)


def half_up(amount: Fraction) -> Decimal:
    return (D(amount.numerator) / D(amount.denominator)).quantize(D("0.01"), ROUND_HALF_UP)


def naive(walls: Iterable[tuple[Fraction, str] | None], inside: Fraction, at: Rates) -> Decimal:
    """Treatment, second coat, wrap and call-out of these walls, by sums over slices written here."""
    there = [wall for wall in walls if wall]
    feet, start, treatment = sum((length for length, _status in there), inside), F(0), F(0)
    for band in at.bands:
        end = feet if band.up_to_feet is None else band.up_to_feet
        treatment += max(F(0), min(feet, end) - start) * band.per_foot
        start = end
    second, unwrap = (sum((length for length, status in there if status == kind), F(0)) for kind in
                      ("sided", "wrapped"))  # fmt: skip
    return sum(map(half_up, (treatment, second * at.second_coat_per_foot, unwrap * at.unwrap_per_foot,
                             at.call_out)), D(0))  # fmt: skip


def as_is(wall: WallAsQuoted | None) -> tuple[Fraction, str] | None:
    return (F(wall.exact), wall.status) if wall else None


def inside_of(one: Version) -> Fraction:
    """Interior feet: what the walls leave of the whole, read from the house and not from the quote."""
    read = read_house(one.document.house)
    return estimate(read).feet.total - sum((F(wall.exact) for wall in one.document.walls), F(0))


def by_hand(old: Version, new: Version) -> list[tuple[str, Decimal]]:
    """The same changes, each priced from scratch before and after; interiors at once, rates at once."""
    both = matched(old.document.walls, new.document.walls)
    walls, steps = [as_is(before) for before, _after in both], list[tuple[str, Decimal]]()
    inside, at = inside_of(old), old.rates

    def step(kind: str, wanted: bool) -> None:
        nonlocal reached
        now = naive(walls, inside, at)
        steps.extend([(kind, now - reached)] if wanted else [])
        reached = now

    reached = naive(walls, inside, at)
    for i, (before, after) in enumerate(both):
        if (before and before.exact) != (after and after.exact):
            walls[i] = (F(after.exact), (before or after).status) if after else None
            step("wall", True)
    inside = inside_of(new)
    step("interior", True)
    for i, (before, after) in enumerate(both):
        if before and after and before.status != after.status:
            walls[i] = as_is(after)
            step("siding", True)
    at = new.rates
    step("rates", True)
    return steps


@given(pairs())
def test_each_change_is_what_sums_written_anew_make_of_it(both: tuple[Version, Version]) -> None:
    old, new = both
    changes = explained(old, new)

    def of(*kinds: str) -> list[Decimal]:
        return [one.amount for one in changes if one.kind in kinds]

    found = [("wall", one) for one in of("wall")] + [("interior", sum(of("interior"), D(0)))]
    found += [("siding", one) for one in of("siding")] + [("rates", sum(of("band", "rate"), D(0)))]
    assert found == by_hand(old, new)


@given(pairs())
def test_each_part_is_the_difference_of_its_lines(both: tuple[Version, Version]) -> None:
    """Independently of any order: minimum, extra lines, discount and tax, read off the two offers."""
    old, new = (one.document.offer for one in both)
    changes = explained(*both)

    def of(*kinds: str) -> Decimal:
        return sum((one.amount for one in changes if one.kind in kinds), D(0))

    def lines(what: str) -> Decimal:
        was, now = (sum((line.amount for line in one.lines if line.what == what), D(0)) for one in (old, new))
        return now - was

    assert of("fill-up", "minimum") == lines("minimum")
    assert of("extra") == lines("extra")
    assert of("discount", "discount percent") == old.discount - new.discount
    assert of("tax", "tax percent") == new.tax - old.tax


def test_every_kind_has_its_group() -> None:
    assert list(dict.fromkeys(GROUPS.values())) == [
        "feet", "siding", "rates", "rest", "minimum", "extras", "discount", "tax",
    ]  # fmt: skip
