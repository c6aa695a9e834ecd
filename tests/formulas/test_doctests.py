"""The worked example in every formula's docstring runs and gives what it prints."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil

import pytest

from packets import formulas
from tests import handbook_rows

NAMES = [info.name for info in pkgutil.iter_modules(formulas.__path__)]


@pytest.mark.parametrize("name", NAMES)
def test_examples_run(name: str) -> None:
    module = importlib.import_module(f"packets.formulas.{name}")
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("name", [name for name in NAMES if name not in ("ranges", "constants")])
def test_every_public_formula_has_a_worked_example(name: str) -> None:
    module = importlib.import_module(f"packets.formulas.{name}")
    for function_name, function in inspect.getmembers(module, inspect.isfunction):
        if function.__module__ != module.__name__ or function_name.startswith("_"):
            continue
        text = inspect.getdoc(function) or ""
        assert ">>>" in text, f"{name}.{function_name} has no worked example"


def test_the_handbook_reader_reads_as_its_examples_say() -> None:
    result = doctest.testmod(handbook_rows)
    assert result.failed == 0
    assert result.attempted >= 4
