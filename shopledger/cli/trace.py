"""Traces: the measured shapes of frames."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import accept, as_json, day_option, dry_run, existing_file
from shopledger.cli.output import Drawing, show
from shopledger.cli.prompts import tell

if TYPE_CHECKING:
    from shopledger.desk.tracing import TraceKept


@click.group()
def trace() -> None:
    """Keep the measured shapes of frames."""


@trace.command()
@click.argument("frame")
@click.argument("file", type=existing_file)
@click.option("--device", metavar="TEXT", default="", help="The tracer, as you call it.")
@day_option("The day of tracing.", "--traced-on")
@accept
@dry_run
@as_json
@pass_run
def add(
    run: Run,
    frame: str,
    file: Path,
    device: str,
    traced_on: date | None,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Check a tracer's file against the frame and keep it."""
    from shopledger.cli.findings import accepted
    from shopledger.desk.tracing import keep_trace, plan_trace

    plan = plan_trace(run.desk(), frame, file, device, traced_on)
    if dry_run:
        _show(plan, as_json)
        tell("Nothing was stored: this was a dry run.")
        return
    said_yes = accepted(run, plan.findings, frozenset(accept))
    kept = keep_trace(run.desk(), frame, file, device, said_yes, traced_on)
    _show(kept, as_json)
    tell(f"The shape of {kept.stored.frame_code} is kept. Demo lenses never leave with a customer.")


@trace.command("show")
@click.argument("frame")
@as_json
@pass_run
def show_trace(run: Run, frame: str, as_json: bool) -> None:
    """Show a frame's newest trace, with a small drawing."""
    from shopledger.desk.tracing import stored_trace

    _show(stored_trace(run.desk(), frame), as_json)


@trace.command()
@click.argument("frame")
@click.option(
    "--into", "target", type=click.Path(dir_okay=False, path_type=Path), required=True, help="File to write it to."
)
@click.option("--job", metavar="TEXT", default="", help="Job number to put into the file. Otherwise the frame's code.")
@as_json
@pass_run
def write(run: Run, frame: str, target: Path, job: str, as_json: bool) -> None:
    """Write a frame's newest trace for an edger or a lab."""
    from shopledger.desk.tracing import write_trace

    written = write_trace(run.desk(), frame, target, job)
    show(as_json, {"file": str(written)}, Drawing((str(written),)))


def _show(kept: TraceKept, as_json: bool) -> None:
    from shopledger.cli.shape import draw_pair
    from shopledger.cli.views.lenses import trace_blocks, trace_data

    shape = kept.stored.shape
    right, left = ([(float(x), float(y)) for x, y in eye.points] for eye in (shape.right, shape.left))
    head, figures, findings = trace_blocks(kept)
    show(as_json, trace_data(kept), head, figures, Drawing(draw_pair(right, left, shape.dbl)), findings)
