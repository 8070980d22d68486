"""The keys of encrypted copies: made and printed, added, shown; and how a secret one is given without being seen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, into_named_folder, made
from shopledger.cli.output import Drawing, show
from shopledger.cli.prompts import confirm, lacking, tell

if TYPE_CHECKING:
    from shopledger.ledger.papers.backup_key import BackupKeyPaper

MOST_TRIES = 3
LONGEST_KEY_FILE = 10_000

key_file = click.option(
    "--key-file",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A text file with the secret key, for encrypted copies. Otherwise it is asked for.",
)


@click.group()
def key() -> None:
    """Keep the keys that copies are encrypted with."""


@key.command()
@into_named_folder
@click.option("--holder", metavar="TEXT", default="", help="Who keeps the paper.")
@as_json
@pass_run
def new(run: Run, folder: Path, holder: str, as_json: bool) -> None:
    """Make a key pair, and print the secret key on paper.

    Copies are encrypted with the public key from then on, once you have typed the last letters of the secret one from
    the paper. The program does not keep the secret key.

    Example:
    shopledger backup key new --into keys --holder Ines
    """
    from shopledger.cli.views.backups import OUT, keys_table
    from shopledger.desk.backup_keys import add_key, print_new_key

    if not run.asks:
        lacking("A person at the terminal, who reads the paper,")
    made_key = print_new_key(run.desk(), made(folder))
    try:
        tell(f"Print {made_key.file}, and look at the paper.")
        _have_it_read(made_key.paper)
    except BaseException:
        made_key.file.unlink(missing_ok=True)
        raise
    added = add_key(run.desk(), made_key.paper.public, holder)
    if confirm("Is it on paper, and may the file go?"):
        made_key.file.unlink(missing_ok=True)
    else:
        tell(f"Delete {made_key.file} yourself as soon as it is on paper: it holds the secret key.")
    show(as_json, OUT.of(added), keys_table((added,)))
    tell("Copies are encrypted from now on. Keep the paper where the copies are not.")


@key.command()
@click.argument("public")
@click.option("--holder", metavar="TEXT", default="", help="Who holds its secret half.")
@as_json
@pass_run
def add(run: Run, public: str, holder: str, as_json: bool) -> None:
    """Let one more key open the copies, as of a friend.

    PUBLIC begins with age1. The secret half stays with its holder.

    Example:
    shopledger backup key add age1ql3z7hjy54pw3hyww5ayyfg7zqgvc7w3j2elw8zmrj2kdtqwcaqq --holder Ines
    """
    from shopledger.cli.views.backups import OUT, keys_table
    from shopledger.desk.backup_keys import add_key

    added = add_key(run.desk(), public, holder)
    show(as_json, OUT.of(added), keys_table((added,)))


@key.command("show")
@as_json
@pass_run
def show_keys(run: Run, as_json: bool) -> None:
    """Show the public keys that copies are encrypted with.

    Example:
    shopledger backup key show
    """
    from shopledger.cli.views.backups import OUT, keys_table
    from shopledger.desk.backup_keys import keys_of

    found = keys_of(run.desk())
    show(as_json, {"keys": OUT.all(found)}, keys_table(found))


@key.command()
@click.argument("public")
@as_json
@pass_run
def remove(run: Run, public: str, as_json: bool) -> None:
    """Encrypt new copies with this key no more.

    Example:
    shopledger backup key remove age1ql3z7hjy54pw3hyww5ayyfg7zqgvc7w3j2elw8zmrj2kdtqwcaqq
    """
    from shopledger.cli.views.backups import OUT
    from shopledger.desk.backup_keys import keys_of, remove_key

    gone = remove_key(run.desk(), public)
    show(as_json, OUT.of(gone), Drawing((gone.public,)))
    if not keys_of(run.desk()):
        tell("That was the last key: copies are not encrypted any more.")


def _have_it_read(paper: BackupKeyPaper) -> None:
    """Have the last letters typed from the paper, or give up."""
    from shopledger.ledger.papers.backup_key import ASKED_BACK

    for _ in range(MOST_TRIES):
        if paper.was_read(_letters(f"The last {ASKED_BACK} letters of the secret key")):
            return
        tell("Those are not its last letters.")
    tell("The key is thrown away.")
    raise click.Abort


def _letters(words: str) -> str:
    """Ask for letters, none of which mean anything else than themselves."""
    return str(click.prompt(words, err=True))


def _text_of(file: Path) -> str:
    """Read a file with a key, or refuse one that is none."""
    from shopledger.store.refusals import CopyUnreadableError

    try:
        if not file.is_file():
            raise CopyUnreadableError(str(file), "it is no file")
        with file.open("rb") as body:
            return body.read(LONGEST_KEY_FILE).decode("utf-8", "replace")
    except OSError as error:
        raise CopyUnreadableError(str(file), (error.strerror or str(error)).lower()) from error


def secret_for(run: Run, file: Path | None, given: Path | None, *, needed: bool = True) -> str:
    """Give the secret key for an encrypted copy, from a file or typed unseen; empty where there is none to give."""
    from shopledger.store.backups.checking import is_sealed
    from shopledger.store.backups.sealing import read_secret

    if file is not None and not is_sealed(file):
        return ""
    if given is not None:
        return read_secret(_text_of(given))
    if file is None or not run.asks:
        if needed:
            lacking("--key-file")
        return ""
    typed: str = click.prompt("Secret key", hide_input=True, err=True, default="" if not needed else None)
    return read_secret(typed) if typed.strip() else ""
