"""Sentences of the command line."""

WORDS: dict[str, tuple[str, str]] = {
    "branch.none": (
        "There is no branch yet.",
        "Enter yours with: manage.py open_office FILE, or set up the demo company with: manage.py demo --no-serve.",
    ),
    "branch.unknown": ("There is no branch {slug}.", "Choose one of: {known}."),
    "branch.which": ("There is more than one branch.", "Say which with --branch: {known}."),
    "demo.not_demo_data": (
        "The data folder holds the branch {branch}, which is not the demo's.",
        "Choose another folder with --data-dir; nothing was changed.",
    ),
    "branch.not_yours": (
        "Your sign-in has no role in any branch yet.",
        "Ask the owner of your branch to give it one.",
    ),
    "branch.no_role_yet": (
        "Your sign-in has no role in any branch yet.",
        "Enter the office with: manage.py open_office FILE (fixtures/office/office.toml is one to copy). If there is a "
        "branch already, open the admin pages and add a membership that gives you a role in it.",
    ),
    "crew.unknown": ("There is no crew {name}.", "Choose one of: {known}."),
    "serve.port_taken": ("Port {port} on this machine is taken.", "Choose another with --port."),
    "serve.bad_host": ("This machine has no address {host}.", "Choose one with --host, such as 127.0.0.1."),
    "serve.no_redis": (
        "There is no Redis on this machine: neither the one that comes with Dry Window, nor redis-server on the path.",
        "Install redis-server, or set PLANNER_REDIS_URL to a Redis elsewhere.",
    ),
    "serve.long_folder": (
        "The path of the data folder {folder} is too long for a socket inside it.",
        "Choose a folder with a path of at most {longest} bytes with --data-dir, or set PLANNER_REDIS_URL.",
    ),
    "serve.already_running": (
        "The data folder {folder} is served already, by process {process}.",
        "Stop that one first, or choose another folder with --data-dir.",
    ),
    "serve.folder_not_ours": (
        "The data folder {folder} belongs to somebody else.",
        "Choose a folder of your own with --data-dir, or run as its owner.",
    ),
    "serve.redis_silent": (
        "Redis did not answer within {seconds} seconds.",
        "Read what it printed above; most often the disk is full or the data folder cannot be written.",
    ),
    "serve.database_away": (
        "The database has not answered since {since}: no page can be read, and nothing is planned or told meanwhile.",
        "Start it again, or correct PLANNER_DATABASE_URL, and see that its disk has room. What is stored stays, and "
        "the service goes on by itself.",
    ),
    "serve.database_behind": (
        "The database is empty or older than this program.",
        "Set it up with: manage.py migrate",
    ),
    "serve.took_too_long": (
        "The service did not come to an end within {minutes} minutes and was left.",
        "It is asked again by itself, after a longer pause each time.",
    ),
    "backup.exists": ("{path} exists already.", "Choose another file, or move that one away."),
    "backup.bad_folder": ("{path} cannot be written: {says}.", "Choose a file in a folder that exists and has room."),
    "backup.no_database": ("The data folder {folder} holds no database.", "Say which folder with --data-dir."),
    "backup.unreadable": ("{path} is no backup of Dry Window: {says}.", "Choose a file that manage.py backup wrote."),
    "backup.newer": (
        "The backup was made by a newer Dry Window, which knows {app} {migration}.",
        "Install at least that version here, then restore.",
    ),
    "backup.not_empty": (
        "The data folder {folder} is not empty.",
        "Choose an empty one with --data-dir, or add --replace: what is there is moved aside, not deleted.",
    ),
}
