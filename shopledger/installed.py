"""How this program was installed, told from what lies around it, and what to type to add to it or to exchange it.

The program is in no index, so nothing here is ever installed by its name: what is added goes by the names of others'
packages, and another version comes from a file or a folder.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar, Final

from shopledger.errors import ShopledgerError
from shopledger.shell import typed

_NAME: Final = "shopledger"
_FILE: Final = "FILE"
"""Stands for the file of the other version, which only its owner knows."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What lies around a running program."""

    prefix: Path
    """The folder of its environment, or of the Python that it shares with others."""
    interpreter: Path
    standard_library: Path
    package: Path
    shared: bool
    """Whether other programs use the same Python, since no environment was made for this one."""
    has_pip: bool

    @classmethod
    def here(cls) -> Surroundings:
        """Look around the program that runs."""
        import importlib.util  # noqa: PLC0415 - only a refusal asks, and every start would pay for it
        import sysconfig  # noqa: PLC0415 - as above

        return cls(
            Path(sys.prefix),
            Path(sys.executable),
            Path(sysconfig.get_path("stdlib")),
            Path(__file__).resolve().parent,
            sys.prefix == sys.base_prefix,
            importlib.util.find_spec("pip") is not None,
        )

    @property
    def by_pipx(self) -> bool:
        """Tell whether pipx made the environment."""
        return (self.prefix / "pipx_metadata.json").is_file()

    @property
    def by_uv(self) -> bool:
        """Tell whether `uv tool` made the environment."""
        return self._receipt.is_file()

    @property
    def checkout(self) -> Path | None:
        """Give the folder of the sources, where the program runs from there."""
        around = self.package.parent
        return around if (around / "pyproject.toml").is_file() else None

    @property
    def managed(self) -> bool:
        """Tell whether the Python is the system's own, which takes packages only against its will (PEP 668)."""
        return self.shared and (self.standard_library / "EXTERNALLY-MANAGED").is_file()

    @property
    def _receipt(self) -> Path:
        return self.prefix / "uv-receipt.toml"

    def pip(self) -> tuple[str, ...]:
        """Give the words that put packages beside the program, up to their names."""
        with_pip = (str(self.interpreter), "-m", "pip", "install")
        with_uv = ("uv", "pip", "install", "--python", str(self.interpreter))
        against_its_will = ("--break-system-packages",) if self.managed else ()
        return (*(with_pip if self.has_pip else with_uv), *against_its_will)

    def uv_words(self, *added: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Give the words that make the environment of `uv tool` anew with what it had and more, and from where it came.

        No word says the latter where it came from no file or folder that is still there.
        """
        tool = _tool(self._receipt)
        noted = tool.get("requirements")
        needs = [each for each in noted if isinstance(each, dict)] if isinstance(noted, list) else []
        ours = next((each for each in needs if each.get("name") == _NAME), {})
        others = [_requirement(each) for each in needs if each.get("name") != _NAME]
        python = ("--python", str(tool["python"])) if "python" in tool else ()
        beside = [word for need in dict.fromkeys((*others, *added)) for word in ("--with", need)]
        return ("uv", "tool", "install", "--force", *python, *beside), _source(ours)


def requirements(extra: str) -> tuple[str, ...]:
    """Give what an extra brings, as the program's own metadata says it; nothing where it has none."""
    import re  # noqa: PLC0415 - only a refusal asks
    from importlib.metadata import PackageNotFoundError, requires  # noqa: PLC0415 - as above

    try:
        said = requires(_NAME) or []
    except PackageNotFoundError:
        return ()
    of_extra = re.compile(rf"""extra\s*==\s*['"]{re.escape(extra)}['"]""")
    return tuple(need.partition(";")[0].strip() for need in said if of_extra.search(need))


def extra_words(extra: str, around: Surroundings | None = None) -> str:
    """Give what to type to add what an extra brings."""
    around = around or Surroundings.here()
    wanted = requirements(extra)
    if not wanted:
        # The program runs without having been installed, so nobody noted what it needs.
        editable = ("--editable",) if around.checkout else ()
        return typed((*around.pip(), *editable, f"{around.checkout or _FILE}[{extra}]"))
    if around.by_pipx:
        return typed(("pipx", "inject", around.prefix.name, *wanted))
    if around.by_uv:
        words, source = around.uv_words(*wanted)
        if source:
            return typed((*words, *source))
    return typed((*around.pip(), *wanted))


def update_words(around: Surroundings | None = None) -> str:
    """Give what to do, or to type, to have another version in the place of this one; FILE stands for its wheel."""
    around = around or Surroundings.here()
    if around.by_pipx:
        return typed(("pipx", "install", "--force", _FILE))
    if around.by_uv:
        words, _ = around.uv_words()
        return typed((*words, _FILE))
    if around.checkout is None:
        return typed((*around.pip(), "--upgrade", _FILE))
    words = (*around.pip(), "--editable", str(around.checkout))
    if os.name == "posix" and around.prefix == around.checkout / ".venv":
        words = ("sh", str(around.checkout / "demo" / "run"))
    return f"put its files in the place of those in {around.checkout}, then type: {typed(words)}"


class ExtraMissingError(ShopledgerError):
    """What was asked for needs packages that come with an extra, and they are not installed."""

    extra: ClassVar[str]
    needs: ClassVar[str]
    """What needs it, with its verb."""
    otherwise: ClassVar[str] = ""
    """What can be done without it."""

    def __str__(self) -> str:
        # The words come last and without a full stop, which would be typed with them.
        return f"{self.needs} the extra '{self.extra}'.{self.otherwise} Install it with: {extra_words(self.extra)}"


def _tool(receipt: Path) -> Mapping[str, Any]:
    """Read what `uv tool` noted; nothing where that cannot be read."""
    import tomllib  # noqa: PLC0415 - only a refusal asks

    try:
        tool = tomllib.loads(receipt.read_text(encoding="utf-8")).get("tool")
    except (OSError, ValueError):
        return {}
    return tool if isinstance(tool, dict) else {}


def _requirement(noted: Mapping[str, Any]) -> str:
    return f"{noted.get('name')}{_extras(noted)}{noted.get('specifier', '')}"


def _source(noted: Mapping[str, Any]) -> tuple[str, ...]:
    """Say the file or folder that the program came from, with the extras that it was installed with."""
    for kind in ("path", "directory", "editable"):
        place = noted.get(kind)
        if isinstance(place, str) and Path(place).exists():
            return (*(("--editable",) if kind == "editable" else ()), f"{place}{_extras(noted)}")
    return ()


def _extras(noted: Mapping[str, Any]) -> str:
    return f"[{','.join(noted['extras'])}]" if noted.get("extras") else ""
