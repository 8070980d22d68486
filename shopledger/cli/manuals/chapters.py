"""What the manual says beside the commands: how to type, where things lie, other versions, completion, exit codes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import click

from shopledger import errors
from shopledger.cli.completion import SWITCHED_ON_BY
from shopledger.cli.main import shop
from shopledger.cli.manuals.parts import Chapter, Grid, Paragraph, Row
from shopledger.ledger.forms import KEPT_DAYS
from shopledger.shell import typed

SHELLS: Final = {"bash": "bash", "zsh": "zsh", "fish": "fish", "powershell": "PowerShell"}
"""What each shell is called."""
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

TYPING: Final = Chapter(
    "How things are typed",
    (
        Paragraph("What has blanks in it stands in quotes, or the shell takes it for several words."),
        Grid(
            ("What", "How"),
            (
                Row(
                    "2026-03-02, 3/2/2026, 3/2/26, 2 Mar 2026, today, yesterday, monday",
                    "A day. Between slashes the month stands first. A year of two digits is the last one that lies no "
                    "more than ten years ahead; a birth day is never to come. A weekday is the last one before today; "
                    "on that weekday, and where a day to come is wanted, the day itself is to be typed.",
                ),
                Row(
                    "129.95, 1299.95, 0.95",
                    "An amount, without a sign for its currency: a shell takes one for the beginning of a name, and "
                    "what is left may still look like an amount. Below a dollar it begins with 0.",
                ),
                Row(typed(["-2.50 -1.25 x 090 add 2.00"]), "What is prescribed for an eye, in quotes."),
                Row("63, 31.5/32", "A PD of both eyes, or of the right and the left one."),
                Row("Fernhollow, 7", "A customer: enough of the name, or the number."),
                Row("WREN-52, wren-52", "A code, in any case. One that is not known is answered with what is near."),
            ),
        ),
    ),
)

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

COUNTER: Final = Chapter(
    "The counter in the browser",
    (
        Paragraph(
            "'shopledger counter' opens the shop in the browser: the whole day on pages, over the same ledger as the "
            "commands. Where there is none yet, the first page sets the shop up. The counter answers for as long as "
            "the command runs, and Ctrl-C closes it; a second start only opens the browser again. Nobody else on this "
            "computer and nothing on the network gets in: the address that is opened works once, within five minutes."
        ),
        Paragraph(
            "Any browser of today will do, with scripts or without. With them, what is typed is kept at each change, "
            "and what it comes to is shown meanwhile; without, each time a form is sent. Nothing comes from the "
            f"network. The page 'Keys and help' lists the keys. A form that is begun is kept for {KEPT_DAYS} days."
        ),
        Grid(
            ("What happens", "What to do"),
            (
                Row(
                    "The browser does not find the page",
                    "It may not know names that end in '.localhost'. Close the counter and start it with "
                    "'shopledger counter --bare-address', which uses 127.0.0.1.",
                ),
                Row("No browser opens", "Type the address that the command says into one. --no-browser only says it."),
                Row(
                    "The door is closed",
                    "The address was used before, the counter was closed meanwhile, or nobody used the browser for "
                    "eight hours. Start the counter again: its page opens, and what was begun is there.",
                ),
                Row("No port is free", "End what uses it, or name another one with --port."),
                Row(
                    "Papers belong into another folder",
                    "Name it with --papers or SHOPLEDGER_PAPERS; each month has its own in it.",
                ),
            ),
        ),
        Paragraph(
            "Another computer of the shop opens the same pages once this one lets it in. Add who works there under "
            "Shop, Operators, each with a passphrase; close the counter and start it with this computer's own address "
            "in the shop's network, and keep that command running:"
        ),
        Paragraph("shopledger counter --address 192.0.2.10", typed=True),
        Paragraph(
            "The first time it says what is to be installed. It then says the address that the other computer opens, "
            "and the SHA-256 fingerprint of its certificate, which this computer made itself. The other browser warns "
            "once; go on only where it shows the same fingerprint, and log in. This computer is not asked for a "
            "passphrase unless Operators says so; 'shopledger counter --ask-nobody-here' opens it again where one was "
            "forgotten. What a computer's firewall keeps out has to be let in there."
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
            "A shell completes commands, options, codes of goods and people once this line stands in the file that it "
            "reads when it starts. 'shopledger completion bash' prints what the line gives to the shell."
        ),
        Grid(
            ("Line", "For, and its file"),
            [Row(line, f"{SHELLS[shell]}: {file}") for shell, (line, file) in SWITCHED_ON_BY.items()],
        ),
    ),
)

_OTHER_VARIABLES: Final = (
    ("SHOPLEDGER_STATE", "The folder in which this computer keeps what it last saw of each ledger."),
    (
        "SHOPLEDGER_PAPERS",
        "The folder for papers, if not 'Shop papers' among your documents.",
    ),
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
    return (TYPING, COUNTER, WHERE_THINGS_LIE, OTHER_VERSIONS, REMOVING, COMPLETION, codes, environment)


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
