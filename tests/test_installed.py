"""Whoever lacks an extra, or another version, is told what to type for the way in which the program was installed."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable
from dataclasses import replace
from importlib import metadata
from pathlib import Path

import pytest

from shopledger import installed
from shopledger.errors import PaperworkError, StoreError
from shopledger.installed import ExtraMissingError, Surroundings, extra_words, requirements, update_words
from shopledger.paperwork.refusals import ArchiveExtraMissingError
from shopledger.store import engine
from shopledger.store.refusals import EncryptExtraMissingError, PostgresExtraMissingError

CHECKOUT = Path(__file__).resolve().parents[1]
EXTRAS: tuple[tuple[type[ExtraMissingError], type[Exception]], ...] = (
    (ArchiveExtraMissingError, PaperworkError),
    (EncryptExtraMissingError, StoreError),
    (PostgresExtraMissingError, StoreError),
)

Make = Callable[..., Surroundings]


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Make:
    """Make an environment with the program in it, and give what lies around it; a system's shell is POSIX's here."""
    monkeypatch.setattr(installed, "typed", lambda words: " ".join(map(str, words)))
    monkeypatch.setattr(installed, "requirements", {"encrypt": ("lock<2,>=1.4",), "archive": ()}.__getitem__)
    prefix = tmp_path / "env"
    package = prefix / "lib" / "shopledger"
    package.mkdir(parents=True)
    whole = Surroundings(prefix, prefix / "bin" / "python", prefix / "lib", package, shared=False, has_pip=True)
    return lambda **changed: replace(whole, **changed)


def receipt(around: Surroundings, text: str) -> None:
    """Write what `uv tool` notes beside an environment that it made."""
    (around.prefix / "uv-receipt.toml").write_text(f"[tool]\n{text}\n", encoding="utf-8")


def test_pipx_is_asked_to_add_to_the_environment_that_it_made(made: Make) -> None:
    """An environment of pipx is named by its folder, which ends with a suffix where one was chosen."""
    around = made()
    (around.prefix / "pipx_metadata.json").write_text(json.dumps({"main_package": {}}), encoding="utf-8")
    assert extra_words("encrypt", around) == "pipx inject env lock<2,>=1.4"
    assert update_words(around) == "pipx install --force FILE"


def test_uv_makes_its_environment_anew_with_all_that_it_had(made: Make, tmp_path: Path) -> None:
    """What was added earlier, the Python that was chosen and the file that the program came from are named again."""
    around = made()
    wheel = tmp_path / "shop.whl"
    wheel.touch()
    receipt(
        around,
        f'requirements = [{{ name = "shopledger", path = "{wheel}" }}, '
        '{ name = "psycopg", extras = ["binary"], specifier = ">=3.2,<4" }]\npython = "3.12"',
    )
    again = "uv tool install --force --python 3.12 --with psycopg[binary]>=3.2,<4"
    assert extra_words("encrypt", around) == f"{again} --with lock<2,>=1.4 {wheel}"
    assert update_words(around) == f"{again} FILE"


@pytest.mark.parametrize("kind", ["directory", "editable"])
def test_uv_takes_a_folder_again_with_the_extras_that_it_had(made: Make, tmp_path: Path, kind: str) -> None:
    """Installed from a folder with extras, the program is installed from there with the same ones."""
    around = made()
    receipt(around, f'requirements = [{{ name = "shopledger", extras = ["postgres"], {kind} = "{tmp_path}" }}]')
    editable = "--editable " if kind == "editable" else ""
    assert extra_words("encrypt", around) == (
        f"uv tool install --force --with lock<2,>=1.4 {editable}{tmp_path}[postgres]"
    )


@pytest.mark.parametrize(
    "noted",
    [
        'requirements = [{ name = "shopledger", path = "/gone/shop.whl" }]',
        'requirements = [{ name = "shopledger", specifier = "==1" }]',
        "requirements = []",
        "requirements = [",
        "requirements = 3",
        'requirements = ["shopledger"]',
    ],
)
def test_where_uv_does_not_know_the_source_it_adds_to_the_environment_as_it_is(made: Make, noted: str) -> None:
    """A wheel that was thrown away, or a note that cannot be read, does not lead to a command that fails."""
    around = made(has_pip=False)
    receipt(around, noted)
    assert extra_words("encrypt", around) == f"uv pip install --python {around.interpreter} lock<2,>=1.4"
    assert update_words(around) == "uv tool install --force FILE"


def test_the_environment_of_a_checkout_is_added_to_by_its_own_python(made: Make, tmp_path: Path) -> None:
    """In a checkout the files themselves are exchanged, and its own script does the rest."""
    around = made(prefix=tmp_path / ".venv", package=tmp_path / "shopledger")
    (tmp_path / "pyproject.toml").touch()
    pip = f"{around.interpreter} -m pip install"
    assert extra_words("encrypt", around) == f"{pip} lock<2,>=1.4"
    place = f"put its files in the place of those in {tmp_path}, then type:"
    assert update_words(around) == f"{place} sh {tmp_path}/demo/run"
    elsewhere = replace(around, prefix=tmp_path / "other")
    assert update_words(elsewhere) == f"{place} {pip} --editable {tmp_path}"


def test_any_other_environment_is_added_to_by_its_own_python(made: Make) -> None:
    """The interpreter is named by its path, since another one may be first where programs are looked for."""
    around = made()
    assert extra_words("encrypt", around) == f"{around.interpreter} -m pip install lock<2,>=1.4"
    assert update_words(around) == f"{around.interpreter} -m pip install --upgrade FILE"


def test_an_environment_without_pip_is_added_to_by_uv(made: Make) -> None:
    """What makes environments without pip is uv, which puts packages into them from outside."""
    around = made(has_pip=False)
    assert extra_words("encrypt", around) == f"uv pip install --python {around.interpreter} lock<2,>=1.4"


def test_the_system_s_own_python_takes_packages_only_when_told_so(made: Make) -> None:
    """A Python that is managed from outside (PEP 668) refuses otherwise; an environment made from it does not."""
    around = made(shared=True)
    (around.standard_library / "EXTERNALLY-MANAGED").touch()
    words = f"{around.interpreter} -m pip install --break-system-packages lock<2,>=1.4"
    assert extra_words("encrypt", around) == words
    assert "--break-system-packages" not in extra_words("encrypt", replace(around, shared=False))


def test_a_program_that_was_never_installed_is_installed_where_it_lies(made: Make, tmp_path: Path) -> None:
    """Without metadata the extra is asked for by the folder of the sources, or by a file, and by no index's name."""
    around = made(package=tmp_path / "shopledger")
    assert extra_words("archive", around) == f"{around.interpreter} -m pip install FILE[archive]"
    (tmp_path / "pyproject.toml").touch()
    assert extra_words("archive", around) == f"{around.interpreter} -m pip install --editable {tmp_path}[archive]"


