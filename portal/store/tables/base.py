"""The base of every table, and the column types that keep amounts and moments exact."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import BigInteger, DateTime, Dialect, MetaData, String
from sqlalchemy.orm import DeclarativeBase, mapped_column
from sqlalchemy.types import JSON, TypeDecorator


class Cents(TypeDecorator[Decimal]):
    """An amount of money, kept as whole cents: SQLite has no exact decimals."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> int | None:
        if value is None:
            return None
        scaled = value * 100
        if scaled != scaled.to_integral_value():
            raise ValueError(f"{value} is not an amount to the cent")
        return int(scaled)

    def process_result_value(self, value: int | None, dialect: Dialect) -> Decimal | None:
        return None if value is None else Decimal(value).scaleb(-2)


class Moment(TypeDecorator[datetime]):
    """An aware moment, kept in UTC; SQLite would otherwise drop the zone."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without a zone")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class Base(DeclarativeBase):
    """Constraint names are fixed, so that migrations can name what they change on both databases."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map = {
        Decimal: Cents,
        datetime: Moment,
        dict[str, Any]: JSON,
        list[Any]: JSON,
    }


def key() -> Any:
    """A primary key made by the id maker: 20 characters, not guessable, never reused."""
    return mapped_column(String(20), primary_key=True)
