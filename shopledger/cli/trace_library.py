"""All traces together: listed, compared, searched, taken over for another colour, checked."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import accept, as_json, dry_run
from shopledger.cli.output import show
from shopledger.cli.params import MM, NUMBER
from shopledger.cli.prompts import tell
from shopledger.cli.trace_files import number_option, show_kept

USUAL_WITHIN: Final = 0.3
"""What two tracings of one frame may differ by; `optics.likeness` says it too, and a test that both say the same."""


@click.command("list")
@click.argument("frame", default="")
@as_json
@pass_run
def list_all(run: Run, frame: str, as_json: bool) -> None:
    """List traces with where they came from; with FRAME only its own."""
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
@click.option(
    "--into", "target", type=click.Path(dir_okay=False, path_type=Path), help="SVG file to draw both shapes into."
)
@click.option("--times", type=NUMBER, help="How many times larger the difference is drawn. Otherwise as suits it.")
@as_json
@pass_run
def compare(
    run: Run, one: str, other: str, within: float, target: Path | None, times: float | None, as_json: bool
) -> None:
    """Tell whether two shapes are those of the same frame.

    ONE and OTHER are each a frame's code (its newest trace), a trace's number, or a file (named with its ending). Each
    eye is laid on the same eye of the other as well as can be, turned, moved and mirrored.
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
    """
    from shopledger.cli.findings import accepted
    from shopledger.desk.trace_library import adopt_trace, plan_adoption

    plan = plan_adoption(run.desk(), source, target, number)
    if dry_run:
        show_kept(plan, as_json)
        tell("Nothing was stored: this was a dry run.")
        return
    said_yes = accepted(run, plan.findings, frozenset(accept))
    kept = adopt_trace(run.desk(), source, target, said_yes, number)
    show_kept(kept, as_json)
    tell(f"{kept.stored.frame_code} has the shape now. Lay the frame on it once before you cut.")


@click.command()
@as_json
@pass_run
def check(run: Run, as_json: bool) -> None:
    """List frames whose trace disagrees with the catalogue.

    The newest trace of every frame is measured again and compared with the eye size and bridge marked on the frame.
    """
    from shopledger.cli.views.traces import check_data, check_table
    from shopledger.desk.trace_library import check_traces

    found = check_traces(run.desk())
    show(as_json, check_data(found), check_table(found))
    tell(f"Traced frames checked: {found.checked}. Frames without a trace: {found.untraced}.")
