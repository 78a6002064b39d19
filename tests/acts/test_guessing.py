"""How much guessing is worth: the chance of a hit, the count of several processes, and what time tells."""

from __future__ import annotations

import math
import statistics
import time
from collections import deque
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from portal.acts import covering
from portal.acts.covering import LOOKUP
from portal.acts.slowing import Door
from portal.core.cover.numbers import ALPHABET, BODY, check_character, read_number, shown
from portal.core.errors import BadInput, NotFound, TooManyTries
from tests.parts.guesser import guess_in_processes
from tests.parts.house import House

pytestmark = pytest.mark.slow

YEAR, LIVE = timedelta(days=365), 1_000_000
TICK = timedelta(microseconds=1)


def most_tries(door: Door, span: timedelta) -> int:
    """The wrong tries that a door lets through to one who tries again as soon as it lets him."""
    now = begin = datetime(2027, 1, 1)
    made: deque[datetime] = deque()
    count = 0
    while now < begin + span:
        while made and made[0] <= now - door.window:
            made.popleft()
        # It opens when the wait is over, or earlier, when the oldest try is too old to count.
        opens = made[-1] + door.wait(len(made)) if len(made) >= door.free else now
        if opens > now:
            now = min(opens, made[0] + door.window)
            continue
        made.append(now)
        count += 1
        now += TICK
    return count


def test_the_chance_of_a_hit_within_a_year_is_what_is_stated() -> None:
    """The numbers that `covering.find` states, from the number space, the check character and the limits."""
    space, tries = len(ALPHABET) ** BODY, most_tries(LOOKUP, YEAR)
    per_try = LIVE / space  # of any number that is in force; the house number has to be right besides

    assert (len(ALPHABET), BODY) == (30, 10)
    assert (tries, round(tries / (365 * 24))) == (78_846, 9)
    assert round(1 / (tries * per_try), -1) == 7_490  # one address, any warranty
    assert 1 / -math.expm1(-1000 * tries * per_try) == pytest.approx(8, abs=0.1)  # a thousand of them
    assert 1 / (1000 * tries / space) == pytest.approx(7.49e6, rel=0.01)  # a thousand, one certain warranty
    stated = covering.find.__doc__ or ""
    assert all(
        figure in stated for figure in ("30^10", "9 wrong", "78,846", "1 in 7,490", "1 in 8", "1 in 7 m")
    )


def test_the_check_character_gives_a_guesser_nothing_and_takes_nothing_away() -> None:
    """Exactly one last character fits each body, so there are as many numbers as bodies (ISO/IEC 7064)."""
    body = "2A7K9QXZ4M"
    fits = []
    for last in ALPHABET:
        try:
            fits.append(read_number(shown(body + last)))
        except BadInput:
            continue
    assert fits == [shown(body + check_character(body))]


def test_the_reckoned_tries_are_those_that_the_door_really_lets_through(lite: House) -> None:
    """Two hours at the limit, by the act itself."""
    begin, through, end = lite.clock.moment, 0, timedelta(hours=2)
    while lite.clock.moment < begin + end:
        try:
            covering.find(lite.parts, "no number", "1", "203.0.113.7")
        except NotFound:
            through += 1
            lite.clock.pass_by(microseconds=1)
        except TooManyTries:
            # Asked again every second: an oldest try may become too old before the wait is over.
            lite.clock.pass_by(seconds=1)
    assert abs(through - most_tries(LOOKUP, end)) <= 1


def numbers(count: int) -> list[str]:
    """Numbers that nobody has."""
    bodies = [f"{'2' * 6}{n // 900 % 30:02}{n // 30 % 30:02}{n % 30:02}" for n in range(count)]
    bare = ["".join(ALPHABET[int(body[i : i + 2])] for i in range(6, 12, 2)) for body in bodies]
    return [shown(body + check_character(body)) for body in (f"2222222{three}" for three in bare)]


def test_one_number_tried_from_many_addresses_at_two_processes_is_one_count(house: House) -> None:
    number = house.warranty(house.treated()).number
    tries = [
        [(number, str(900 + n), f"198.51.100.{half + n}") for n in range(20)] for half in (0, 100)
    ]  # addresses of TEST-NET-2, RFC 5737

    answers = guess_in_processes(house.settings.database, *tries)

    assert sorted([*answers[0], *answers[1]]) == ["missed"] * 5 + ["wait"] * 35
    with pytest.raises(TooManyTries):
        _at_the_real_clock(house, number)


