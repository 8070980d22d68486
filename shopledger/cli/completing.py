"""What a word may be that is being typed: codes and people out of the ledger, by what an option or argument takes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import click
from click.shell_completion import CompletionItem

from shopledger.errors import visible

_GOODS: Final = ("frame", "accessory")
_CODES: Final = {
    "frame": ("--frame", "--frame-only"),
    "lens": ("--lens", "--right-lens", "--left-lens"),
    "extra": ("--extra", "--right-extra", "--left-extra", "--without-extra"),
    "accessory": ("--accessory",),
    "offer": ("--offer", "--without-offer"),
}
_OF_GOODS: Final = ("--for", "--item", "--stock")
_NAMED: Final = {"--wearer": "wearer", "--goods-for": "wearer"}
_PEOPLE: Final = ("customer", "wearer", "prescriber", "supplier")
_SHELVES: Final = {
    **{kind: (kind,) for kind in ("frame", "lens", "extra", "accessory", "offer")},
    "stock": _GOODS,
    "trace": ("frame",),
}
"""The kinds of goods that the arguments of a group's commands are."""


def known(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem[str]]:
    """Give what the ledger knows that a value may be."""
    from shopledger.store.glance import codes, people

    ledger = ctx.find_root().params.get("ledger")
    kinds = tuple(_codes_of(ctx, param))
    person = "" if kinds else _person_of(ctx, param)
    seen = [each for kind in kinds for each in codes(ledger, kind, incomplete)]
    seen += people(ledger, person, incomplete) if person else ()
    return [CompletionItem(visible(value), help=visible(says)) for value, says in seen]


def _codes_of(ctx: click.Context, param: click.Parameter) -> Iterator[str]:
    """Give the kinds of goods whose codes a parameter takes."""
    names = {*param.opts}
    yield from (kind for kind, options in _CODES.items() if names & {*options})
    if names & {*_OF_GOODS}:
        yield from _GOODS
    group = ctx.command_path.split()[1]
    names_one = param.name == "code" and ctx.info_name != "add" if group != "trace" else param.name != "file"
    if isinstance(param, click.Argument) and names_one:
        yield from _SHELVES.get(group, ())


def _person_of(ctx: click.Context, param: click.Parameter) -> str:
    """Give the kind of people whose numbers or names a parameter takes."""
    metavar = param.make_metavar(ctx).strip("[]").casefold()
    if metavar in _PEOPLE:
        return metavar
    return next((kind for option, kind in _NAMED.items() if option in param.opts), "")
