"""Every formula of concrete and water names a listed source, or says that it is common practice."""

import inspect
import re
from types import ModuleType

import pytest

from jobs.science import (
    chemistry,
    cold_hot,
    concrete_temperature,
    drying,
    formwork,
    maturity,
    strength,
    wall_pour,
    water_loss,
)
from jobs.science.sources import COMMON_PRACTICE, SOURCES
from jobs.science.water import filling, ph

MODULES = (
    chemistry,
    cold_hot,
    concrete_temperature,
    drying,
    filling,
    formwork,
    maturity,
    ph,
    strength,
    wall_pour,
    water_loss,
)


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_named_sources_are_listed(module: ModuleType) -> None:
    functions = [
        member
        for name, member in inspect.getmembers(module, inspect.isfunction)
        if member.__module__ == module.__name__ and not name.startswith("_")
    ]
    assert functions
    for function in functions:
        match = re.search(r"Source: (.+?)(?:\n\n|$)", inspect.getdoc(function) or "", re.DOTALL)
        assert match, function.__name__
        words = set(re.findall(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*", match[1]))
        assert words & SOURCES.keys() or COMMON_PRACTICE in " ".join(match[1].split()), function.__name__
        assert {word for word in words if "_" in word} <= SOURCES.keys(), function.__name__
    assert set(re.findall(r'source="(\w+)"', inspect.getsource(module))) <= SOURCES.keys()
