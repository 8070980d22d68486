"""Traces, the measured shapes of frames: the table of their commands, each imported when it is asked for."""

from __future__ import annotations

import click

from shopledger.cli.group import Place, ShopGroup

_CLI = "shopledger.cli"

COMMANDS = {
    "One frame": {
        "add": Place(f"{_CLI}.trace_files:add", "Check a file of a shape against the frame and keep it."),
        "show": Place(f"{_CLI}.trace_files:show_trace", "Show a frame's trace, with a small drawing."),
        "write": Place(f"{_CLI}.trace_files:write", "Write a frame's trace for an edger or a lab."),
        "draw": Place(f"{_CLI}.trace_files:draw", "Draw a frame at full size as SVG."),
    },
    "The library": {
        "list": Place(f"{_CLI}.trace_library:list_all", "List traces with where they came from."),
        "compare": Place(f"{_CLI}.trace_library:compare", "Tell whether two shapes are those of the same frame."),
        "nearest": Place(f"{_CLI}.trace_library:nearest", "Find the stored shapes nearest to one."),
        "adopt": Place(f"{_CLI}.trace_library:adopt", "Take a trace over for another colour of the same model."),
        "check": Place(f"{_CLI}.trace_library:check", "List frames whose trace disagrees with the catalogue."),
    },
}
"""Every command under the heading it stands below in the help."""


@click.command(cls=ShopGroup, sections=COMMANDS)
def trace() -> None:
    """Keep the measured shapes of frames."""
