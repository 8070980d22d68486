"""The folders that travel with the program are found in a checkout and in an installed package."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.errors import SetupError
from shopledger.places import _find, demo_folder, migrations_folder, templates_folder

CHECKOUT = Path(__file__).resolve().parents[1]


def test_in_a_checkout_the_folders_stand_beside_the_package() -> None:
    """An editable install reads the checkout's own folders, never a copy of them."""
    assert migrations_folder() == CHECKOUT / "migrations"
    assert templates_folder() == CHECKOUT / "templates"
    assert demo_folder() == CHECKOUT / "demo"


def test_the_package_s_own_folder_comes_first(tmp_path: Path) -> None:
    """Where both exist, what was installed with the package is used."""
    package = tmp_path / "shopledger"
    (package / "templates").mkdir(parents=True)
    (tmp_path / "templates").mkdir()
    (tmp_path / "pyproject.toml").touch()
    assert _find("templates", package) == package / "templates"


def test_a_stranger_s_folder_beside_an_installed_package_is_not_used(tmp_path: Path) -> None:
    """Among installed packages a folder called `demo` belongs to somebody else."""
    (tmp_path / "demo").mkdir()
    with pytest.raises(SetupError, match="the program's demo folder is missing") as refused:
        _find("demo", tmp_path / "shopledger")
    assert str(refused.value).endswith("Install the program again.")
    assert refused.value.exit_code == 10


def test_a_missing_folder_names_both_places_in_a_checkout(tmp_path: Path) -> None:
    """The error says where the folder was looked for."""
    (tmp_path / "pyproject.toml").touch()
    with pytest.raises(SetupError) as refused:
        _find("migrations", tmp_path / "shopledger")
    assert f"{tmp_path / 'shopledger' / 'migrations'} or {tmp_path / 'migrations'}" in str(refused.value)
