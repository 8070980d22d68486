"""Every public function of optics says units, shapes, refusals and sources, and takes only names of the glossary."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from shopledger import optics
from shopledger.errors import OpticsError
from shopledger.optics import refusals
from shopledger.optics.quantities import QUANTITIES
from shopledger.optics.sources import SOURCES

SECTIONS = ("Parameters", "Returns", "Raises", "References")
NUMBER = re.compile(r"\b(float|int|ndarray)\b")
VALUE = re.compile(r"\b(str|bool|date|None)\b")
MODULES = [importlib.import_module(f"shopledger.optics.{info.name}") for info in pkgutil.iter_modules(optics.__path__)]


def own(module: ModuleType, wanted: Callable[[Any], bool]) -> Iterator[Any]:
    """What a module itself defines in public."""
    for name, thing in vars(module).items():
        if not name.startswith("_") and wanted(thing) and thing.__module__ == module.__name__:
            yield thing


FUNCTIONS = [each for module in MODULES for each in own(module, inspect.isfunction)] + [
    each for module in MODULES for each in own(module, lambda thing: hasattr(thing, "__wrapped__"))
]
CLASSES = [each for module in MODULES for each in own(module, inspect.isclass)]


def sections(function: Callable[..., Any]) -> dict[str, str]:
    """The sections of a docstring by their headings."""
    parts = re.split(r"\n(\w+)\n-{3,}\n", inspect.getdoc(function) or "")
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def described(section: str) -> dict[str, str]:
    """The names of a Parameters section with all that is said of each."""
    parts = re.split(r"(?m)^(\*?\w+) : ", section)
    return {name.lstrip("*"): text for name, text in zip(parts[1::2], parts[2::2], strict=True)}


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_every_module_and_class_is_described(module: ModuleType) -> None:
    """A module, a class and each of its public methods says what it is."""
    assert module.__doc__
    for each in own(module, inspect.isclass):
        assert each.__doc__, each
        for name, method in vars(each).items():
            if not name.startswith("_") and (inspect.isfunction(method) or isinstance(method, property | classmethod)):
                assert inspect.getdoc(method), (each, name)


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__qualname__)
def test_every_function_has_all_sections(function: Callable[..., Any]) -> None:
    """Parameters, Returns and References stand in this order, with Raises before the last where something is."""
    found = [each for each in sections(function) if each in SECTIONS]
    assert found == [each for each in SECTIONS if each != "Raises" or each in found]


def unfitting(kind: str, text: str) -> bool:
    """Whether a number has no unit, or a text, a truth or a day has one."""
    unit = re.search(r"\[[^\]]+\]$", text.strip()) is not None
    return unit is not bool(NUMBER.search(kind)) and bool(NUMBER.search(kind) or VALUE.search(kind))


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__qualname__)
def test_every_parameter_is_described_with_its_unit_and_is_in_the_glossary(function: Callable[..., Any]) -> None:
    """Each parameter is described, a number with its unit, by a name of the glossary."""
    names = list(inspect.signature(function).parameters)
    found = described(sections(function)["Parameters"])
    assert list(found) == names
    for name, text in found.items():
        kind, _, said = text.partition("\n")
        assert said.strip(), name
        assert not unfitting(kind, said), (name, text)
        assert name in QUANTITIES, name


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__qualname__)
def test_every_result_has_its_unit(function: Callable[..., Any]) -> None:
    """What comes back is described, a number with its unit."""
    kind, _, said = sections(function)["Returns"].partition("\n")
    assert said.strip()
    assert not unfitting(kind, said)


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__qualname__)
def test_every_array_has_its_shape(function: Callable[..., Any]) -> None:
    """An array or a row of values is described with its shape."""
    for section in ("Parameters", "Returns"):
        for line in re.findall(r"(?m)^.*(?:ndarray|tuple of|array of).*$", sections(function)[section]):
            assert re.search(r"\([\w, ()]*,[\w, ()]*\)", line), line


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__qualname__)
def test_every_reference_is_a_known_source(function: Callable[..., Any]) -> None:
    """At least one source is named, and all of them are known."""
    keys = re.findall(r"\[(\w+)\]_", inspect.getdoc(function) or "")
    assert re.findall(r"\[(\w+)\]_", sections(function)["References"])
    assert set(keys) <= SOURCES.keys()


def raised(function: Callable[..., Any], seen: frozenset[str] = frozenset()) -> set[str]:
    """What a function raises by its own words, or by those of the private functions beside it."""
    module = inspect.getmodule(function)
    found: set[str] = set()
    for node in ast.walk(ast.parse(textwrap.dedent(inspect.getsource(function)))):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        name = node.func.id
        if name == "within":
            found.add("OutOfRangeError")
        elif name.endswith("Error"):
            found.add(name)
        elif name.startswith("_") and name not in seen and inspect.isfunction(helper := getattr(module, name, None)):
            found |= raised(helper, seen | {name})
    return found


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__qualname__)
def test_every_refusal_is_named(function: Callable[..., Any]) -> None:
    """What a function raises is named by its class, a refusal of optics, and no section says that nothing is."""
    said = sections(function).get("Raises")
    named = set() if said is None else set(re.findall(r"(?m)^(\w+)$", said))
    assert named or said is None
    for name in named:
        assert issubclass(getattr(refusals, name), OpticsError)
    assert raised(function) - named == set()


def test_the_glossary_is_in_order_and_has_no_idle_words() -> None:
    """Names stand in alphabetical order, each once, and each is a parameter or a field of something."""
    used = {name for function in FUNCTIONS for name in inspect.signature(function).parameters}
    assert list(QUANTITIES) == sorted(QUANTITIES)
    fields = {name for each in CLASSES for name in getattr(each, "__dataclass_fields__", ())}
    assert QUANTITIES.keys() - used - fields == set()


def test_every_source_is_used() -> None:
    """No source stands in the list for show: a docstring, a material, a finding or a printed table cites it."""
    here = Path(__file__).parent
    texts = [path.read_text() for path in here.rglob("*.py")]
    texts += [inspect.getsource(module) for module in MODULES if not module.__name__.endswith("sources")]
    together = "\n".join(texts)
    assert [key for key in SOURCES if key not in together] == []
