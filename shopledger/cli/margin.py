"""What a job or an order brought, less what it cost."""

from __future__ import annotations

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.prompts import tell

LEFT_OUT = "Shipping and sales tax are left out; a frame counts once its order is shipped."


@click.command("margin")
@click.argument("number", type=int, required=False, metavar="[JOB]")
@click.option("--limit", type=click.IntRange(1, 1000), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def job_margin(run: Run, number: int | None, limit: int, as_json: bool) -> None:
    """Show what a job brought, or the newest jobs.

    The net charge of its lines after refunds, less its frame and the bills for its lenses; what was scrapped is among
    them.
    """
    from shopledger.cli.views.margins import job_margin_data, margin_fields, margins_table
    from shopledger.desk.books.margins import margin_of_job, newest_margins

    if number is not None:
        found = margin_of_job(run.desk(), number)
        show(as_json, job_margin_data(found), margin_fields(found))
    else:
        jobs = newest_margins(run.desk(), limit)
        show(as_json, {"jobs": [job_margin_data(each) for each in jobs]}, margins_table(jobs))
    tell(LEFT_OUT)


@click.command("margin")
@click.argument("number", type=int)
@as_json
@pass_run
def sale_margin(run: Run, number: int, as_json: bool) -> None:
    """Show what an order brought, job by job."""
    from shopledger.cli.views.margins import order_margin_data, order_margin_table
    from shopledger.desk.books.margins import margin_of_order

    found = margin_of_order(run.desk(), number)
    show(as_json, order_margin_data(found), order_margin_table(found))
    tell(LEFT_OUT)
