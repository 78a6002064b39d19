"""The demo of one steady day: loaded once a run, copied for each test, with a clock to turn."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from flask import Flask

from portal import create_app, wiring
from portal.acts import desk, people, sheet
from portal.acts.parts import Actor, Parts
from portal.passwords import Passwords
from portal.settings import Settings
from portal.store import migrate
from portal.store.reads import LotFilter
from seed_demo import scenario
from tests.parts.house import QUICK_HASHER, Clock

#: A Tuesday. The demo ends on the evening before it.
DAY = date(2027, 5, 4)
SECRET = "invented " * 5


def settings_in(folder: Path, **changes: Any) -> Settings:
    """The settings of a demo in a folder."""
    known: dict[str, Any] = {
        "database": f"sqlite:///{folder / 'sillbook.db'}", "blobs": folder / "papers", "secret": SECRET,
        "base_url": "http://127.0.0.1", "demo": True, "worker": False,
    }  # fmt: skip
    return Settings(**known | changes)


def load_demo(folder: Path, **changes: Any) -> Settings:
    """Load the demo of that day into an empty folder."""
    settings = settings_in(folder, **changes)
    migrate.upgrade(settings.database)
    scenario.load(settings, DAY)
    return settings


@dataclass(frozen=True)
class Demo:
    """The demo's parts and its application; it is ten in the morning of its day until the clock is turned."""

    settings: Settings
    parts: Parts
    clock: Clock

    def app(self) -> Flask:
        """The application as it is served: forms need their tokens."""
        return create_app(self.settings, self.parts)

    def person(self, name: str) -> Actor:
        """Somebody of the demo, by the first name."""
        found = [one for one in people.demo_people(self.parts) if one.name.split()[0] == name]
        return people.actor_by_email(self.parts, found[0].email)

    def lot(self, number: int) -> str:
        """The id of a lot, by its number in the story."""
        rows = desk.list_lots(self.parts, self.person("Odile"), LotFilter()).rows
        return next(row.id for row in rows if row.name == f"Lot {number}")

    def stop(self, number: int) -> str:
        """The path of a lot's stop."""
        job = sheet.sheet(self.parts, self.person("Odile"), self.lot(number)).job
        assert job is not None
        return f"/stops/{job.id}"

    def record(self, number: int) -> str:
        """The path of a lot's warranty record, as its homeowner has it."""
        warranty = sheet.sheet(self.parts, self.person("Odile"), self.lot(number)).warranty
        assert warranty is not None
        return warranty.link.removeprefix(self.settings.base_url)

    def sign_in(self, name: str) -> str:
        """The token of an open sign-in."""
        person = self.person(name)
        assert person.person_id
        return people.demo_sign_in(self.parts, person.person_id)


def open_demo(settings: Settings) -> Demo:
    """The demo that was loaded into a folder."""
    clock = Clock(datetime.combine(DAY, time(10), tzinfo=ZoneInfo(settings.zone)))
    parts = wiring.build(settings, clock)
    return Demo(settings, replace(parts, passwords=Passwords(QUICK_HASHER)), clock)


@pytest.fixture(scope="session")
def loaded_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a demo as it was loaded. Copy it, or only look."""
    folder = tmp_path_factory.mktemp("demo")
    load_demo(folder)
    return folder


@pytest.fixture
def new_demo(loaded_demo: Path, tmp_path: Path, request: pytest.FixtureRequest) -> Callable[..., Demo]:
    """Opens a copy of the demo, with other settings where they are given, and closes it after the test."""

    def make(**changes: Any) -> Demo:
        shutil.copytree(loaded_demo, tmp_path / "demo")
        opened = open_demo(settings_in(tmp_path / "demo", **changes))
        request.addfinalizer(opened.parts.store.engine.dispose)
        return opened

    return make


@pytest.fixture
def demo(new_demo: Callable[..., Demo]) -> Demo:
    """A copy of the demo."""
    return new_demo()
