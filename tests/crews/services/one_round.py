"""One worker's round of sending, as a process of its own: ``python -m ... <moment> <file that starts it>``."""

import json
import sys
import time
from datetime import datetime
from pathlib import Path

import django


def main(moment: str, start: str) -> None:
    django.setup()
    from crews.services.outbox import deliver_due  # noqa: PLC0415 - rows need the set-up above

    print("ready", flush=True)
    while not Path(start).exists():
        time.sleep(0.01)
    done = deliver_due(now=datetime.fromisoformat(moment), limit=100)
    print(json.dumps({"sent": done.sent, "put_off": done.put_off, "dead": done.dead}))


if __name__ == "__main__":
    main(*sys.argv[1:])
