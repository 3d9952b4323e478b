"""Settings of one machine: one data folder that keeps its own key (file 0600, folder 0700)."""

import os
import secrets

from planner.settings.base import *  # noqa: F403
from planner.settings.base import DATA_DIR, PLANNER_AS_OF, STATIC_ROOT, as_moment


def kept_key() -> str:
    """The secret key of this data folder; made once, readable by its owner only."""
    DATA_DIR.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = DATA_DIR / "secret_key"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text()
    with os.fdopen(handle, "w") as file:
        file.write(secrets.token_urlsafe(50))
    return path.read_text()


# WhiteNoise wants the folder to be there, also while files come from the packages.
STATIC_ROOT.mkdir(mode=0o700, parents=True, exist_ok=True)
SECRET_KEY = os.environ.get("PLANNER_SECRET_KEY") or kept_key()

# The demo pins the clock of its folder; PLANNER_AS_OF wins over it.
if PLANNER_AS_OF is None and (DATA_DIR / "clock").exists():
    PLANNER_AS_OF = as_moment((DATA_DIR / "clock").read_text())
