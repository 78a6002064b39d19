"""The row of a million warranties: the lookup page against the same page with no query at all.

Loading them is most of the work of a run, so it is measured only by `python3 -m tests bench --million`;
`python3 -m tests.bench.million` says how long each thing takes.
"""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.harness import Pair, row
from tests.bench.million import a_million
from tests.bench.rows_pages import lookup


@row(
    "a warranty looked up among 1,000,000",
    against="the same template without a lookup",
    aim=2.5,
    million=True,
)
def lookup_among_a_million() -> Iterator[Pair]:
    """The form is sent, the tries are counted, the warranty found by its one key, its page shown."""
    with a_million() as house:
        asked, held = lookup(house)
        yield Pair(floor=held, subject=asked)
