"""The inner half of `python3 -m seed_demo`: migrate, load what is not there yet, serve, say where.

Runs inside the environment. The port is taken before anything else is done, so
that a port in use is known at once and not after a minute of loading.
"""

from __future__ import annotations

import os
import secrets
import socket
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from seed_demo.start.command import ROOT, arguments
from seed_demo.start.place import Place, held
from seed_demo.start.telling import CannotStart, tell

if TYPE_CHECKING:
    from portal.settings import Settings

HOST = "127.0.0.1"


def main(argv: list[str]) -> int:
    """Start the demo; gives the exit code."""
    asked = arguments().parse_args(argv)
    try:
        with held(ROOT / ".demo") as place:
            door = None if asked.no_serve else take_port(asked.port)
            address = f"http://{HOST}:{door.getsockname()[1] if door else asked.port}"
            make_ready(place, address, fresh=asked.fresh)
            if door is None:
                tell(f"Ready. Nothing is served; the data is in {place.data.relative_to(ROOT)}.")
            else:
                serve(place, door, address)
    except CannotStart as why:
        print(why, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped. The data is kept; start again to go on.", file=sys.stderr)
        return 130
    return 0


def take_port(port: int) -> socket.socket:
    """A listening socket on this machine's own address; raises CannotStart where the port is taken."""
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((HOST, port))
        door.listen(128)
    except (OSError, OverflowError) as why:
        door.close()
        raise CannotStart(
            f"Port {port} of {HOST} cannot be used ({getattr(why, 'strerror', None) or why}). "
            f"Try another: python3 -m seed_demo --port {8001 if port != 8001 else 8002}"
        ) from None
    return door


def make_ready(place: Place, address: str, *, fresh: bool) -> None:
    """Tables at their newest edition and the demo loaded; data that is complete is kept."""
    if fresh:
        place.clear()
    if place.data.exists():
        set_environment(place.data, address)
        _migrate()
        return
    tell("Loading the demo; this is done once.")

    def load(folder: Path) -> None:
        from seed_demo import scenario

        (folder / "secret").write_text(secrets.token_urlsafe(48))
        set_environment(folder, address)
        _migrate()
        scenario.load(_settings())

    place.fill(load)


def set_environment(folder: Path, address: str) -> None:
    """Tell the portal where the demo lives, the way any installation tells it: by SILLBOOK_* settings."""
    stray = [name for name in os.environ if name.startswith("SILLBOOK_")]
    for name in stray:
        del os.environ[name]
    os.environ |= {
        "SILLBOOK_DATABASE": f"sqlite:///{folder / 'sillbook.db'}",
        "SILLBOOK_FILES": str(folder / "files"),
        "SILLBOOK_SECRET": (folder / "secret").read_text(),
        "SILLBOOK_ADDRESS": address,
        "SILLBOOK_DEMO": "1",
    }


def serve(place: Place, door: socket.socket, address: str) -> None:
    """Serve until somebody presses Ctrl-C. Prints the sign-ins once the door is open."""
    import waitress

    from portal import create_app, wiring

    set_environment(place.data, address)
    settings = _settings()
    app = create_app(settings, wiring.build(settings))
    server = waitress.create_server(app, sockets=[door], threads=8)
    place.says(f"{address} is served by process {os.getpid()}")
    tell(sign_ins(address))
    server.run()


def sign_ins(address: str) -> str:
    """The four kinds of user, each with a link and how to sign in, as aligned lines."""
    from seed_demo import scenario

    rows = [("", "Who", "Sign-in", "Password", "Link")]
    rows += [
        (kind, name, email or "none needed", password or "-", address + path)
        for kind, name, email, password, path in scenario.sign_ins()
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    lines = ["  ".join([*map(str.ljust, row, widths), row[4]]) for row in rows]
    return "\n".join(
        ["", f"Sillbook is ready at {address}/", "", *lines, "", "Stop it with Ctrl-C; the data is kept."]
    )


def _settings() -> Settings:
    from portal.settings import from_environment

    return from_environment()


def _migrate() -> None:
    from portal.store import migrate

    migrate.upgrade(os.environ["SILLBOOK_DATABASE"])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