def test_many_numbers_tried_from_one_address_at_two_processes_are_one_count(house: House) -> None:
    unknown = numbers(40)
    tries = [[(number, "101", "203.0.113.7") for number in half] for half in (unknown[:20], unknown[20:])]

    answers = guess_in_processes(house.settings.database, *tries)

    assert sorted([*answers[0], *answers[1]]) == ["missed"] * 5 + ["wait"] * 35


def test_many_numbers_from_many_addresses_are_let_through_and_none_is_hit(house: House) -> None:
    house.treated()
    tries = [
        [(number, "101", f"{net}.{n}") for n, number in enumerate(numbers(40)[half : half + 20])]
        for half, net in ((0, "198.51.100"), (20, "203.0.113"))
    ]

    answers = guess_in_processes(house.settings.database, *tries)

    assert [*answers[0], *answers[1]] == ["missed"] * 40


def _at_the_real_clock(house: House, number: str) -> None:
    """The right pair, in this process, at the clock by which the processes tried."""
    from portal import wiring

    house.clock.moment = wiring.now()
    covering.find(house.parts, number, "101", "192.0.2.1")


ROUNDS, WARM = 800, 40
#: With 800 of each, chance alone takes the share of pairs in which one is slower this far from a half, at
#: four standard errors (Mann and Whitney 1947: the variance of U is mn(m + n + 1) / 12): 0.5 +- 0.0578.
TOLERANCE = 4 * math.sqrt((2 * ROUNDS + 1) / (12 * ROUNDS**2))


@pytest.mark.long
def test_the_time_of_an_answer_does_not_tell_which_part_was_wrong(lite: House) -> None:
    """The whole answer, as somebody outside has it: a miss, a known number with another house, a mistype."""
    from portal import create_app

    number = lite.warranty(lite.paid()).number
    mistyped = number[:-1] + next(c for c in ALPHABET if c != number[-1])
    lite.use_real()
    app = create_app(lite.settings, lite.parts)
    app.config["WTF_CSRF_ENABLED"] = False
    browser = app.test_client()
    unknown = iter(numbers(ROUNDS + WARM))
    kinds: dict[str, Callable[[], str]] = {
        "unknown": lambda: next(unknown), "another house": lambda: number, "mistyped": lambda: mistyped,
    }  # fmt: skip
    taken: dict[str, list[int]] = {kind: [] for kind in kinds}
    order, turn = list(kinds), 0

    for _ in range(ROUNDS + WARM):
        lite.clock.pass_by(hours=2)  # nobody has to wait, and no count is longer than another
        lite.draw.shuffle(order)
        for kind in order:
            turn += 1
            typed = {"number": kinds[kind](), "house_number": "99"}
            begun = time.perf_counter_ns()
            answer = browser.post("/warranty", data=typed,
                                  environ_base={"REMOTE_ADDR": f"203.0.113.{turn % 250}"})  # fmt: skip
            taken[kind].append(time.perf_counter_ns() - begun)
            assert answer.status_code == 404

    measured = {kind: times[WARM:] for kind, times in taken.items()}
    told = {
        f"{one} to {other}": slower(measured[one], measured[other])
        for one in kinds for other in kinds if one < other
    }  # fmt: skip
    medians = {kind: statistics.median(times) for kind, times in measured.items()}
    assert all(abs(share - 0.5) <= TOLERANCE for share in told.values()), (told, medians, TOLERANCE)


def slower(one: list[int], other: list[int]) -> float:
    """In what share of pairs the first took longer: the U of Mann and Whitney over the number of pairs."""
    return sum((a > b) + (a == b) / 2 for a in one for b in other) / (len(one) * len(other))


def test_the_measure_itself_tells_a_difference_that_is_there() -> None:
    """A twentieth more, in times that scatter as much: more than the tolerance."""
    times = [1000 + (n * 7919) % 100 for n in range(ROUNDS)]

    assert slower(times, times) == 0.5
    assert abs(slower([round(t * 1.05) for t in times], times) - 0.5) > TOLERANCE
