"""Every command as click knows it, gathered for the manual."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import click

from shopledger.cli.examples import AS_IT_STANDS, HEADING
from shopledger.cli.main import SECTIONS
from shopledger.cli.manuals.chapters import chapters
from shopledger.cli.manuals.parts import Entry, Manual, Paragraph, Row
from shopledger.cli.reference import contexts
from shopledger.store.revision import PROGRAM


def manual() -> Manual:
    """Gather all of it from the program that runs."""
    known = list(contexts())
    tops = {each.info_name: _with_below(each, known) for each in known if each.parent is known[0]}
    sections = [(heading, [tops[name] for name in places]) for heading, places in SECTIONS.items()]
    return Manual(PROGRAM, _entry(known[0]), sections, chapters())


def _with_below(ctx: click.Context, known: Sequence[click.Context]) -> Entry:
    return _entry(ctx, [_with_below(each, known) for each in known if each.parent is ctx])


def _entry(ctx: click.Context, below: Sequence[Entry] = ()) -> Entry:
    params = ctx.command.get_params(ctx)
    return Entry(
        ctx.command_path,
        " ".join([ctx.command_path, *ctx.command.collect_usage_pieces(ctx)]),
        list(_paragraphs(ctx.command.help or "")),
        [_argument(each, ctx) for each in params if isinstance(each, click.Argument)],
        list(_options(params, ctx)),
        below,
    )


def _paragraphs(text: str) -> Iterator[Paragraph]:
    """Take a command's help apart; the lines of its examples stay as they are."""
    for block in text.split("\n\n"):
        lines = [line.strip() for line in block.splitlines()]
        if HEADING in lines:
            yield Paragraph(HEADING)
            yield Paragraph("\n".join(line for line in lines if line not in {AS_IT_STANDS, HEADING}), typed=True)
        elif any(lines):
            yield Paragraph(" ".join(filter(None, lines)))


def _argument(given: click.Argument, ctx: click.Context) -> Row:
    return Row(given.make_metavar(ctx).strip("[]"), "Has to be given." if given.required else "May be left out.")


def _options(params: Sequence[click.Parameter], ctx: click.Context) -> Iterator[Row]:
    """Give what the help says of each option; how help is asked for is said once, of the program."""
    for each in params:
        record = each.get_help_record(ctx) if isinstance(each, click.Option) else None
        if record and (ctx.parent is None or "--help" not in each.opts):
            yield Row(*record)
