"""What the manual says beside the commands: where things lie, other versions, removing, completion, exit codes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import click

from shopledger import errors
from shopledger.cli.main import shop
from shopledger.cli.manuals.parts import Chapter, Grid, Paragraph, Row

KINDS: Final = (
    errors.ShopledgerError,
    errors.SetupError,
    errors.OpticsError,
    errors.LedgerError,
    errors.StoreError,
    errors.PaperworkError,
    errors.ExportError,
    errors.ExchangeError,
)
"""Every kind of error with an exit code of its own."""

WHERE_THINGS_LIE: Final = Chapter(
    "Where things lie",
    (
        Paragraph(
            "The ledger is one file. 'shopledger where' says which; --ledger or SHOPLEDGER_LEDGER names another. "
            "Unless told otherwise it lies here:"
        ),
        Grid(
            ("Ledger", "On"),
            (
                Row("~/.local/share/shopledger/ledger.db", "Linux"),
                Row("~/Library/Application Support/shopledger/ledger.db", "macOS"),
                Row("%LOCALAPPDATA%\\shopledger\\shopledger\\ledger.db", "Windows"),
            ),
        ),
        Paragraph(
            "While somebody works with it, two files with its name and '-wal' or '-shm' lie beside it and belong to "
            "it. What this computer last saw of a ledger lies in ~/.local/state/shopledger on Linux and in the "
            "ledger's usual folder elsewhere; without it a command only cannot tell that an older file was "
            "put in the ledger's place. Papers and sheets lie where --into said."
        ),
    ),
)

OTHER_VERSIONS: Final = Chapter(
    "Another version of the program",
    (
        Paragraph(
            "The program is in no package index: it comes as a folder or as a wheel, FILE below, and is never "
            "installed by its name alone. To put another version in the place of this one, type what fits how it was "
            "installed:"
        ),
        Grid(
            ("Type", "Where it was installed with"),
            (
                Row("pipx install --force FILE", "pipx; what was injected stays."),
                Row("uv tool install --force FILE", "uv; name what was added with --with again."),
                Row("python -m pip install --upgrade FILE", "pip in an environment of its own, with its python."),
                Row("sh demo/run", "nothing: it runs from the folder of its sources, whose files were exchanged."),
            ),
        ),
        Paragraph(
            "Where the tables have to change, the first command of a newer program that opens the ledger says so, "
            "copies it, checks the copy, changes the tables, and says where the copy lies: in the folder 'ledger "
            "before upgrades' beside it. 'shopledger backup list' lists such copies, and older ones go by the rule for "
            "backups. 'shopledger changes' says what is new."
        ),
        Paragraph(
            "An older program does not touch a ledger that a newer one has changed, and writes nothing into one that "
            "is changed while it has it open. To go back, install the older program and put back the copy that was "
            "made before; the newer ledger is put aside under another name. 0.1.0 wants it renamed first."
        ),
        Paragraph(
            "shopledger backup restore 'ledger before upgrades/shopledger-before-0.2.0-2026-11-29-091500.db'\n"
            "shopledger verify",
            typed=True,
        ),
        Paragraph(
            "What was recorded since then is in the newer ledger alone and has to be recorded again. Keep that file. "
            "Whoever makes a backup before changing versions has one copy more: 'shopledger backup make'."
        ),
    ),
)

REMOVING: Final = Chapter(
    "Removing the program",
    (
        Paragraph(
            "Removing the program leaves the ledger, its copies and the papers where they are. 'shopledger where' says "
            "before where the ledger is."
        ),
        Grid(
            ("Type", "Where it was installed with"),
            (
                Row("pipx uninstall shopledger", "pipx"),
                Row("uv tool uninstall shopledger", "uv"),
                Row("python -m pip uninstall shopledger", "pip, with the python of its environment"),
            ),
        ),
    ),
)

COMPLETION: Final = Chapter(
    "Completing words with the tab key",
    (
        Paragraph(
            "A shell completes commands and options once this line stands in the file that it reads when it starts."
        ),
        Grid(
            ("Line", "For, and its file"),
            (
                Row('eval "$(_SHOPLEDGER_COMPLETE=bash_source shopledger)"', "bash: ~/.bashrc"),
                Row('eval "$(_SHOPLEDGER_COMPLETE=zsh_source shopledger)"', "zsh: ~/.zshrc, after compinit"),
                Row(
                    "_SHOPLEDGER_COMPLETE=fish_source shopledger | source",
                    "fish: ~/.config/fish/completions/shopledger.fish",
                ),
                Row(
                    "$env:_SHOPLEDGER_COMPLETE = 'powershell_source'; shopledger | Out-String | Invoke-Expression; "
                    "Remove-Item Env:_SHOPLEDGER_COMPLETE",
                    "PowerShell: the file that $PROFILE names",
                ),
            ),
        ),
    ),
)

_OTHER_VARIABLES: Final = (
    ("SHOPLEDGER_STATE", "The folder in which this computer keeps what it last saw of each ledger."),
    ("XDG_DATA_HOME, XDG_STATE_HOME", "On Linux, the folders in which every program keeps what is the user's."),
    ("COLUMNS", "How many letters a line has. Otherwise as many as the terminal has."),
    ("NO_COLOR", "Where it is set, nothing is shown in colour or bold."),
    ("TERM", "Where it is 'dumb', nothing is shown in colour or bold."),
    ("PGPASSFILE", "The file with the passwords of PostgreSQL servers. Otherwise .pgpass in the home folder."),
)


def chapters() -> Sequence[Chapter]:
    """Give every chapter, in the order of a reader's needs."""
    codes = Chapter(
        "Exit codes",
        (
            Paragraph("What a command ends with tells a script what became of it."),
            Grid(("Code", "When"), exit_codes()),
        ),
    )
    environment = Chapter("Variables of the environment", (Grid(("Variable", "What it says"), variables()),))
    return (WHERE_THINGS_LIE, OTHER_VERSIONS, REMOVING, COMPLETION, codes, environment)


def exit_codes() -> Sequence[Row]:
    """Give each exit code with what it means, the smallest first."""
    said = {0: "All went well.", 2: "The command line cannot be read."}
    said |= {kind.exit_code: (kind.__doc__ or "").splitlines()[0].removeprefix("The root: ") for kind in KINDS}
    return [Row(str(code), words[:1].upper() + words[1:]) for code, words in sorted(said.items())]


def variables() -> Sequence[Row]:
    """Give each variable of the environment that is read: those of options first."""
    of_options = (
        Row(str(each.envvar), each.help or "")
        for each in shop.params
        if isinstance(each, click.Option) and each.envvar is not None
    )
    return [*of_options, *(Row(*each) for each in _OTHER_VARIABLES)]
