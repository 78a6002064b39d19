"""Until when a treatment record is kept: as long as the firm says, and never shorter than its warranty."""

from __future__ import annotations

from datetime import date

from portal.core.cover.terms import ends_on

#: The longest term of years that a state asks for, of those we know of (Indiana, South Carolina: 5 years).
USUAL_YEARS = 5
#: The fewest: 40 CFR 171.303(b)(7) asks for two years from the day of application.
FEWEST_YEARS, MOST_YEARS = 2, 100


def kept_until(
    treated_on: date, years: int | None, warranty_years: int | None, warranty_ends: date | None
) -> date | None:
    """The last day on which the record must be kept; None where that never comes.

    `years` is what was set when the record was made. A warranty that has not begun is reckoned from the
    day of treatment. One that was made void counts all the same: its record is what would be asked for.
    """
    if warranty_ends is None and warranty_years is None:
        return None
    own = ends_on(treated_on, max(years or USUAL_YEARS, FEWEST_YEARS))
    warranty = warranty_ends or ends_on(treated_on, warranty_years)
    assert own is not None and warranty is not None
    return max(own, warranty)