def test_what_an_extra_brings_is_read_from_the_metadata(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only what stands under the extra's own marker is named, without the marker; nothing where nothing is known."""
    said = ["click<9,>=8.5", "lock<2,>=1.4; extra == 'encrypt'", 'page>=1; extra == "archive"', "lint; extra == 'test'"]
    monkeypatch.setattr(metadata, "requires", lambda _name: said)
    assert requirements("encrypt") == ("lock<2,>=1.4",)
    assert requirements("archive") == ("page>=1",)
    assert requirements("other") == ()

    def unknown(name: str) -> list[str]:
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "requires", unknown)
    assert requirements("encrypt") == ()


@pytest.mark.parametrize(("error", "kind"), EXTRAS, ids=[error.extra for error, _ in EXTRAS])
def test_a_missing_extra_is_one_sentence_that_ends_with_what_to_type(
    error: type[ExtraMissingError], kind: type[Exception]
) -> None:
    """It names the extra, says the packages of pyproject.toml, and ends where the typed words end."""
    declared = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    (package,) = declared["optional-dependencies"][error.extra]
    name = package.partition(">")[0]
    said = str(error())
    assert isinstance(error(), kind)
    assert f"the extra '{error.extra}'. " in said
    assert said.endswith(f" Install it with: {extra_words(error.extra)}")
    assert f" '{name}" in said
    assert "install shopledger" not in said
    assert "'shopledger" not in said


def test_a_server_s_ledger_without_its_driver_is_refused_in_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    """The driver is an extra; where it is missing, or finds no library of the system, the owner is told so."""

    def missing(*_words: object, **_named: object) -> None:
        raise ModuleNotFoundError("No module named 'psycopg'")

    monkeypatch.setattr(engine, "create_engine", missing)
    with pytest.raises(PostgresExtraMissingError, match=r"'psycopg\[binary\]") as refused:
        engine.ledger_engine("postgresql+psycopg://ines@db.example.com/shop")
    assert refused.value.exit_code == 40


def test_this_very_program_knows_where_it_lies() -> None:
    """The running program is told by its own folder and interpreter."""
    here = Surroundings.here()
    assert here.checkout == CHECKOUT
    assert here.interpreter.exists()
    assert here.standard_library.is_dir()
    assert not here.by_pipx
