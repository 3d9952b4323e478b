"""Prints where the checked numbers come from, at the end of a run."""

import pytest

from tests.jobs.science.counting import table_lines


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    terminalreporter.section("rows of worked examples by source")
    for line in table_lines():
        terminalreporter.write_line(line)
