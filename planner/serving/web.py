"""Serves the pages with a production web server; never Django's development one."""

import socket
import sys
from collections.abc import Callable

import waitress

from jobs.domain.errors import CannotDo

LOOPBACK = "127.0.0.1"
THREADS = 8


def listen(host: str, port: int) -> socket.socket:
    """A socket bound to an address; port 0 takes any free one.

    Raises
    ------
    CannotDo
        ``serve.port_taken``; ``serve.bad_host`` where this machine has no such address.
    """
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        family, kind, protocol, _, address = found[0]
    except OSError as error:
        raise CannotDo("serve.bad_host", field="--host", host=host) from error
    listener = socket.socket(family, kind, protocol)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind(address)
    except OSError as error:
        listener.close()
        raise CannotDo("serve.port_taken", field="--port", port=port, host=host) from error
    listener.listen(128)
    return listener


def address_of(listener: socket.socket) -> str:
    """What to type into a browser."""
    host, port = listener.getsockname()[:2]
    return f"http://{f'[{host}]' if ':' in host else host}:{port}/"


def serve_on(listener: socket.socket) -> None:
    """Serve until the process is told to end."""
    # Made for serving only: whoever asks for the address of a listener needs no application.
    from planner.wsgi import application  # noqa: PLC0415

    waitress.serve(application, sockets=[listener], threads=THREADS, ident=None)


def serve_on_loopback(*, port: int, say: Callable[[str], object], sign_in: str) -> None:
    """Serve on this machine only until interrupted.

    Raises
    ------
    CannotDo
        ``serve.port_taken``.
    """
    listener = listen(LOOPBACK, port)
    say(f"\nThe pages are at {address_of(listener)} (on this machine only; Ctrl-C stops them).")
    say(sign_in)
    serve_on(listener)


if __name__ == "__main__":
    from planner.serving.leash import die_with_parent

    die_with_parent()
    serve_on(socket.socket(fileno=int(sys.argv[1])))
