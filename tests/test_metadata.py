"""What the program says of itself where it is installed, and under which licences others let it use theirs."""

from __future__ import annotations

import re
import tomllib
import zipfile
from collections.abc import Iterator
from importlib.metadata import PackagePath, distribution
from pathlib import Path
from typing import Any, Final

import pytest

from shopledger.places import templates_folder

ROOT: Final = Path(__file__).resolve().parents[1]
PROJECT: Final[dict[str, Any]] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
WRITTEN: Final = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

WORDS: Final = {
    "MIT": ("MIT License", "MIT", "Permission is hereby granted, free of charge"),
    "MIT-CMU": ("MIT-CMU",),
    "BSD-3-Clause": ("BSD-3-Clause", "Neither the name"),
    "MPL-2.0": ("MPL-2.0",),
    "LGPL-3.0-only": ("LGPL-3.0-only",),
    "ZPL-2.1": ("ZPL 2.1",),
    "Apache-2.0 OR BSD-3-Clause": ("Apache-2.0 OR BSD-3-Clause",),
}
"""By which words of its metadata or of its text a licence is known."""


def needed() -> Iterator[str]:
    """Give the names of all that the program needs to run, with every extra but those of the tests."""
    extras: dict[str, list[str]] = PROJECT["optional-dependencies"]
    own = [need for name in extras if name not in {"browser", "test"} for need in extras[name]]
    for each in (*PROJECT["dependencies"], *own):
        yield re.split(r"[<>=\[]", each)[0]


def table() -> dict[str, str]:
    """Give the licence that the table of the guide names for each package."""
    section = WRITTEN.split("## Licences of what is used")[1].split("\n## ")[0]
    return dict(re.findall(r"^\| `(.+?)` \| (.+?) \|", section, flags=re.MULTILINE))


def licences_said(name: str) -> str:
    """Give what an installed package says of its licence: in its metadata, and in the texts that it brings."""
    installed = distribution(name)
    said = installed.metadata
    fields = [said["License-Expression"], said["License"], *(said.get_all("Classifier") or [])]
    texts: list[PackagePath] = [file for file in installed.files or [] if re.search(r"licen[cs]e", file.name.lower())]
    return "\n".join([*map(str, filter(None, fields)), *(file.read_text() for file in texts if file.suffix != ".py")])


def test_each_package_that_is_used_is_in_the_table() -> None:
    """Nothing is used of which the guide does not say the licence, and nothing is listed that is not used."""
    assert sorted(table()) == sorted(needed())


@pytest.mark.parametrize(("name", "licence"), table().items())
def test_the_licence_is_the_one_that_the_package_names(name: str, licence: str) -> None:
    """The table does not say of a package what the package does not say of itself."""
    assert any(words in licences_said(name) for words in WORDS[licence])


def test_the_fonts_travel_with_their_licence() -> None:
    """Beside the fonts lies the text that has to go with them, and no font without a name in the guide."""
    folder = templates_folder() / "fonts"
    text = (folder / "LICENCE.txt").read_text(encoding="utf-8")
    fonts = [file.name for file in folder.iterdir() if file.suffix in {".ttf", ".otf"}]
    assert fonts
    assert [name for name in fonts if not name.startswith("DejaVuSans")] == []
    assert "Bitstream Vera" in text
    assert "| DejaVu Sans 2.37 |" in WRITTEN


def test_that_no_licence_was_chosen_is_said_where_a_reader_looks() -> None:
    """The README, the guide and the metadata say it, and no classifier says otherwise."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for text in (readme, WRITTEN, PROJECT["readme"]["text"]):
        assert re.search(r"No licence has been chosen (?:for shopledger )?yet", text)
    assert not {"license", "license-files"} & set(PROJECT)
    assert [each for each in PROJECT["classifiers"] if each.startswith("License")] == []


def test_what_an_installer_shows_needs_no_file_beside_it() -> None:
    """The long description has no picture and no link, since nothing lies beside it where it is shown."""
    text = PROJECT["readme"]["text"]
    assert not re.search(r"!\[|\]\(|<img|\.\./", text)
    assert text.strip().startswith(f"# {PROJECT['name']}\n")


def test_each_python_that_is_named_is_allowed() -> None:
    """The oldest version that is named is the oldest that is allowed."""
    named = re.findall(r"Python :: (3\.\d+)", "\n".join(PROJECT["classifiers"]))
    assert named == sorted(named, key=lambda each: int(each[2:]))
    assert PROJECT["requires-python"] == f">={named[0]}"


@pytest.mark.slow
def test_the_wheel_says_it_too(built: Path) -> None:
    """What pyproject.toml says of the program stands in the wheel, and each classifier is one that is known."""
    from trove_classifiers import classifiers

    (wheel,) = built.glob("*.whl")
    with zipfile.ZipFile(wheel) as parts:
        (name,) = [each for each in parts.namelist() if each.endswith(".dist-info/METADATA")]
        said = parts.read(name).decode("utf-8")
    assert f"Summary: {PROJECT['description']}" in said
    assert PROJECT["readme"]["text"].strip() in said
    assert "\nLicense" not in said
    named = re.findall(r"^Classifier: (.+)$", said, flags=re.MULTILINE)
    assert named == PROJECT["classifiers"]
    assert [each for each in named if each not in classifiers and not each.startswith("Private ::")] == []
