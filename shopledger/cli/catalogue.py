"""The whole catalogue at once, from files."""

from __future__ import annotations

from pathlib import Path

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, dry_run
from shopledger.cli.output import Fields, show
from shopledger.cli.prompts import tell


@click.group()
def catalogue() -> None:
    """Load the whole catalogue from files."""


@catalogue.command()
@click.argument("path", type=click.Path(exists=True, path_type=Path))
@dry_run
@as_json
@pass_run
def load(run: Run, path: Path, dry_run: bool, as_json: bool) -> None:
    """Load a file, or a folder of files: all rows, or none.

    Frames, lenses, extras, accessories, offers and tax rates are read.
    """
    from shopledger.desk.books.stocking import load_catalogue
    from shopledger.exchange.catalogue_file import read_catalogue

    read = read_catalogue(path)
    if not dry_run:
        load_catalogue(run.desk(), read.catalogue, read.offers, read.taxes)
    counts = {
        "frames": len(read.catalogue.frames),
        "lenses": len(read.catalogue.lenses),
        "extras": len(read.catalogue.extras),
        "accessories": len(read.catalogue.accessories),
        "offers": len(read.offers),
        "tax_rates": len(read.taxes),
    }
    rows = [(name.replace("_", " "), str(count)) for name, count in counts.items()]
    show(as_json, {**counts, "stored": not dry_run}, Fields("", rows))
    tell("Nothing was stored: this was a dry run." if dry_run else "All of it was stored.")
