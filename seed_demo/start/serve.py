"""The inner half of `python3 -m seed_demo`: migrate, load what is not there yet, serve, say where.

Runs inside the environment. The port is taken before anything else is done, so
that a port in use is known at once and not after a minute of loading.
"""

from __future__ import annotations

import os
import secrets
import socket
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from alembic.util import CommandError

from portal.settings import Settings, from_environment
from portal.store import migrate
from seed_demo.start.command import ROOT, arguments
from seed_demo.start.place import Place, held
from seed_demo.start.telling import CannotStart, tell

if TYPE_CHECKING:
    from portal.acts.parts import Parts

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
        try:
            migrate.upgrade(settings_for(place.data, address).database)
        except CommandError as why:
            # The data was loaded by a newer edition of the code, whose migrations this one does not know.
            raise CannotStart(
                f"The demo's data does not fit this code ({why}); --fresh loads it anew."
            ) from why
        if (was := (place.data / "address").read_text()) != address:
            tell(f"Letters and papers of this demo carry links to {was}; --fresh makes them fit {address}.")
    else:
        tell("Loading the demo; this is done once.")
        place.fill(lambda folder: load(folder, address))


def load(folder: Path, address: str) -> None:
    """Fill an empty folder with a database, its papers and a secret of its own."""
    from seed_demo import scenario

    (folder / "secret").write_text(secrets.token_urlsafe(48))
    (folder / "address").write_text(address)
    settings = settings_for(folder, address, worker="off")
    migrate.upgrade(settings.database)
    scenario.load(settings)


def settings_for(folder: Path, address: str, worker: str = "on") -> Settings:
    """Tell the portal where the demo lives, as any installation does, by SILLBOOK_* settings: ours only."""
    return from_environment(
        {
            "SILLBOOK_DATABASE": f"sqlite:///{folder / 'sillbook.db'}",
            "SILLBOOK_BLOBS": str(folder / "papers"),
            "SILLBOOK_SECRET": (folder / "secret").read_text(),
            "SILLBOOK_BASE_URL": address,
            "SILLBOOK_DEMO": "on",
            "SILLBOOK_WORKER": worker,
            "SILLBOOK_SUMMARIES": "on",
        }
    )


def serve(place: Place, door: socket.socket, address: str) -> None:
    """Serve until somebody presses Ctrl-C. Prints the sign-ins once the door is open."""
    import waitress

    from portal import create_app, wiring

    settings = settings_for(place.data, address)
    parts = wiring.build(settings)
    app = create_app(settings, parts)
    server = waitress.create_server(app, sockets=[door], threads=8)
    place.says(f"{address} is served by process {os.getpid()}")
    worker = wiring.worker_for(settings, parts)
    with suppress(KeyboardInterrupt):
        worker.start()
        tell(sign_ins(parts, address))
        server.run()
    worker.stop()
    tell("\nStopped. The data is kept; start again to go on.")


def sign_ins(parts: Parts, address: str) -> str:
    """The four kinds of user, each with a link and how to sign in, as aligned lines."""
    from seed_demo import scenario

    rows = [("", "Who", "Sign-in", "Password", "Link")]
    rows += [
        (kind, name, email or "none needed", password or "-", address + path)
        for kind, name, email, password, path in scenario.sign_ins(parts)
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    lines = ["  ".join([*map(str.ljust, row, widths), row[4]]) for row in rows]
    return "\n".join(
        ["", f"Sillbook is ready at {address}/", "", *lines, "", "Stop it with Ctrl-C; the data is kept."]
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
