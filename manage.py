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


def without_data_folder(arguments: list[str]) -> list[str]:
    """The arguments as a command that knows no ``--data-dir`` takes them."""
    kept, words = [], iter(arguments)
    for word in words:
        if word == "--data-dir":
            next(words, None)
        elif not word.startswith("--data-dir="):
            kept.append(word)
    return kept


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "planner.settings.local")
    folder = data_folder(sys.argv)
    if folder:
        os.environ["PLANNER_DATA_DIR"] = folder
    elif without_data_folder(sys.argv) != sys.argv:
        sys.exit("--data-dir needs a folder. Write it after it: --data-dir data")
    execute_from_command_line(without_data_folder(sys.argv))
