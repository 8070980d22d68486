"""The whole job once: runs the script of an invented shop's days, command by command, on a ledger of its own."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from shopledger.errors import SetupError
from shopledger.places import demo_folder
from shopledger.shell import typed

SCRIPT = "whole-job.toml"
LEDGER = "shop.db"
_MARK = ".made-by-shopledger-demo"


@dataclass(frozen=True, slots=True)
class Step:
    """One command of the script: why, on which day, as typed, how it must end, what must stand on the screen."""

    say: str
    today: str
    run: str
    exits: int = 0
    shows: tuple[str, ...] = ()
    tall: bool = False
    """Whether all of its output is shown, rather than the first lines."""


class DemoFailedError(SetupError):
    """A step of the demo did not end as its script says."""

    run: str
    reason: str
    sentence = "the demo stopped at 'shopledger {run}': {reason}. Please report it with the lines above."


class FolderTakenError(SetupError):
    """The demo was to be made in a folder with other files."""

    folder: Path
    names: str
    sentence = (
        "the folder {folder} holds what no demo made ({names}), so nothing in it was touched. "
        "Give an empty or new folder with --into."
    )


@click.command()
@click.option(
    "--into",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("shopledger-demo"),
    show_default=True,
    help="Folder for the demo's ledger and papers; an earlier demo in it is made anew.",
)
def demo(into: Path) -> None:
    """Run the whole job of an invented shop on a ledger of its own; yours is never touched.

    Example:
    shopledger demo --into demo
    """
    out = _fresh(into.absolute())
    steps = read_script(demo_folder() / SCRIPT)
    checks = 0
    for number, step in enumerate(steps, start=1):
        click.echo(f"\n[{number}/{len(steps)}] {step.today}  {step.say}")
        checks += run_step(step, out)
        _note_made(out)
    _farewell(out, len(steps), checks)


def read_script(file: Path) -> tuple[Step, ...]:
    """Read the steps of the script."""
    with file.open("rb") as handle:
        rows = tomllib.load(handle)["step"]
    return tuple(Step(**{**row, "shows": tuple(row.get("shows", ()))}) for row in rows)


def run_step(step: Step, out: Path) -> int:
    """Run one command in a process of its own and show it; gives how many things were checked."""
    # Split first: a folder may have spaces in its name.
    words = shlex.split(step.run)
    filled = [word.format(demo=demo_folder(), out=out) for word in words]
    shown = typed([word.format(demo="demo", out=out.name) for word in words])
    click.echo(f"$ shopledger {shown}")
    ended = subprocess.run(  # noqa: S603 - the program itself, with the words of its own script
        # Not from the folder where it was started, in which a module may have the name of one of the program's.
        [sys.executable, "-P", "-m", "shopledger", *_before(step, out), *filled],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        check=False,
    )
    click.echo("\n".join(_indented(ended.stdout, tall=step.tall)))
    if ended.returncode != step.exits:
        raise DemoFailedError(shown, f"it ended with code {ended.returncode}, not {step.exits}")
    # A table folds long words and paths; without white space they are whole again.
    flat = "".join(ended.stdout.split())
    for wanted in step.shows:
        if "".join(wanted.split()) not in flat:
            raise DemoFailedError(shown, f"'{wanted}' does not stand on the screen")
    return 1 + len(step.shows)


def _before(step: Step, out: Path) -> Sequence[str]:
    """Give the options that keep every step to the demo's own ledger and day."""
    return ["--ledger", str(out / LEDGER), "--operator", "demo", "--today", step.today]


def _indented(text: str, *, tall: bool) -> Iterator[str]:
    most = 400 if tall else 14
    lines = [line for line in text.splitlines() if line.strip()]
    yield from (f"    {line}" for line in lines[:most])
    if len(lines) > most:
        yield f"    … {len(lines) - most} more lines"


def _fresh(out: Path) -> Path:
    """Give an empty folder: a new one, or an earlier demo's, of which nothing is removed but what it made itself."""
    from shopledger.files.writing import made_folder

    made_folder(out)
    foreign = sorted(name for name in _files(out) if not _is_own(name, _made(out)))
    if foreign:
        raise FolderTakenError(out, listed_some(foreign))
    own = [out / name for name in _files(out)]
    for file in own:
        file.unlink()
    for folder in sorted({folder for file in own for folder in file.parents if out in folder.parents}, reverse=True):
        folder.rmdir()
    _note_made(out)
    return out


def _note_made(out: Path) -> None:
    """Write down what the demo made so far, so that a later one knows it from the owner's files."""
    lines = ["This folder is made anew by each run of the demo. It made:", *sorted(_files(out))]
    (out / _MARK).write_text("\n".join(lines) + "\n", encoding="utf-8")


def _made(out: Path) -> frozenset[str]:
    mark = out / _MARK
    lines = mark.read_text(encoding="utf-8").splitlines() if mark.is_file() else []
    return frozenset((*lines[1:], *([_MARK] if lines else [])))


def _files(out: Path) -> list[str]:
    """Give what lies in a folder and below it, but for folders."""
    return [each.relative_to(out).as_posix() for each in out.rglob("*") if each.is_symlink() or not each.is_dir()]


def _is_own(name: str, made: frozenset[str]) -> bool:
    """Tell whether the demo made a file; what SQLite keeps beside its ledger, and drafts, come and go."""
    return name in made or (bool(made) and (name.startswith(f"{LEDGER}-") or name.endswith(".draft")))


def listed_some(names: Sequence[str], most: int = 3) -> str:
    """Name a few of many files."""
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"{', '.join(names[:most])}{more}"


def _farewell(out: Path, steps: int, checks: int) -> None:
    """List what was made and where, what was checked, and what to try next."""
    click.echo("\nMade:")
    for file in sorted(out.rglob("*")):
        if file.is_file() and file.name != _MARK and not file.name.endswith(("-wal", "-shm")):
            click.echo(f"  {file}  ({file.stat().st_size / 1024:.0f} KiB)")
    click.echo(f"\nChecked: {checks} things over {steps} commands, each command's end and what it said; all held.")
    click.echo("\nTry next:")
    for words in ("customer show Fernhollow", "sale show 1", "month show 2026-03", "stock list", "optics --help"):
        click.echo(f"  {typed([*_program(), '--ledger', str(out / LEDGER), *words.split()])}")
    click.echo("  Open the receipts and the reorder record; lay a ruler on its bar. Open the month in a spreadsheet.")


def _program() -> list[str]:
    """Give what to type for the program from here: its name where the shell finds it, otherwise its path."""
    script = Path(sys.executable).parent / ("shopledger.exe" if os.name == "nt" else "shopledger")
    found = shutil.which("shopledger")
    if found is not None and Path(found).resolve() == script.resolve():
        return ["shopledger"]
    # A script says in its first line where its Python lies, and a shell reads that line where there are spaces in it.
    if script.is_file() and not (os.name == "posix" and set(str(script)) & set('"\\$`\n')):
        return [str(script)]
    return [sys.executable, "-m", "shopledger"]
