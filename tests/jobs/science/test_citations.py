"""Every source that a formula of air, evaporation or heat names is in the list of sources."""

import inspect
import re
from types import ModuleType

import pytest

from jobs.science import evaporation, heat, psychrometrics
from jobs.science.sources import SOURCES


@pytest.mark.parametrize("module", [evaporation, heat, psychrometrics], ids=lambda module: module.__name__)
def test_named_sources_are_listed(module: ModuleType) -> None:
    functions = [
        member
        for name, member in inspect.getmembers(module, inspect.isfunction)
        if member.__module__ == module.__name__ and not name.startswith("_")
    ]
    assert functions
    for function in functions:
        match = re.search(r"Source: ([\w, ]+)", inspect.getdoc(function) or "")
        assert match, function.__name__
        assert {key.strip() for key in match[1].split(",")} <= SOURCES.keys(), function.__name__
    assert set(re.findall(r'source="(\w+)"', inspect.getsource(module))) <= SOURCES.keys()
