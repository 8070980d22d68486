"""One field that finds all, at the terminal."""

from __future__ import annotations

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show


@click.command()
@click.argument("words", metavar="WORDS", nargs=-1, required=True)
@click.option("--limit", type=click.IntRange(1, 200), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def find(run: Run, words: tuple[str, ...], limit: int, as_json: bool) -> None:
    """Find people, orders, jobs and all else by one field.

    Words are parts of names, in any order and without accents; digits are a number, or a part of a telephone number or
    of a parcel's. A number alone lists the job, order, receipt and customer that have it, 'job 12' the job.

    Example:
    shopledger find jose alder
    shopledger find 555-0142
    shopledger find 12
    """
    from shopledger.cli.views.today import hit_data, hits_table
    from shopledger.desk.finding import find as found

    hits = found(run.desk(), " ".join(words), limit)
    show(as_json, {"hits": [hit_data(hit) for hit in hits]}, hits_table(hits))
