"""The manual, written into files that are read without the program and without a network."""

from __future__ import annotations

from pathlib import Path

import click

from shopledger.cli.options import as_json, into_named_folder, made
from shopledger.cli.output import Drawing, show

PAGE = "shopledger.html"
MAN_PAGE = "shopledger.1"


@click.command()
@into_named_folder
@as_json
def manual(folder: Path, as_json: bool) -> None:
    """Write the whole manual into a folder, to read offline.

    shopledger.html is for a browser and for paper; 'man -l shopledger.1' shows the other one. Both say what --help
    says of every command, and of other versions of the program, where things lie, exit codes and completion.

    Example:
    shopledger manual --into manual
    """
    from shopledger.cli.manuals.content import manual as gathered
    from shopledger.cli.manuals.html_page import BEGINNING, html_page
    from shopledger.cli.manuals.man_page import FIRST_LINE, man_page
    from shopledger.files.replacing import begun, headed
    from shopledger.files.writing import sheaf

    said = gathered()
    with sheaf() as files:
        into = made(folder)
        page = files.add(html_page(said), into / PAGE, begun("page of the manual", BEGINNING))
        other = files.add(man_page(said), into / MAN_PAGE, headed("page of the manual", FIRST_LINE))
        files.deliver()
    show(as_json, {"page": str(page), "man_page": str(other)}, Drawing((str(page), str(other))))
