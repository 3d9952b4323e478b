"""Several workers that send at once from one SQLite file: every message goes out once, and none is left."""

import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

from tests.crews.conftest import NOW
from tests.crews.mailbox import Mailbox, mail_server

ROOT = Path(__file__).parents[3]
MESSAGES = 40
WORKERS = 3
FILL = f"""
import django; django.setup()
from django.core.management import call_command
for app in ("jobs", "crews"):
    call_command("migrate", app, verbosity=0)
from crews.domain.reachable import Reachable
from crews.services.outbox import post
from tests.crews.conftest import NOW, make_branch
branch = make_branch("north")
for number in range({MESSAGES}):
    person = Reachable(key=f"crew:{{number}}", name="A foreman", mail=f"foreman{{number}}@example.org")
    post(branch=branch, fact="plan:7", person=person, subject="Pour moves", body="To Friday.", now=NOW)
"""


def test_each_message_goes_out_once(tmp_path: Path) -> None:
    mailbox, data = Mailbox(), tmp_path / "planner.sqlite3"
    with mail_server(mailbox) as mail:
        env = {
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "planner.settings.base",
            "PLANNER_SECRET_KEY": "only-for-tests-" + "0" * 50,
            "PLANNER_DATA_DIR": str(tmp_path),
            "PLANNER_DATABASE_URL": f"sqlite:///{data}",
            "PLANNER_MAIL_URL": mail,
            "PLANNER_MAIL_FROM": "office@example.org",
        }
        subprocess.run([sys.executable, "-c", FILL], cwd=ROOT, env=env, check=True, timeout=120)
        start = tmp_path / "start"
        rounds = [
            subprocess.Popen(
                [sys.executable, "-m", "tests.crews.services.one_round", NOW.isoformat(), str(start)],
                cwd=ROOT,
                env=env,
                stdout=subprocess.PIPE,
            )
            for _ in range(WORKERS)
        ]
        assert [one.stdout.readline() for one in rounds if one.stdout] == [b"ready\n"] * WORKERS
        start.touch()
        done = [json.loads(one.communicate(timeout=120)[0]) for one in rounds]
    assert [one.returncode for one in rounds] == [0] * WORKERS
    assert sum(one["sent"] for one in done) == MESSAGES
    assert len(mailbox.ids) == len(set(mailbox.ids)) == MESSAGES
    with sqlite3.connect(data) as rows:
        assert rows.execute("select state, attempts, count(*) from crews_message group by 1, 2").fetchall() == [
            ("sent", 1, MESSAGES)
        ]
