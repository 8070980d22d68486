"""New lenses for a frame sold before, from its stored shape."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.lens_options import CodeOptions, MeasurementOptions
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    dry_run,
    inner,
    into_paper_folder,
    made,
    nothing_given,
    option,
    options,
)
from shopledger.cli.output import Fields, display, show
from shopledger.cli.params import Word
from shopledger.cli.prompts import DRY_RUN, accepted, lacking, only_asked, tell
from shopledger.optics.prescription import LensUse

if TYPE_CHECKING:
    from shopledger.desk.reorder_lookups import ReorderRequest
    from shopledger.desk.reordering import ReorderPlan


class ReorderOptions(OptionSet):
    """Whose new lenses they are, and what is not as before."""

    customer: str = option("--customer", metavar="CUSTOMER", default="", help="Who pays: number or name.")
    wearer: str = option("--wearer", metavar="NAME", default="", help="Whose glasses they are.")
    frame: str = option("--frame", metavar="CODE", default="", help="Which frame, if not that of the newest pair.")
    lens: str = option("--lens", metavar="CODE", default="", help="Which lens, if not as before.")
    use: LensUse | None = option("--use", type=Word(LensUse), help="What the pair is made for, if not as before.")
    prescription: int | None = option(
        "--prescription", type=int, help="Number of the prescription. Otherwise the newest."
    )
    extras: tuple[str, ...] = option(
        "--extra", metavar="CODE", multiple=True, help="Extras, if not as before; may be given again."
    )
    no_extras: bool = option("--no-extras", is_flag=True, help="Without the extras of the last pair.")
    measured: MeasurementOptions = inner(MeasurementOptions)


@click.command()
@options(ReorderOptions)
@options(CodeOptions, "codes")
@into_paper_folder
@accept
@dry_run
@as_json
@pass_run
def reorder(
    run: Run,
    given: ReorderOptions,
    codes: CodeOptions,
    folder: Path,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Order new lenses for a frame from its stored shape.

    Without options everything is asked. Lays the lenses into the shape, checks and prices them, drafts the order and
    prints the reorder record. A frame that was not bought here is named with --frame, its lens with --lens and its PD
    with --pd.

    Example:
    shopledger reorder --customer Fernhollow --wearer Odalys --frame WREN-52 --lens SV-150
    """
    from shopledger.desk.reordering import plan_reorder

    if run.asks and nothing_given(given):
        request = _asked(run, codes, frozenset(accept), dry_run)
    else:
        request = replace(_from_options(given, codes), accept=frozenset(accept))
    plan = plan_reorder(run.desk(), request)
    only_asked(plan.findings, accept)
    if dry_run:
        _show(plan, as_json)
        tell(DRY_RUN)
        return
    request = replace(request, accept=accepted(run, plan.findings, request.accept))
    _draft(run, request, made(folder), as_json)


def _asked(run: Run, codes: CodeOptions, accept: frozenset[str], dry_run: bool) -> ReorderRequest:
    from shopledger.cli.reorder_questions import Given, asked_reorder

    return asked_reorder(run, Given(codes.right_code, codes.left_code, accept, dry_run, _look_at))


def _from_options(given: ReorderOptions, codes: CodeOptions) -> ReorderRequest:
    from shopledger.desk.reorder_lookups import ReorderRequest

    for option_name, value in (("--customer", given.customer), ("--wearer", given.wearer)):
        if not value:
            lacking(option_name)
    return ReorderRequest(
        customer=given.customer,
        wearer=given.wearer,
        frame=given.frame,
        lens=given.lens,
        use=given.use,
        prescription=given.prescription,
        extras=() if given.no_extras else (given.extras or None),
        measurements=given.measured.measurements,
        right_code=codes.right_code,
        left_code=codes.left_code,
    )


def _draft(run: Run, request: ReorderRequest, folder: Path, as_json: bool) -> None:
    from shopledger.desk.reorder_record import reorder as draft_and_print

    number, plan, file = draft_and_print(run.desk(), request, folder)
    _show(plan, as_json, number, file)
    tell(f"Draft {number} was stored. Next: 'shopledger draft record {number}'.")


def _look_at(plan: ReorderPlan) -> None:
    """Show the plan beside the data, before anything is asked about it."""
    from shopledger.cli.views.lenses import finding_table
    from shopledger.cli.views.reorders import plan_blocks

    display(*plan_blocks(plan), finding_table(plan.findings), err=True)


def _show(plan: ReorderPlan, as_json: bool, draft: int | None = None, file: Path | None = None) -> None:
    from shopledger.cli.views.lenses import finding_table
    from shopledger.cli.views.reorders import plan_blocks, plan_data

    data = {"draft": draft, "file": str(file) if file else None, **plan_data(plan)}
    stored = Fields("", (("draft", str(draft or "")), ("record", file or "")))
    show(as_json, data, *plan_blocks(plan), finding_table(plan.findings), stored)
