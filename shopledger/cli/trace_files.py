"""One frame's trace: taken from a file, shown, written for others, drawn."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import accept, as_json, day_option, dry_run, existing_file, measured, together
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import MM
from shopledger.cli.prompts import tell

if TYPE_CHECKING:
    from shopledger.desk.tracing import TraceKept

number_option = click.option("--number", type=click.IntRange(1), help="Number of the trace. Otherwise the newest.")

placing_options = together(
    click.option("--pd", type=MM, help="PD of both eyes together, to draw the optical centres."),
    click.option("--pd-right", type=MM, help="PD of the right eye, from the middle of the bridge."),
    click.option("--pd-left", type=MM, help="PD of the left eye."),
    click.option("--height", type=MM, help="Height of the optical centres from the lowest point of the lenses."),
    click.option("--height-right", type=MM, help="Height for the right eye."),
    click.option("--height-left", type=MM, help="Height for the left eye."),
)


@click.command()
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
    """Check a file of a shape against the frame and keep it.

    The file is a tracer's, as text; or a table that ends in .csv, with the columns right and left (radii in mm at equal
    angles) or eye, x and y (points of each outline in mm).
    """
    from shopledger.cli.findings import accepted
    from shopledger.desk.tracing import keep_trace, plan_trace

    plan = plan_trace(run.desk(), frame, file, device, traced_on)
    if dry_run:
        show_kept(plan, as_json)
        tell("Nothing was stored: this was a dry run.")
        return
    said_yes = accepted(run, plan.findings, frozenset(accept))
    kept = keep_trace(run.desk(), frame, file, device, said_yes, traced_on)
    show_kept(kept, as_json)
    tell(f"The shape of {kept.stored.frame_code} is kept. Demo lenses never leave with a customer.")


@click.command("show")
@click.argument("frame")
@number_option
@as_json
@pass_run
def show_trace(run: Run, frame: str, number: int | None, as_json: bool) -> None:
    """Show a frame's trace, with a small drawing."""
    from shopledger.desk.tracing import stored_trace

    show_kept(stored_trace(run.desk(), frame, number), as_json)


@click.command()
@click.argument("frame")
@click.option(
    "--into", "target", type=click.Path(dir_okay=False, path_type=Path), required=True, help="File to write it to."
)
@click.option("--job", metavar="TEXT", default="", help="Job number to put into the file. Otherwise the frame's code.")
@number_option
@as_json
@pass_run
def write(run: Run, frame: str, target: Path, job: str, number: int | None, as_json: bool) -> None:
    """Write a frame's trace for an edger or a lab."""
    from shopledger.desk.tracing import write_trace

    written = write_trace(run.desk(), frame, target, job, number)
    show(as_json, {"file": str(written)}, Drawing((str(written),)))


@click.command()
@click.argument("frame")
@click.option(
    "--into", "target", type=click.Path(dir_okay=False, path_type=Path), required=True, help="SVG file to write it to."
)
@placing_options
@click.option("--blank", type=MM, help="Diameter of the uncut lens, to draw it about the optical centres.")
@number_option
@as_json
@pass_run
def draw(
    run: Run,
    frame: str,
    target: Path,
    pd: float | None,
    pd_right: float | None,
    pd_left: float | None,
    height: float | None,
    height_right: float | None,
    height_left: float | None,
    blank: float | None,
    number: int | None,
    as_json: bool,
) -> None:
    """Draw a frame at full size as SVG.

    Both lenses as one faces the wearer, in millimetres, with their boxes and a bar of 100 mm. Print it at 100 % and lay
    a ruler on the bar before you lay a frame on the drawing.
    """
    from shopledger.desk.tracing import draw_trace

    heights = tuple(height if one is None else one for one in (height_right, height_left))
    drawn = draw_trace(run.desk(), frame, target, measured(pd, (pd_right, pd_left), None, heights), blank, number)
    show(as_json, {"file": str(drawn)}, Drawing((str(drawn),)))


def show_kept(kept: TraceKept, as_json: bool) -> None:
    """Show a trace with its figures, a drawing and what was found on it."""
    from shopledger.cli.shape import draw_pair
    from shopledger.cli.views.lenses import trace_blocks, trace_data

    shape = kept.stored.shape
    right, left = ([(float(x), float(y)) for x, y in eye.points] for eye in (shape.right, shape.left))
    head, figures, findings = trace_blocks(kept)
    show(as_json, trace_data(kept), head, figures, Drawing(draw_pair(right, left, shape.dbl)), findings)
