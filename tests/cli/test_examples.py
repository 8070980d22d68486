"""Every command shows in its help how it is typed, and what it shows can be typed."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

from shopledger.cli.examples import AS_IT_STANDS, HEADING, WIDEST, examples_of, with_examples
from shopledger.cli.reference import contexts
from shopledger.shell import typed

COMMANDS = [ctx for ctx in contexts() if not isinstance(ctx.command, click.Group)]
PATHS = [ctx.command_path for ctx in COMMANDS]
EXAMPLES = [(ctx, words) for ctx in COMMANDS for words in examples_of(ctx.command.help or "")]
FILE = re.compile(r"[\w/-]+\.(csv|db|ofx|pdf|toml|txt)")


@pytest.mark.parametrize("ctx", COMMANDS, ids=PATHS)
def test_every_command_has_an_example(ctx: click.Context) -> None:
    """Its first one is of this command, whatever stands beside it."""
    first = examples_of(ctx.command.help or "")[0]
    assert " ".join(first).startswith(ctx.command_path)


@pytest.mark.parametrize(("ctx", "words"), EXAMPLES, ids=[" ".join(words) for _, words in EXAMPLES])
def test_every_example_can_be_read(
    ctx: click.Context, words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each word has its place and each value can be read, once the files that it names are there."""
    monkeypatch.chdir(tmp_path)
    for word in filter(FILE.fullmatch, words):
        Path(word).parent.mkdir(parents=True, exist_ok=True)
        Path(word).touch()
    command, rest = _found(ctx.find_root(), words)
    assert command.make_context(words[0], rest, parent=ctx.find_root()).command is command
    assert "$" not in " ".join(words)


def _found(root: click.Context, words: list[str]) -> tuple[click.Command, list[str]]:
    """Give the command that an example names, and the words behind its name."""
    command, rest = root.command, words[1:]
    while isinstance(command, click.Group):
        found = command.get_command(root, rest[0])
        assert found is not None, words
        command, rest = found, rest[1:]
    return command, rest


def test_an_example_is_shown_as_the_shell_takes_it() -> None:
    """In single quotes to a POSIX shell, in double ones on Windows; folded where the shell reads the lines as one."""
    text = f'Do it.\n\n{HEADING}\nshopledger one --name "Odalys Fernhollow"\n    --reason ok\nshopledger two'
    assert with_examples(text, "posix").splitlines()[2:] == [
        AS_IT_STANDS,
        HEADING,
        "  shopledger one --name 'Odalys Fernhollow' --reason ok",
        "  shopledger two",
    ]
    assert '"Odalys Fernhollow" --reason ok' in with_examples(text, "nt")
    assert with_examples(with_examples(text, "posix"), "posix") == with_examples(text, "posix")


def test_a_long_example_is_folded_and_reads_the_same() -> None:
    """No line is wider than the help, and together they are the example."""
    words = ["shopledger", "sale", "record", *(each for at in range(12) for each in (f"--option-{at}", f"value {at}"))]
    shown = with_examples(f"Do it.\n\n{HEADING}\n{shlex.join(words)}", "posix")
    assert max(map(len, shown.splitlines())) <= WIDEST + 2
    assert examples_of(shown) == [words]
    assert shown.count("\\\n") == len(shown.splitlines()) - 5
    assert typed(words, "nt") in with_examples(f"{HEADING}\n{shlex.join(words)}", "nt")


def test_what_stands_before_an_example_keeps_its_form() -> None:
    """The margin of a docstring is taken away from all of it alike."""
    said = with_examples(f"Do it.\n\n    And more\n    of it.\n\n    {HEADING}\n    shopledger one\n    ", "posix")
    assert said.split("\n\n")[1] == "And more\nof it."


def test_text_without_an_example_is_left_alone() -> None:
    """Nothing is made of it."""
    assert with_examples("Do it.\n\nAnd more.") == "Do it.\n\nAnd more."
