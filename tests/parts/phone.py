"""A technician's phone: Chromium with a profile of its own on the disk, killed and started again."""

from __future__ import annotations

import os
import signal
import time
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, BrowserType, Error, Page, expect

from seed_demo.start.native import find_browser
from tests.parts.browser import ARGUMENTS, PHONE
from tests.parts.house import PASSWORD, ZONE


class Phone:
    """Signed in once, then offline or not; what it shows after a kill is what it kept."""

    def __init__(self, chromium: BrowserType, profile: Path, base: str, moment: datetime) -> None:
        self.chromium, self.profile, self.base, self.moment = chromium, profile, base, moment
        self.offline = False
        self.context: BrowserContext | None = None
        self.devtools: Any = None
        self.start()

    def start(self) -> None:
        """Open the browser on its profile, in the state of signal it was left in."""
        self.context = self.chromium.launch_persistent_context(
            self.profile, executable_path=find_browser(), args=ARGUMENTS, viewport=PHONE, base_url=self.base,
            locale="en-US", timezone_id="America/New_York",
        )  # fmt: skip
        self.context.set_default_timeout(15_000)
        self.context.set_offline(self.offline)
        self.context.clock.set_fixed_time(self.moment)
        self.page = self.context.pages[0] if self.context.pages else self.context.new_page()

    def pids(self) -> list[int]:
        """The browser's own processes: those that were started on this profile."""
        found = []
        for folder in Path("/proc").iterdir():
            if folder.name.isdigit():
                with suppress(OSError):
                    words = (folder / "cmdline").read_bytes().split(b"\0")
                    if f"--user-data-dir={self.profile}".encode() in words:
                        found.append(int(folder.name))
        return found

    def kill(self) -> None:
        """Kill it, as a phone dies that was dropped: nothing is written any more."""
        for pid in self.pids():
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        for _ in range(100):
            if not self.pids():
                break
            time.sleep(0.05)
        with suppress(Error):
            assert self.context is not None
            self.context.close()
        self.context = None

    def close(self) -> None:
        """Close it in good order."""
        if self.context is not None:
            with suppress(Error):
                self.context.close()

    def no_signal(self, offline: bool = True) -> None:
        """Lose the signal, or find it again."""
        self.offline = offline
        assert self.context is not None
        self.context.set_offline(offline)

    def turn_to(self, hour: int, minute: int = 0) -> None:
        """Put the phone's clock to a time of its day where the office is."""
        day = self.moment.astimezone(ZONE)
        self.moment = day.replace(hour=hour, minute=minute, second=0)
        assert self.context is not None
        self.context.clock.set_fixed_time(self.moment)

    def sign_in(self, email: str) -> None:
        """Through the form; ends on My stops."""
        self.page.goto("/sign-in")
        self.page.get_by_label("Mail address").fill(email)
        self.page.get_by_label("Password").fill(PASSWORD)
        self.page.get_by_role("button", name="Sign in").click()

    def make_ready(self, email: str, words: str = "Ready for no signal: 1 stop.") -> None:
        """Sign in, and wait until My stops says that the stops are kept."""
        self.sign_in(email)
        expect(self.page.locator("#ready")).to_have_text(words)

    def open(self, job: str) -> Page:
        """Open a stop; it is ready once what is kept stands in it."""
        self.page.goto(f"/stops/{job}")
        self.page.wait_for_selector("html[data-kept]")
        return self.page

    def says(self) -> str:
        """What stands in the line of the signal."""
        return " ".join(self.page.locator("#signal").inner_text().split())

    def send(self) -> None:
        """Say to the page that the signal is back, as the browser does of itself once it is."""
        self.no_signal(False)
        self.page.evaluate("dispatchEvent(new Event('online'))")

    def stored(self, store: str) -> list[dict[str, Any]]:
        """What is kept on the phone, as it is kept."""
        found: list[dict[str, Any]] = self.page.evaluate(
            """name => new Promise((resolve, reject) => {
              const asked = indexedDB.open("sillbook-field");
              asked.onerror = () => reject(asked.error);
              asked.onsuccess = () => {
                const all = asked.result.transaction(name).objectStore(name).getAll();
                all.onsuccess = () => resolve(all.result.map(one => ({ ...one, blob: undefined })));
                all.onerror = () => reject(all.error);
              };
            })""",
            store,
        )
        return found
