"""What changed from version to version, in the words of what the shop notices; the text lies beside this file."""

from __future__ import annotations

import sys
import textwrap
from typing import Final

import click

from shopledger.cli.group import columns
from shopledger.cli.options import as_json
from shopledger.cli.output import Drawing, show
from shopledger.desk.versions import TEXT, Version, chosen, read_changes

WIDEST: Final = 100
"""The most letters in a line; longer ones are hard to read."""


@click.command()
@click.option("--since", metavar="VERSION", help="Say what came after this version; otherwise what came with this one.")
@as_json
def changes(since: str | None, as_json: bool) -> None:
    """Say what is new in this version, or since an earlier one.

    Example:
    shopledger changes --since 0.1.0
    """
    versions = chosen(read_changes(TEXT.read_text(encoding="utf-8")), since)
    data = [{"version": each.number, "changes": list(each.changes)} for each in versions]
    width = min(columns(sys.stdout), WIDEST)
    lines = [line for each in versions for line in ("", *_written(each, width))][1:]
    show(as_json, {"versions": data}, Drawing(lines or ["Nothing changed since then."]))


def _written(version: Version, width: int) -> list[str]:
    wrap = textwrap.TextWrapper(width, initial_indent="- ", subsequent_indent="  ", break_on_hyphens=False)
    points = (wrap.wrap(each.replace("**", "").replace("`", "'")) for each in version.changes)
    return [f"shopledger {version.number}", *(line for point in points for line in point)]
