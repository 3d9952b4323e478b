"""The process that plans one trial and ends, on time whatever happens.

python -m planner.plans.trials.child TRIAL
"""

import os
import sys
from threading import Timer

import django

from jobs.words import sentence_for


def main() -> None:
    """Plan the trial named; a search that does not end is ended, and the trial says so."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "planner.settings.local")
    django.setup()
    # Models can be imported only now.
    from planner.plans.trials.services import LIMIT_SECONDS, close, plan_trial  # noqa: PLC0415

    trial_id = int(sys.argv[1])

    def end() -> None:
        close(trial_id=trial_id, says=" ".join(sentence_for("trials.out_of_time", {"seconds": LIMIT_SECONDS})))
        os._exit(1)

    watch = Timer(LIMIT_SECONDS, end)
    watch.daemon = True
    watch.start()
    os.nice(5)
    try:
        plan_trial(trial_id=trial_id)
    except Exception:
        close(trial_id=trial_id, says=" ".join(sentence_for("trials.broke_off", {})))
        raise


if __name__ == "__main__":
    main()
