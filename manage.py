#!/usr/bin/env python
"""The command line of the planner: ``manage.py help`` lists what it can do."""

import os
import sys

from django.core.management import execute_from_command_line


def data_folder(arguments: list[str]) -> str:
    """The folder given as ``--data-dir``, which settings must know before any command runs; empty if none."""
    for at, word in enumerate(arguments):
        if word == "--data-dir" and at + 1 < len(arguments):
            return arguments[at + 1]
        if word.startswith("--data-dir="):
            return word.partition("=")[2]
    return ""


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "planner.settings.local")
    folder = data_folder(sys.argv)
    if folder:
        os.environ["PLANNER_DATA_DIR"] = folder
    execute_from_command_line(sys.argv)
