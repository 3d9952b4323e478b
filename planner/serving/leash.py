"""No process outlives the one that started it, however that one ends."""

import ctypes
import os
import signal
import sys
from typing import Any

from celery.signals import beat_embedded_init, worker_process_init

_PR_SET_PDEATHSIG = 1


def die_with_parent(with_signal: int = signal.SIGKILL) -> None:
    """Have the kernel send this process a signal when its parent dies; on Linux, elsewhere nothing.

    To be called in the child. A parent that died before the call is not noticed by the kernel: then the child ends
    at once.
    """
    if not sys.platform.startswith("linux"):
        return
    parent = os.getppid()
    ctypes.CDLL(None, use_errno=True).prctl(_PR_SET_PDEATHSIG, with_signal, 0, 0, 0)
    if os.getppid() != parent or parent == 1:
        os._exit(1)


@worker_process_init.connect
@beat_embedded_init.connect
def _follow_the_worker(**_: Any) -> None:
    # A killed worker would leave its pool and its timer behind: two timers after the restart.
    die_with_parent()
