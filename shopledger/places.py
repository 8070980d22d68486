"""Where the folders lie that travel with the program: migrations, templates and the demo.

In an installed wheel they are inside the package; in a checkout they stand beside it. The package's own folder
is asked first, so an installed program never picks up a stranger's folder of the same name.
"""

from __future__ import annotations

from pathlib import Path

from shopledger.errors import SetupError

_PACKAGE = Path(__file__).resolve().parent


class FolderMissingError(SetupError):
    """A folder that travels with the program is not where it belongs."""

    name: str
    looked: tuple[Path, ...]

    def __str__(self) -> str:
        places = " or ".join(str(place) for place in self.looked)
        return f"the program's {self.name} folder is missing; it belongs in {places}. Install the program again."


def migrations_folder() -> Path:
    """Give the folder with the alembic environment and its versions."""
    return _find("migrations")


def templates_folder() -> Path:
    """Give the folder with the wording, layouts and blank sheets that the owner may change."""
    return _find("templates")


def demo_folder() -> Path:
    """Give the folder with the invented shop's files."""
    return _find("demo")


def _find(name: str, package: Path = _PACKAGE) -> Path:
    """Look in the package, then in the checkout around it; beside an installed package lie only strangers' folders."""
    in_checkout = (package.parent / "pyproject.toml").is_file()
    looked = (package / name, package.parent / name) if in_checkout else (package / name,)
    for folder in looked:
        if folder.is_dir():
            return folder
    raise FolderMissingError(name, looked)
