"""Traces, the measured shapes of frames: from files, shown, written, drawn; listed, compared, adopted, checked."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.group import Place, ShopGroup
from shopledger.cli.lens_options import either, measured
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    day_option,
    dry_run,
    existing_file,
    into_file,
    option,
    options,
)
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import MM, NUMBER
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell

if TYPE_CHECKING:
    from shopledger.desk.tracing import TraceKept

_HERE = "shopledger.cli.trace"

COMMANDS = {
    "One frame": {
        "add": Place(f"{_HERE}:add", "Check a file of a shape against the frame and keep it."),
        "show": Place(f"{_HERE}:show_trace", "Show a frame's trace, with a small drawing."),
        "write": Place(f"{_HERE}:write", "Write a frame's trace for an edger or a lab."),
        "draw": Place(f"{_HERE}:draw", "Draw a frame at full size as SVG."),
    },
    "The library": {
        "list": Place(f"{_HERE}:list_all", "List traces with where they came from."),
        "compare": Place(f"{_HERE}:compare", "Tell whether two shapes are those of the same frame."),
        "nearest": Place(f"{_HERE}:nearest", "Find the stored shapes nearest to one."),
        "adopt": Place(f"{_HERE}:adopt", "Take a trace over for another colour of the same model."),
        "check": Place(f"{_HERE}:check", "List frames whose trace disagrees with the catalogue."),
    },
}
"""Every command under the heading it stands below in the help."""


@click.command(cls=ShopGroup, sections=COMMANDS)
def trace() -> None:
    """Keep the measured shapes of frames."""


USUAL_WITHIN: Final = 0.3
"""What two tracings of one frame may differ by; `optics.likeness` says it too, and a test that both say the same."""

number_option = click.option("--number", type=click.IntRange(1), help="Number of the trace. Otherwise the newest.")


class DrawOptions(OptionSet):
    """What is drawn into a frame's shapes."""

    pd: float | None = option("--pd", type=MM, help="PD of both eyes together, to draw the optical centres.")
    pd_right: float | None = option("--pd-right", type=MM, help="PD of the right eye, from the middle of the bridge.")
    pd_left: float | None = option("--pd-left", type=MM, help="PD of the left eye.")
    height: float | None = option(
        "--height", type=MM, help="Height of the optical centres from the lowest point of the lenses."
    )
    height_right: float | None = option("--height-right", type=MM, help="Height for the right eye.")
    height_left: float | None = option("--height-left", type=MM, help="Height for the left eye.")
    blank: float | None = option(
        "--blank", type=MM, help="Diameter of the uncut lens, to draw it about the optical centres."
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

    Example:
    shopledger trace add WREN-52 wren.txt
    """
    from shopledger.desk.tracing import keep_trace, plan_trace

    plan = plan_trace(run.desk(), frame, file, device, traced_on)
    only_asked(plan.findings, accept)
    if dry_run:
        _show_kept(plan, as_json)
        tell(DRY_RUN)
        return
    said_yes = accepted(run, plan.findings, accept)
    kept = keep_trace(run.desk(), frame, file, device, said_yes, traced_on)
    _show_kept(kept, as_json)
    tell(f"The shape of {kept.stored.frame_code} is kept. Demo lenses never leave with a customer.")


@click.command("show")
@click.argument("frame")
@number_option
@as_json
@pass_run
def show_trace(run: Run, frame: str, number: int | None, as_json: bool) -> None:
    """Show a frame's trace, with a small drawing.

    Example:
    shopledger trace show WREN-52
    """
    from shopledger.desk.tracing import stored_trace

    _show_kept(stored_trace(run.desk(), frame, number), as_json)


@click.command()
@click.argument("frame")
@into_file("File to write it to.")
@click.option("--job", metavar="TEXT", default="", help="Job number to put into the file. Otherwise the frame's code.")
@number_option
@as_json
@pass_run
def write(run: Run, frame: str, target: Path, job: str, number: int | None, as_json: bool) -> None:
    """Write a frame's trace for an edger or a lab.

    Example:
    shopledger trace write WREN-52 --into wren.txt
    """
    from shopledger.desk.tracing import write_trace

    written = write_trace(run.desk(), frame, target, job, number)
    show(as_json, {"file": str(written)}, Drawing((str(written),)))


@click.command()
@click.argument("frame")
@into_file("SVG file to write it to.")
@options(DrawOptions)
@number_option
@as_json
@pass_run
def draw(run: Run, frame: str, target: Path, given: DrawOptions, number: int | None, as_json: bool) -> None:
    """Draw a frame at full size as SVG.

    Both lenses as one faces the wearer, in millimetres, with their boxes and a bar of 100 mm. Print it at 100 % and lay
    a ruler on the bar before you lay a frame on the drawing.

    Example:
    shopledger trace draw WREN-52 --into wren.svg
    """
    from shopledger.desk.tracing import draw_trace

    heights = either(given.height, given.height_right, given.height_left)
    placed = measured(given.pd, (given.pd_right, given.pd_left), (), heights)
    drawn = draw_trace(run.desk(), frame, target, placed, given.blank, number)
    show(as_json, {"file": str(drawn)}, Drawing((str(drawn),)))


def _show_kept(kept: TraceKept, as_json: bool) -> None:
    """Show a trace with its figures, a drawing and what was found on it."""
    from shopledger.cli.views.drawing import draw_pair
    from shopledger.cli.views.traces import trace_blocks, trace_data

    shape = kept.stored.shape
    right, left = ([(float(x), float(y)) for x, y in eye.points] for eye in (shape.right, shape.left))
    head, figures, findings = trace_blocks(kept)
    show(as_json, trace_data(kept), head, figures, Drawing(draw_pair(right, left, shape.dbl)), findings)


@click.command("list")
@click.argument("frame", default="")
@as_json
@pass_run
def list_all(run: Run, frame: str, as_json: bool) -> None:
    """List traces with where they came from; with FRAME only its own.

    Example:
    shopledger trace list WREN-52
    """
    from shopledger.cli.views.traces import listed_data, listed_table
    from shopledger.desk.trace_library import list_traces

    traces = list_traces(run.desk(), frame)
    show(as_json, listed_data(traces), listed_table(traces))


@click.command()
@click.argument("one")
@click.argument("other")
@click.option(
    "--within",
    type=MM,
    default=USUAL_WITHIN,
    show_default=True,
    help="Up to which worst difference in mm it is the same frame; 0.3 is common practice.",
)
@into_file("SVG file to draw both shapes into.", required=False)
@click.option("--times", type=NUMBER, help="How many times larger the difference is drawn. Otherwise as suits it.")
@as_json
@pass_run
def compare(
    run: Run, one: str, other: str, within: float, target: Path | None, times: float | None, as_json: bool
) -> None:
    """Tell whether two shapes are those of the same frame.

    ONE and OTHER are each a frame's code (its newest trace), a trace's number, or a file (named with its ending). Each
    eye is laid on the same eye of the other as well as can be, turned, moved and mirrored.

    Example:
    shopledger trace compare WREN-52 LARK-50
    """
    from shopledger.cli.views.traces import comparison_blocks, comparison_data, verdict
    from shopledger.desk.trace_library import compare_traces, draw_comparison

    found = compare_traces(run.desk(), one, other, within)
    if target is not None:
        draw_comparison(found, target, times)
    show(as_json, comparison_data(found), *comparison_blocks(found))
    tell(verdict(found))


@click.command()
@click.argument("wanted")
@click.option("--limit", type=click.IntRange(1, 100), default=5, show_default=True, help="How many to find.")
@as_json
@pass_run
def nearest(run: Run, wanted: str, limit: int, as_json: bool) -> None:
    """Find the stored shapes nearest to one.

    WANTED is a frame's code (its newest trace), a trace's number, or a file (named with its ending). Its right eye is
    laid on the right eye of every trace of other frames; nothing is left out.

    Example:
    shopledger trace nearest WREN-52 --limit 3
    """
    from shopledger.cli.views.traces import near_data, near_table
    from shopledger.desk.trace_library import nearest_traces

    found = nearest_traces(run.desk(), wanted, limit)
    show(as_json, near_data(found), near_table(found))


@click.command()
@click.argument("source", metavar="FROM")
@click.argument("target", metavar="TO")
@number_option
@accept
@dry_run
@as_json
@pass_run
def adopt(
    run: Run, source: str, target: str, number: int | None, accept: tuple[str, ...], dry_run: bool, as_json: bool
) -> None:
    """Take a trace over for another colour of the same model.

    The trace of the frame FROM is stored as a new trace of the frame TO, and says where it was taken from.

    Example:
    shopledger trace adopt WREN-52 LARK-50
    """
    from shopledger.desk.trace_library import adopt_trace, plan_adoption

    plan = plan_adoption(run.desk(), source, target, number)
    only_asked(plan.findings, accept)
    if dry_run:
        _show_kept(plan, as_json)
        tell(DRY_RUN)
        return
    said_yes = accepted(run, plan.findings, accept)
    kept = adopt_trace(run.desk(), source, target, said_yes, number)
    _show_kept(kept, as_json)
    tell(f"{kept.stored.frame_code} has the shape now. Lay the frame on it once before you cut.")


@click.command()
@as_json
@pass_run
def check(run: Run, as_json: bool) -> None:
    """List frames whose trace disagrees with the catalogue.

    The newest trace of every frame is measured again and compared with the eye size and bridge marked on the frame.

    Example:
    shopledger trace check
    """
    from shopledger.cli.views.traces import check_data, check_table
    from shopledger.desk.trace_library import check_traces

    found = check_traces(run.desk())
    show(as_json, check_data(found), check_table(found))
    tell(f"Traced frames checked: {found.checked}. Frames without a trace: {found.untraced}.")
