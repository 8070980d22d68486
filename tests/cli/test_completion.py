"""The tab key completes commands, options, codes and people, in a real shell, without a trace in the ledger."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest
from click.shell_completion import BashComplete, ShellComplete, get_completion_class

from shopledger.cli.completion import SWITCHED_ON_BY
from shopledger.cli.group import VARIABLE
from shopledger.cli.main import shop
from tests.cli.conftest import Typed, done, type_in
from tests.cli.test_help import HEAVY

Completed = Callable[..., list[str]]
"""Gives what may stand in the place of the last word of a line, which may be empty."""


@pytest.fixture
def known(typed: Typed, ledger: Path) -> Path:
    """Give a ledger with a few more people and goods."""
    person = ("--street", "9 Mill Row", "--city", "Millbrae", "--state", "OH", "--zip", "43002")
    done(typed("customer", "add", "--name", "José Fernández-Reed", *person))
    done(typed("customer", "add", "--name", "Bram Pike", *person))
    done(typed("supplier", "add", "--name", "Tollgate Frames"))
    for code in ("DARK-1", "DARK-2"):
        done(typed("extra", "add", code, "--name", "Dark", "--kind", "tint", "--price", "9"))
    return ledger


@pytest.fixture
def completed(known: Path) -> Completed:
    """Give what click would tell the shell."""

    def complete(*words: str) -> list[str]:
        made = ShellComplete(shop, {}, "shopledger", VARIABLE)
        return [item.value for item in made.get_completions(["--ledger", str(known), *words[:-1]], words[-1])]

    return complete


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("pre", ["prescriber", "prescription"]),
        ("sale re", ["record", "reduce"]),
        ("optics prism-s", ["prism-split"]),
        ("sale record --acc", ["--accessory", "--accept"]),
        ("sale record --frame wr", ["WREN-52"]),
        ("sale record --frame-only W", ["WREN-52"]),
        ("sale record --lens ", ["PROG", "SV-150"]),
        ("sale record --left-lens s", ["SV-150"]),
        ("sale record --extra ", ["AR", "DARK-1", "DARK-2"]),
        ("sale record --accessory CA", ["CASE"]),
        ("sale record --offer S", ["SV-FREE"]),
        ("sale record --customer ", ["1", "2", "3"]),
        ("sale record --customer fern", ["Fernández-Reed", "Fernhollow"]),
        ("sale record --customer=bra", ["Bram"]),
        ("sale record --wearer wre", ["Wren"]),
        ("sale record --method ca", ["card", "cash"]),
        ("sale exchange 1 --line 1 --for ", ["WREN-52", "CASE"]),
        ("customer show jos", ["José"]),
        ("customer show 3", ["3"]),
        ("supplier show toll", ["Tollgate"]),
        ("bill record Fra", ["Frames"]),
        ("prescription add --prescriber cas", ["Castellane"]),
        ("wearer change W", ["Wren"]),
        ("frame show ", ["WREN-52"]),
        ("lens change P", ["PROG"]),
        ("stock count C", ["CASE"]),
        ("trace show W", ["WREN-52"]),
        ("claim code --extra pho", ["photochromic"]),
        ("claim code --lens s", ["single-vision"]),
        ("completion p", ["powershell"]),
        # Nothing of these is known, or is to be.
        ("frame add W", []),
        ("sale record --frame zz", []),
        ("sale record --customer zz", []),
        ("sale record --customer %", []),
        ("sale record --note W", []),
        ("nonsense W", []),
        ("sale nonsense W", []),
        ("sale record --pd abc --frame wr", ["WREN-52"]),
        ("--version sale record --frame wr", ["WREN-52"]),
    ],
)
def test_what_may_be_typed_is_completed(completed: Completed, line: str, found: list[str]) -> None:
    """By what each option and argument takes; codes in any case, people by a number or a word of their name."""
    assert completed(*line.split(" ")) == found


@pytest.mark.slow
def test_every_option_is_asked_without_fail(completed: Completed) -> None:
    """Whatever takes a value, something or nothing is said of it."""
    from shopledger.cli.reference import contexts

    for ctx in contexts():
        words = ctx.command_path.split()[1:]
        for param in ctx.command.params:
            if isinstance(param, click.Option) and not param.is_flag and words:
                completed(*words, param.opts[0], "")
        if words:
            completed(*words, "")
            completed(*words, "-")


@pytest.mark.parametrize("with_log", [False, True])
def test_completing_leaves_no_trace(completed: Completed, known: Path, *, with_log: bool) -> None:
    """No file is made beside the ledger, no byte of it changes, and a writer is not in the way."""
    writer = sqlite3.connect(known)
    writer.execute("PRAGMA journal_mode=WAL")
    if with_log:
        writer.execute("UPDATE counter SET last = last")
        writer.commit()
        writer.execute("BEGIN IMMEDIATE")
    else:
        writer.close()
    before = {file.name: file.read_bytes() for file in known.parent.iterdir() if not file.name.endswith("-shm")}
    assert completed("frame", "show", "W") == ["WREN-52"]
    assert completed("customer", "show", "bra") == ["Bram"]
    after = {file.name: file.read_bytes() for file in known.parent.iterdir() if not file.name.endswith("-shm")}
    assert after == before
    writer.close()


@pytest.mark.parametrize("body", [b"", b"no ledger at all", None])
def test_where_no_ledger_can_be_read_nothing_is_said(tmp_path: Path, body: bytes | None) -> None:
    """Not even that; and none is made."""
    place = tmp_path / "ledger.db"
    if body is not None:
        place.write_bytes(body)
    made = ShellComplete(shop, {}, "shopledger", VARIABLE)
    for given in (
        str(place),
        str(tmp_path),
        "postgresql+psycopg://127.0.0.1:1/none",
        "postgres://x",
        "x://",
        "sqlite://",
    ):
        assert made.get_completions(["--ledger", given, "frame", "show"], "W") == []
        assert made.get_completions(["--ledger", given, "customer", "show"], "W") == []
    assert place.exists() == (body is not None)


def test_a_ledger_of_before_is_looked_into_and_not_brought_up_to_date(known: Path) -> None:
    """An upgrade waits for a command."""
    with sqlite3.connect(known) as ledger:
        ledger.execute("UPDATE shopledger_revision SET version_num = '20261125_inspections'")
    ledger.close()
    made = ShellComplete(shop, {}, "shopledger", VARIABLE)
    found = made.get_completions(["--ledger", str(known), "frame", "show"], "W")
    assert [(each.value, each.help) for each in found] == [("WREN-52", "Thistledown Wren")]
    assert [file.name for file in known.parent.iterdir() if "upgrade" in file.name] == []
    with sqlite3.connect(known) as ledger:
        assert ledger.execute("SELECT version_num FROM shopledger_revision").fetchone() == ("20261125_inspections",)
    ledger.close()


@pytest.mark.slow
def test_completing_loads_nothing_heavy(known: Path) -> None:
    """Whoever presses a key waits for it: a file is read without the library of the database."""
    program = (
        "import sys\nfrom shopledger.cli.main import main\n"
        "try:\n    main()\n"
        f"finally:\n    print(*[name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    words = f"shopledger --ledger {known} sale record --frame W"
    asked = {**os.environ, VARIABLE: "bash_complete", "COMP_WORDS": words, "COMP_CWORD": "6"}
    told = subprocess.run([sys.executable, "-c", program], env=asked, capture_output=True, text=True, check=False)
    assert (told.returncode, told.stdout, told.stderr) == (0, "plain,WREN-52\n", "\n")


@pytest.mark.slow
@pytest.mark.parametrize("variable", ["bash_complete", "nonsense", "bash_nonsense", ""])
def test_a_shell_that_asks_wrongly_gets_no_words(variable: str, known: Path) -> None:
    """Neither a traceback nor a sentence falls into the line that is being typed."""
    asked = {**os.environ, VARIABLE: variable, "COMP_CWORD": "x", "SHOPLEDGER_LEDGER": str(known)}
    told = subprocess.run(
        [sys.executable, "-m", "shopledger", "where"], env=asked, capture_output=True, text=True, check=False
    )
    assert told.stderr == ""


@pytest.mark.parametrize("shell", SWITCHED_ON_BY)
def test_each_shell_gets_its_script(shell: str) -> None:
    """The whole of it, with the line that switches it on at its end."""
    printed = done(type_in("completion", shell)).stdout
    made = get_completion_class(shell)
    assert made is not None
    assert f"{VARIABLE}" in printed
    line, file = SWITCHED_ON_BY[shell]
    assert printed.splitlines()[-1] == f"# To switch it on, put this line into {file}: {line}"
    assert f"completion {shell}" in line
    assert "shopledger" in printed.splitlines()[0] + printed.splitlines()[1]


def test_an_unknown_shell_is_refused_with_those_that_are_known() -> None:
    """In the words that are typed."""
    refused = type_in("completion", "cmd")
    assert refused.exit_code == 2
    assert "'powershell'" in refused.stderr


@pytest.fixture
def on_path(tmp_path: Path, known: Path) -> dict[str, str]:
    """Give surroundings in which the shell finds the program."""
    program = tmp_path / "bin" / "shopledger"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m shopledger "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    path = f"{program.parent}{os.pathsep}{os.environ['PATH']}"
    return {**os.environ, "PATH": path, "SHOPLEDGER_LEDGER": str(known), "HOME": str(tmp_path), "LC_ALL": "C.UTF-8"}


BASH = """
eval "$(shopledger completion bash)"
COMP_WORDS=({words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1))
{function} shopledger
printf '%s\\n' "${{COMPREPLY[@]}}"
complete -p shopledger
"""


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash")
@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("frame sh", ["show"]),
        ("frame show wr", ["WREN-52"]),
        ("sale record --customer fern", ["Fernández-Reed", "Fernhollow"]),
        ("sale record --ext", ["--extra"]),
        ("sale record --method ca", ["card", "cash"]),
        ("zzz wr", [""]),
    ],
)
def test_bash_completes(on_path: dict[str, str], words: str, found: list[str]) -> None:
    """Its own function, as the tab key calls it, fills in what may be typed and says nothing else."""
    function = BashComplete(shop, {}, "shopledger", VARIABLE).func_name
    script = BASH.format(words=f"shopledger {words}", function=function)
    ended = subprocess.run(["bash", "--norc", "-c", script], env=on_path, capture_output=True, text=True, check=False)
    assert ended.stderr == ""
    *replies, switched = ended.stdout.splitlines()
    assert replies == found
    assert switched == f"complete -o nosort -F {function} shopledger"


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("fish") is None, reason="there is no fish")
def test_fish_completes(on_path: dict[str, str]) -> None:
    """What a word may be stands with what it is."""
    script = "shopledger completion fish | source; complete -C 'shopledger frame show W'"
    ended = subprocess.run(["fish", "-N", "-c", script], env=on_path, capture_output=True, text=True, check=False)
    assert ended.stdout.split("\n")[0] == "WREN-52\tThistledown Wren"


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("zsh") is None, reason="there is no zsh")
def test_zsh_reads_its_script(on_path: dict[str, str]) -> None:
    """The line of the manual can be evaluated after compinit, and completes by the function of the script."""
    script = (
        'autoload -Uz compinit && compinit -u -D; eval "$(shopledger completion zsh)"; print -r -- $_comps[shopledger]'
    )
    ended = subprocess.run(["zsh", "-f", "-c", script], env=on_path, capture_output=True, text=True, check=False)
    assert (ended.stdout.strip(), ended.stderr) == ("_shopledger_completion", "")
