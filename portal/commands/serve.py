"""`python3 -m portal serve`: the portal on a production WSGI server, with the worker beside it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


def run(arguments: Sequence[str]) -> int:
    """Serve until stopped. Settings come from SILLBOOK_*; what is missing is said."""
    parser = argparse.ArgumentParser(prog="python3 -m portal serve", description=__doc__)
    parser.add_argument("--host", default="127.0.0.1", help="the address to listen on (127.0.0.1)")
    parser.add_argument("--port", type=int, default=8000, help="the port to listen on (8000)")
    parser.add_argument("--threads", type=int, default=8, help="requests answered at once (8)")
    asked = parser.parse_args(arguments)

    import waitress

    from portal import create_app, wiring
    from portal.settings import BadSettings, from_environment
    from portal.store import migrate

    try:
        settings = from_environment()
    except BadSettings as bad:
        print(bad, file=sys.stderr)
        return 2
    if not migrate.is_current(settings.database):
        print("The database is not at its newest edition. Run: python3 -m portal migrate", file=sys.stderr)
        return 2
    parts = wiring.build(settings)
    server = waitress.create_server(
        create_app(settings, parts), host=asked.host, port=asked.port, threads=asked.threads
    )
    print(f"Sillbook is ready at http://{asked.host}:{asked.port}/", flush=True)
    worker = wiring.worker_for(settings, parts) if settings.worker else None
    if worker:
        worker.start()
    server.run()  # comes back when the process is asked to end
    if worker:
        worker.stop()
    return 0
