"""New lenses for a frame sold before, from its stored shape."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import accept, as_json, code_options, dry_run, made, measurement_options, take_measurements
from shopledger.cli.output import Fields, show
from shopledger.cli.params import Word
from shopledger.cli.prompts import lacking, tell
from shopledger.optics.prescription import LensUse

if TYPE_CHECKING:
    from shopledger.desk.reordering import ReorderPlan, ReorderRequest


@click.command()
@click.option("--customer", metavar="CUSTOMER", required=True, help="Who pays: number or name.")
@click.option("--wearer", metavar="NAME", required=True, help="Whose glasses they are.")
@click.option("--frame", metavar="CODE", default="", help="Which frame, if not that of the newest pair.")
@click.option("--lens", metavar="CODE", default="", help="Which lens, if not as before.")
@click.option("--use", type=Word(LensUse), help="What the pair is made for, if not as before.")
@click.option("--prescription", type=int, help="Number of the prescription. Otherwise the newest.")
@click.option("--extra", "extras", metavar="CODE", multiple=True, help="Extras, if not as before; may be given again.")
@click.option("--no-extras", is_flag=True, help="Without the extras of the last pair.")
@measurement_options
@code_options
@click.option("--into", "folder", type=click.Path(file_okay=False, path_type=Path), help="Folder for the record.")
@accept
@dry_run
@as_json
@pass_run
def reorder(
    run: Run,
    extras: tuple[str, ...],
    no_extras: bool,
    folder: Path | None,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
    **given: Any,
) -> None:
    """Order new lenses for a frame from its stored shape.

    Lays the lenses into the shape, checks them, drafts the order and prints the reorder record.
    """
    from shopledger.cli.findings import accepted
    from shopledger.desk.reorder_record import reorder as draft_and_print
    from shopledger.desk.reordering import ReorderRequest, plan_reorder

    measurements = take_measurements(given)
    chosen = () if no_extras else (extras or None)
    request = ReorderRequest(**given, extras=chosen, measurements=measurements, accept=frozenset(accept))
    plan = plan_reorder(run.desk(), request)
    if dry_run:
        _show(plan, as_json)
        tell("Nothing was stored: this was a dry run.")
        return
    if folder is None:
        lacking("--into")
    request = _with_yes(request, accepted(run, plan.findings, request.accept))
    number, plan, file = draft_and_print(run.desk(), request, made(folder))
    _show(plan, as_json, number, file)
    tell(f"Draft {number} was stored. Next: 'shopledger draft record {number}'.")


def _with_yes(request: ReorderRequest, accept: frozenset[str]) -> ReorderRequest:
    return replace(request, accept=accept)


def _show(plan: ReorderPlan, as_json: bool, draft: int | None = None, file: Path | None = None) -> None:
    from shopledger.cli.views.lenses import finding_table
    from shopledger.cli.views.reorders import plan_blocks, plan_data

    data = {"draft": draft, "file": str(file) if file else None, **plan_data(plan)}
    stored = Fields("", (("draft", str(draft or "")), ("record", str(file or ""))))
    show(as_json, data, *plan_blocks(plan), finding_table(plan.findings), stored)
