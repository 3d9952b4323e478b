"""Serves the pages with a production web server; never Django's development one."""

import socket
from collections.abc import Callable

import waitress

from jobs.domain.errors import CannotDo
from planner.wsgi import application

LOOPBACK = "127.0.0.1"
THREADS = 8


def serve_on_loopback(*, port: int, say: Callable[[str], object], sign_in: str) -> None:
    """Serve on this machine only until interrupted.

    Raises
    ------
    CannotDo
        ``serve.port_taken``.
    """
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((LOOPBACK, port))
    except OSError as error:
        listener.close()
        raise CannotDo("serve.port_taken", field="--port", port=port) from error
    say(f"\nThe pages are at http://{LOOPBACK}:{listener.getsockname()[1]}/ (on this machine only; Ctrl-C stops them).")
    say(sign_in)
    waitress.serve(application, sockets=[listener], threads=THREADS, ident=None)
