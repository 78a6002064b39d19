"""Amounts, feet, days and times as people read them, in any locale; pages, papers and letters share it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from decimal import Decimal
from typing import Any

from babel.dates import format_date, format_skeleton, format_time
from babel.numbers import format_currency, format_decimal

from portal.core.cover.promised import kept_terms
from portal.core.money.amount import rounded
from portal.core.money.interest import interest_words
from portal.core.money.terms_entered import billing_said
from portal.core.words import Amount, Said


def english(one: str, many: str, count: int) -> str:
    """The form that goes with a count where no catalog knows better."""
    return one if count == 1 else many


def _minus(text: str) -> str:
    """With a minus where Babel writes a hyphen: as wide as a plus, and it breaks no line."""
    return text.replace("-", "−")


@dataclass(frozen=True, slots=True)
class Formats:
    """How one reader reads: a locale (as Babel names it, en_US), the office's zone, a catalog's lookups."""

    locale: str
    zone: tzinfo
    translate: Callable[[str], str]
    plural: Callable[[str, str, int], str] = english

    @property
    def language(self) -> str:
        """The language tag of pages, papers and letters: en-US."""
        return self.locale.replace("_", "-")

    def money(self, amount: Decimal | str | None, currency: str = "USD") -> str:
        """$1,234.50, −$24.00; nothing for None."""
        if amount is None or amount == "":
            return ""
        return _minus(format_currency(Decimal(amount), currency, locale=self.locale))

    def rate(self, amount: Decimal | str | None, currency: str = "USD") -> str:
        """A price of one, which may have parts of a cent: $1.20, $0.853; nothing for None."""
        if amount is None or amount == "":
            return ""
        shown = format_currency(Decimal(amount), currency, locale=self.locale, decimal_quantization=False)
        return _minus(shown)

    def whole_money(self, amount: Decimal, currency: str = "USD") -> str:
        """$1,235: beside a drawing, where the cents stand in a table."""
        form = "¤#,##0"
        shown = format_currency(
            rounded(amount, 0), currency, format=form, locale=self.locale, currency_digits=False
        )
        return _minus(shown)

    def short_day(self, value: date | None) -> str:
        """Mar 9: beside a drawing, where the year is known."""
        return format_skeleton("MMMd", value, locale=self.locale) if value else ""

    def money_or_dash(self, amount: Decimal) -> str:
        """An amount in a table where most are nothing."""
        return self.money(amount) if amount else "–"

    def number(self, value: Decimal | str | int, places: int = 2) -> str:
        """A figure with so many places at most: 296, 2.96, 1,250.5."""
        pattern = "#,##0" + ("." + "#" * places if places else "")
        return self._decimal(value, places, pattern)

    def fixed(self, value: Decimal | str | int, places: int = 2) -> str:
        """A figure with exactly so many places, for columns: 296.00."""
        pattern = "#,##0" + ("." + "0" * places if places else "")
        return self._decimal(value, places, pattern)

    def hours(self, value: Decimal | str | int) -> str:
        """Hours with both their places, wherever they stand: 4.40 (the unit is the template's)."""
        return self.fixed(value)

    def _decimal(self, value: Decimal | str | int, places: int, pattern: str) -> str:
        # Rounded by the house's rule first: Babel's own goes to the even neighbor.
        return _minus(format_decimal(rounded(Decimal(value), places), format=pattern, locale=self.locale))

    def day(self, value: date | str | None, form: str = "medium") -> str:
        """Mar 9, 2027; a text is read as ISO 8601; nothing for None."""
        if not value:
            return ""
        if isinstance(value, str):
            value = date.fromisoformat(value)
        return format_date(value, form, locale=self.locale)

    def weekday(self, value: date | str | None) -> str:
        """Tue, Mar 9."""
        if not value:
            return ""
        if isinstance(value, str):
            value = date.fromisoformat(value)
        return format_date(value, "EEE, MMM d", locale=self.locale)

    def moment(self, value: datetime | None) -> str:
        """Mar 9, 2027, 8:40 AM, where the office is."""
        return f"{self.day(value.astimezone(self.zone).date())}, {self.clock(value)}" if value else ""

    def clock(self, value: datetime | None) -> str:
        """8:40 AM, where the office is."""
        return format_time(value, "short", tzinfo=self.zone, locale=self.locale) if value else ""

    def told(self, said: Said | str) -> str:
        """A sentence of the core in the reader's language, days and times as the pages show them."""
        if isinstance(said, str):
            return said
        values = {key: self._value(value) for key, value in said.values.items()}
        return self.translate(said.template).format(**values)

    def _value(self, value: Any) -> Any:
        if isinstance(value, Said):
            return self.told(value)
        if isinstance(value, date):
            return self.day(value)
        if isinstance(value, Amount):
            return self.money(value.amount, value.currency)
        return format_time(value, "short", locale=self.locale) if isinstance(value, time) else value

    def percent(self, value: Decimal | str) -> str:
        """8.25 (the sign is the template's)."""
        return self.number(value, 4)

    def filters(self) -> dict[str, Callable[..., Any]]:
        """All of these, by the names templates use."""
        names = (
            "money", "rate", "number", "fixed", "hours", "day", "weekday", "moment", "clock", "told",
            "percent",
        )  # fmt: skip
        return {name: getattr(self, name) for name in names} | {
            "kept_terms": kept_terms,
            "billing_said": billing_said,
            "interest_words": interest_words,
            "money_or_dash": self.money_or_dash,
        }
