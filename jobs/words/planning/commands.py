"""Sentences of the command line."""

WORDS: dict[str, tuple[str, str]] = {
    "branch.none": (
        "There is no branch yet.",
        "Set up the demo company with: manage.py demo --no-serve, or enter your own in the admin pages.",
    ),
    "branch.unknown": ("There is no branch {slug}.", "Choose one of: {known}."),
    "branch.which": ("There is more than one branch.", "Say which with --branch: {known}."),
    "demo.not_demo_data": (
        "The data folder holds the branch {branch}, which is not the demo's.",
        "Choose another folder with --data-dir; nothing was changed.",
    ),
    "crew.unknown": ("There is no crew {name}.", "Choose one of: {known}."),
    "serve.port_taken": ("Port {port} on this machine is taken.", "Choose another with --port."),
}
