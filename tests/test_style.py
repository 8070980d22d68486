"""House rules that no linter knows: docstrings everywhere, plain packages, a fixed top level."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[1]
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "shopledger", "migrations", "tests", "templates", "demo"}
NO_NAMES = {"utils", "util", "helpers", "helper", "manager", "data", "misc", "common"}
"""Module names that say nothing about what is inside."""

REPLACED = {
    r"\bnought\b": "zero",
    r"\bset aside\b": "reserved",
    r"\bTill\b": "CashAccount",
    r"\bmend=": "hint=",
    r"\btak(?:e|es|en|ing) back (?:a|an|the) (?:bill|expense|deposit)\b": "void",
    r"\bTakingBack\b": "Voiding",
    r"\bon a slate\b": "a reference model",
}
"""Words that others replaced, and which."""

Definition = ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef


def sources(folder: str) -> list[Path]:
    """List the Python files of one top-level folder."""
    return sorted((CHECKOUT / folder).rglob("*.py"))


def tree(path: Path) -> ast.Module:
    """Read one file."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def public(module: ast.Module) -> Iterator[Definition]:
    """Find the classes and functions that other modules may use, and the classes' own public functions."""
    for node in module.body:
        if isinstance(node, Definition) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from (
                    inner for inner in node.body if isinstance(inner, Definition) and not inner.name.startswith("_")
                )


def place(path: Path, node: ast.AST) -> str:
    """Name a place as an editor understands it."""
    return f"{path.relative_to(CHECKOUT)}:{getattr(node, 'lineno', 1)}"


def is_overload(node: Definition) -> bool:
    """Tell whether this only declares a type for the function that follows."""
    return any(ast.unparse(decorator).endswith("overload") for decorator in node.decorator_list)


@pytest.mark.parametrize("folder", ["shopledger", "tests", "migrations"])
def test_every_module_has_a_docstring(folder: str) -> None:
    """Each file says in its first line what lives in it."""
    assert [str(path.relative_to(CHECKOUT)) for path in sources(folder) if not ast.get_docstring(tree(path))] == []


def test_every_public_class_and_function_has_a_docstring() -> None:
    """What others may use says what it is or does."""
    silent = [
        place(path, node)
        for path in sources("shopledger")
        for node in public(tree(path))
        if not is_overload(node) and not ast.get_docstring(node)
    ]
    assert silent == []


def test_every_test_states_its_rule_in_one_line() -> None:
    """A failing test reads as a broken promise: one line, closed by a full stop."""
    vague = []
    for path in sources("tests"):
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.name.startswith("test_"):
                rule = ast.get_docstring(node) or ""
                if not re.fullmatch(r"[^\n]+[.!?]", rule):
                    vague.append(place(path, node))
    assert vague == []


def test_a_package_s_init_holds_a_docstring_only() -> None:
    """Importing one module of a package brings no other with it, so that start-up stays quick."""
    full = [
        str(path.relative_to(CHECKOUT))
        for path in sources("shopledger")
        if path.name == "__init__.py" and len(tree(path).body) != 1
    ]
    assert full == []


def test_no_module_has_a_name_that_says_nothing() -> None:
    """What has no name yet has no place yet."""
    named = [
        str(path.relative_to(CHECKOUT))
        for folder in ("shopledger", "tests")
        for path in sources(folder)
        if NO_NAMES & {path.stem, path.parent.name}
    ]
    assert named == []


def test_the_top_level_of_the_repository_is_fixed() -> None:
    """Nothing but the known files, folders and dot files is kept at the top."""
    git = shutil.which("git")
    if git is None or not (CHECKOUT / ".git").exists():
        pytest.skip("this is no git checkout")
    listed = subprocess.run([git, "ls-files", "-z"], cwd=CHECKOUT, capture_output=True, text=True, check=True).stdout
    tops = {name.split("/")[0] for name in listed.split("\0") if name}
    assert {top for top in tops if not top.startswith(".")} - TOP_LEVEL == set()


def test_shell_scripts_can_be_started() -> None:
    """The scripts that people type begin with a shebang and may be executed."""
    for script in ("demo/run", "tests/run", ".ci/run"):
        path = CHECKOUT / script
        if path.exists():
            assert path.read_text(encoding="utf-8").startswith("#!/bin/"), script
            assert path.stat().st_mode & 0o100, script


@pytest.mark.parametrize(("word", "now"), REPLACED.items(), ids=REPLACED.values())
def test_one_word_has_one_meaning(word: str, now: str) -> None:
    """Where a word was replaced by the field's own, it does not come back."""
    texts = [*sources("shopledger"), CHECKOUT / "README.md", CHECKOUT / "DEVELOPERS.md"]
    found = [str(path.relative_to(CHECKOUT)) for path in texts if re.search(word, path.read_text(encoding="utf-8"))]
    assert found == [], f"say {now}"
