"""The layers hold, and each rule that says so is shown to refuse what it forbids."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[1]

LAYERS = (
    ("__main__",),
    ("cli",),
    ("counter",),
    ("typed",),
    ("desk",),
    ("store", "paperwork", "exports", "exchange"),
    ("ledger",),
    ("optics",),
    ("money",),
    ("installed",),
    ("places", "files", "shell"),
    ("errors",),
)
"""From the top; names that stand together may not see one another."""

MODULES = ("__main__", "installed", "places", "files", "shell", "errors")
"""The layers that are one module each."""

HOMES = {
    "numpy": "optics",
    "sqlalchemy": "store",
    "alembic": "store",
    "sqlite3": "store",
    "psycopg": "store",
    "reportlab": "paperwork",
    "openpyxl": "exports",
    "click": "cli",
    "flask": "counter",
    "werkzeug": "counter",
    "jinja2": "counter",
    "markupsafe": "counter",
    "waitress": "counter",
}
"""Each library with the only package that imports it."""
NOWHERE = ("pandas",)
"""What only the tests use."""

PURE = ("money", "optics", "ledger")
OUTSIDE = ("pathlib", "os", "shutil", "tempfile", "subprocess", "socket", "urllib", "time")
"""What the pure packages never touch."""

NAMES = tuple(name for layer in LAYERS for name in layer)


def forbidden_inside() -> list[tuple[str, str]]:
    """List every pair of a layer and a layer that it may not import."""
    rank = {name: place for place, layer in enumerate(LAYERS) for name in layer}
    return [(low, high) for low in NAMES for high in NAMES if low != high and rank[low] >= rank[high]]


def forbidden_outside() -> list[tuple[str, str]]:
    """List every pair of a package and a library or module that it may not import."""
    away = [(name, library) for library, home in HOMES.items() for name in NAMES if name != home]
    nowhere = [(name, library) for library in NOWHERE for name in NAMES]
    impure = [(name, module) for name in PURE for module in OUTSIDE]
    return [*away, *nowhere, *impure]


@pytest.fixture(scope="module")
def skeleton(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make an empty tree of the same layers under the same contracts."""
    root = tmp_path_factory.mktemp("layers")
    package = root / "shopledger"
    package.mkdir()
    (package / "__init__.py").touch()
    for name in NAMES:
        if name not in MODULES:
            (package / name).mkdir()
        where = package / f"{name}.py" if name in MODULES else package / name / "__init__.py"
        where.touch()
    (root / "pyproject.toml").write_text((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"), encoding="utf-8")
    return root


def lint_imports(root: Path) -> subprocess.CompletedProcess[str]:
    """Run the contracts on the tree at `root`, wide enough that no line is broken."""
    program = "import sys; sys.path.insert(0, '.'); from importlinter.cli import lint_imports_command; "
    return subprocess.run(
        [sys.executable, "-c", f"{program}lint_imports_command()", "--no-cache", "--no-logo"],
        cwd=root,
        env={"COLUMNS": "400", "NO_COLOR": "1", "PATH": ""},
        capture_output=True,
        text=True,
        check=False,
    )


def offend(root: Path, name: str, line: str) -> str:
    """Write one forbidden import into a layer and give the name of the module that holds it."""
    if name in MODULES:
        where = root / "shopledger" / f"{name}.py"
        module = f"shopledger.{name}"
    else:
        offence = "offence_" + line.removeprefix("import ").replace(".", "_")
        where = root / "shopledger" / name / f"{offence}.py"
        module = f"shopledger.{name}.{offence}"
    with where.open("a", encoding="utf-8") as file:
        file.write(f"{line}\n")
    return module


def restore(root: Path) -> None:
    """Take every offence out again."""
    for offence in root.glob("shopledger/*/offence_*.py"):
        offence.unlink()
    for name in MODULES:
        (root / "shopledger" / f"{name}.py").write_text("", encoding="utf-8")


def test_the_program_keeps_its_layers() -> None:
    """Every contract in pyproject.toml is kept by the tree as it stands."""
    result = lint_imports(CHECKOUT)
    assert result.returncode == 0, result.stdout + result.stderr
    assert "0 broken" in result.stdout


def test_an_empty_tree_keeps_every_rule(skeleton: Path) -> None:
    """The skeleton itself is clean, so that what is refused below is the offence alone."""
    restore(skeleton)
    assert lint_imports(skeleton).returncode == 0


def test_no_layer_may_import_one_above_or_beside_it(skeleton: Path) -> None:
    """Each forbidden pair of layers, written into the skeleton, is refused by name."""
    restore(skeleton)
    wanted = [
        f"{offend(skeleton, low, f'import shopledger.{high}')} -> shopledger.{high} ("
        for low, high in forbidden_inside()
    ]
    result = lint_imports(skeleton)
    assert result.returncode == 1
    assert [line for line in wanted if line not in result.stdout] == []


def test_each_library_is_imported_in_its_only_home(skeleton: Path) -> None:
    """A library outside its home, a tool of the tests anywhere, and a door to the outside in a pure package."""
    restore(skeleton)
    wanted = [f"{offend(skeleton, name, f'import {outside}')} -> {outside} (" for name, outside in forbidden_outside()]
    result = lint_imports(skeleton)
    assert result.returncode == 1
    assert [line for line in wanted if line not in result.stdout] == []


def test_a_package_that_no_rule_names_is_refused(skeleton: Path) -> None:
    """A new top-level package has to be given its place among the layers."""
    restore(skeleton)
    stray = skeleton / "shopledger" / "stray.py"
    stray.touch()
    try:
        result = lint_imports(skeleton)
    finally:
        stray.unlink()
    assert result.returncode == 1
    assert "stray" in result.stdout


def test_no_contract_excuses_an_import() -> None:
    """Exceptions to the layers are not made by listing them."""
    settings = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]
    assert settings["contracts"]
    assert not [contract["id"] for contract in settings["contracts"] if contract.get("ignore_imports")]
