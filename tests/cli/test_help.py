"""Every command and option says what it is for, whole, and asking for help costs no heavy import."""

from __future__ import annotations

import subprocess
import sys

import click
import pytest

from shopledger.cli.main import SECTIONS, shop
from shopledger.cli.optics import CALCULATORS, optics
from shopledger.cli.reference import contexts, reference

WEB = ("flask", "jinja2", "waitress", "werkzeug", "cheroot")
HEAVY = ("sqlalchemy", "alembic", "numpy", "reportlab", "openpyxl", "pandas", "lxml", "PIL", *WEB)

ALL = list(contexts())
PATHS = [ctx.command_path for ctx in ALL]


@pytest.mark.parametrize("ctx", ALL, ids=PATHS)
def test_every_command_has_help(ctx: click.Context) -> None:
    """A command without help is no command."""
    assert ctx.command.help


@pytest.mark.parametrize("ctx", ALL, ids=PATHS)
def test_every_option_has_help(ctx: click.Context) -> None:
    """An option without help cannot be used."""
    silent = [each.name for each in ctx.command.get_params(ctx) if isinstance(each, click.Option) and not each.help]
    assert silent == []


@pytest.mark.parametrize(("path", "text"), list(reference()), ids=PATHS)
def test_help_is_whole_at_eighty_columns(path: str, text: str) -> None:
    """No line of help is cut off or wider than a plain terminal."""
    assert path in text
    assert [
        line for line in text.splitlines() if len(line) > 80 or (line.endswith("...") and "COMMAND" not in line)
    ] == []


@pytest.mark.parametrize(
    ("name", "said"), [(name, place.help) for part in SECTIONS.values() for name, place in part.items()]
)
def test_the_table_says_what_the_command_says(name: str, said: str) -> None:
    """The first help is printed from a table, which agrees with the command's own first line."""
    command = shop.get_command(click.Context(shop), name)
    assert command is not None
    assert (command.help or "").splitlines()[0] == said


@pytest.mark.parametrize(
    ("name", "said"), [(name, place.help) for part in CALCULATORS.values() for name, place in part.items()]
)
def test_the_table_of_calculators_says_what_each_says(name: str, said: str) -> None:
    """Each calculator answers to its name in the table, and its own first line is the table's."""
    command = optics.get_command(click.Context(optics), name)
    assert command is not None
    assert command.name == name
    assert (command.help or "").splitlines()[0] == said


def imported_by(*words: str) -> set[str]:
    """Run the program in a fresh interpreter and list which heavy libraries it imported."""
    program = (
        "import sys\n"
        "from shopledger.cli.main import main\n"
        "try:\n    main()\n"
        f"finally:\n    print('imported', *[name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    result = subprocess.run(
        [sys.executable, "-c", program, *words], capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL
    )
    assert result.returncode == 0, result.stderr
    return set(result.stderr.splitlines()[-1].split()[1:])


def test_asking_for_help_imports_nothing_heavy() -> None:
    """Help comes at once, of the program and of each command: no database, no arrays, no paper, no sheets, no pages."""
    # What is said of the ledger is looked up in it.
    assert imported_by("--version") == {"sqlalchemy"}
    asked = ([], *(path.split()[1:] for path in PATHS[1:]))
    program = (
        "import sys\n"
        "from click.testing import CliRunner\n"
        "from shopledger.cli.main import shop\n"
        f"for words in {asked!r}:\n"
        "    assert CliRunner().invoke(shop, [*words, '--help']).exit_code == 0, words\n"
        f"    assert not {{*{HEAVY!r}}} & {{*sys.modules}}, words\n"
    )
    ended = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("optics", "transpose", "--sphere", "-2.50", "--json"),
        ("optics", "meridian", "--sphere", "-2.50", "--at", "30", "--json"),
        ("optics", "prism", "--sphere", "-2.50", "--eye", "right", "--inward", "2", "--json"),
        ("optics", "vertex", "--sphere", "-2.50", "--tested-at", "14", "--worn-at", "12", "--json"),
        ("optics", "cross", "--power", "-2.50", "--power", "-2.50", "--json"),
        ("optics", "prism-combine", "--eye", "right", "--prism", "2 BU", "--json"),
        ("optics", "prism-split", "--eye", "right", "--prism", "2 BU", "--json"),
        ("optics", "prism-imbalance", "--right", "-2.50", "--left", "-1.00", "--json"),
        ("optics", "tolerance", "--right", "-2.50", "--measured-right", "-2.50", "--json"),
        ("optics", "decentre", "--a", "52", "--dbl", "18", "--pd-right", "31", "--pd-left", "32", "--json"),
        ("optics", "blank", "--ed", "55", "--json"),
        ("claim", "code", "--lens", "single-vision", "--sphere", "-2.50", "--json"),
        ("prescription", "check", "--right", "-2.50", "--left", "-2.50", "--json"),
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_calculators_import_only_what_they_need(words: tuple[str, ...]) -> None:
    """A calculator that needs no arrays and shows no table starts as quickly as help."""
    assert imported_by(*words) == set()


def test_examples_keep_their_lines() -> None:
    """An example is shown as it is typed, not filled into a paragraph."""
    text = dict(reference())["shopledger refund give"]
    assert "    shopledger refund give 12 --returned 1 --method check --reason 'too small'" in text.splitlines()
    assert [path for path, each in reference() if "\\b" in each] == []
