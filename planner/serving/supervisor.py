"""Keeps a few child processes alive: starts them in order, restarts what dies, stops them in reverse."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import FrameType

from planner.serving.leash import die_with_parent

LOOK_EVERY_S = 0.2
FIRST_PAUSE_S = 0.5
LONGEST_PAUSE_S = 60.0
# A child that lived this long was well: its next death counts as the first.
WELL_AFTER_S = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One child: what runs, how long it may take to end by itself, and what tells that it is ready."""

    name: str
    command: Sequence[str]
    stops_within_s: float
    files: Sequence[int] = ()
    ready: Callable[[], bool] | None = None


@dataclass(slots=True, kw_only=True)
class _Child:
    part: Part
    process: subprocess.Popen[bytes] | None = None
    began: float = 0.0
    deaths: int = 0
    start_at: float = 0.0


def pause_s(deaths: int) -> float:
    """How long a child stays down after so many deaths in a row [s].

    >>> [pause_s(deaths) for deaths in (1, 2, 3, 20)]
    [0.5, 1.0, 2.0, 60.0]
    """
    return min(FIRST_PAUSE_S * 2.0 ** min(max(deaths, 1) - 1, 10), LONGEST_PAUSE_S)


@dataclass(slots=True, kw_only=True)
class Supervisor:
    """Runs parts until it is told to stop.

    Children have sessions of their own, so that Ctrl-C reaches only the supervisor, and die with it by the kernel's
    hand if it is killed.
    """

    parts: Sequence[Part]
    say: Callable[[str], object]
    environment: Mapping[str, str]
    _children: list[_Child] = field(default_factory=list)
    _stopping: bool = False

    def run(self, on_ready: Callable[[], object]) -> None:
        """Start everything, call ``on_ready`` once all are ready, and keep it running until a signal comes."""
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, self._stop)
        self._children = [_Child(part=part) for part in self.parts]
        told = False
        try:
            while not self._stopping:
                ready = self._look_after_all()
                if ready and not told:
                    on_ready()
                    told = True
                time.sleep(LOOK_EVERY_S)
        finally:
            self.say("Stopping: work under way is brought to its end.")
            for child in reversed(self._children):
                _end(child)

    def _stop(self, _: int, __: FrameType | None) -> None:
        self._stopping = True

    def _look_after_all(self) -> bool:
        """Start what is down and may start; whether all are ready. A part waits for those before it."""
        for child in self._children:
            process = child.process
            if process is not None and process.poll() is not None:
                self._died(child, process)
            if child.process is None and time.monotonic() >= child.start_at:
                self._start(child)
            if child.process is None or not (child.part.ready is None or child.part.ready()):
                return False
        return True

    def _died(self, child: _Child, process: "subprocess.Popen[bytes]") -> None:
        lived_s = time.monotonic() - child.began
        child.deaths = 1 if lived_s > WELL_AFTER_S else child.deaths + 1
        wait_s = pause_s(child.deaths)
        child.process, child.start_at = None, time.monotonic() + wait_s
        self.say(f"The {child.part.name} ended ({_how(process.returncode)}); it starts again in {wait_s:g} s.")

    def _start(self, child: _Child) -> None:
        child.began = time.monotonic()
        child.process = subprocess.Popen(
            child.part.command,
            env=dict(self.environment),
            pass_fds=tuple(child.part.files),
            stdin=subprocess.DEVNULL,
            start_new_session=True,
            preexec_fn=die_with_parent if sys.platform.startswith("linux") else None,
        )


def _how(code: int) -> str:
    return f"signal {signal.Signals(-code).name}" if code < 0 else f"exit {code}"


def _end(child: _Child) -> None:
    """Ask a child to end, and end its whole session where it does not."""
    process = child.process
    if process is None or process.poll() is not None:
        return
    process.terminate()
    try:
        process.wait(timeout=child.part.stops_within_s)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
