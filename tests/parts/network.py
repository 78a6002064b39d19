"""Tests reach this machine and nothing else: a look-up or a connection further out is an error."""

from __future__ import annotations

import ipaddress
import socket
import sys
from typing import Any


class ReachedOut(RuntimeError):
    """A test tried to talk to the world; the text names the address."""


def close_the_way_out() -> None:
    """From now on, and for the rest of this process, only loopback can be reached.

    An audit hook sees every socket of the interpreter, whichever library opened
    it, and cannot be taken away again by a test.
    """
    sys.addaudithook(_watch)


def _watch(event: str, about: tuple[Any, ...]) -> None:
    if event in ("socket.connect", "socket.sendto"):
        address = about[1]
        if isinstance(address, tuple) and not is_near(address[0]):
            raise ReachedOut(f"{event} to {address[0]}")
    elif event in ("socket.getaddrinfo", "socket.gethostbyname") and not is_near(about[0]):
        raise ReachedOut(f"{event} of {about[0]}")


def is_near(host: object) -> bool:
    """Whether a host as given to a socket is this machine itself."""
    name = host.decode() if isinstance(host, bytes) else host
    # A mailer greets with this machine's own name, and looks it up for that.
    if name in (None, "", "localhost", "0.0.0.0", "::", socket.gethostname()):
        return True
    try:
        return ipaddress.ip_address(str(name).partition("%")[0]).is_loopback
    except ValueError:
        return False
