#!/usr/bin/env python
"""The command line of the planner: ``manage.py help`` lists what it can do."""

import os
import sys

from django.core.management import execute_from_command_line

# What a shell reports of a program whose reader closed the pipe: 128 + SIGPIPE.
READER_GONE = 141


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


def run(arguments: list[str]) -> None:
    """Run a command; whoever read its words (head, less) may have read enough."""
    try:
        try:
            execute_from_command_line(arguments)
        finally:
            sys.stdout.flush()
    except BrokenPipeError as closed:
        # Nothing may be written at the end of the program either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(READER_GONE) from closed


if __name__ == "__main__":
    # Whatever a command writes is for its owner: owners' names, codes of gates, keys; in a folder open to others too.
    os.umask(0o077)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "planner.settings.local")
    folder = data_folder(sys.argv)
    if folder:
        os.environ["PLANNER_DATA_DIR"] = folder
    elif without_data_folder(sys.argv) != sys.argv:
        sys.exit("--data-dir needs a folder. Write it after it: --data-dir data")
    run(without_data_folder(sys.argv))
