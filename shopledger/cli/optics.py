"""Lens calculations that need no ledger: the table of calculators, each imported when it is asked for."""

from __future__ import annotations

import click

from shopledger.cli.group import Place, ShopGroup

_CLI = "shopledger.cli"

CALCULATORS = {
    "Powers": {
        "transpose": Place(f"{_CLI}.optics_powers:transpose", "Write a power in both forms of the cylinder."),
        "meridian": Place(f"{_CLI}.optics_powers:meridian", "Work out the power along one meridian."),
        "cross": Place(f"{_CLI}.optics_powers:crossed", "Lay several powers on one another."),
        "vertex": Place(f"{_CLI}.optics_powers:vertex", "Work out the power where the lens is worn."),
    },
    "Prism": {
        "prism": Place(f"{_CLI}.optics_prism:prism", "Work out the prism of a lens away from its centre."),
        "prism-combine": Place(f"{_CLI}.optics_prism:combined", "Add prisms before one eye, or take one apart."),
        "prism-split": Place(f"{_CLI}.optics_prism:split", "Share one prism over both eyes."),
        "prism-imbalance": Place(f"{_CLI}.optics_prism:imbalance", "Work out how prism differs between the eyes."),
    },
    "Lens in a frame": {
        "decentre": Place(f"{_CLI}.optics_lenses:decentre", "Work out where the optical centres stand in a frame."),
        "blank": Place(f"{_CLI}.optics_lenses:blank", "Work out the smallest blank that covers a lens."),
        "thickness": Place(f"{_CLI}.optics_lenses:thickness", "Work out how thick and heavy a lens becomes."),
        "compare": Place(f"{_CLI}.optics_lenses:compare", "Compare materials for one lens."),
    },
    "Finished lenses and traces": {
        "tolerance": Place(f"{_CLI}.optics_tolerance:judged", "Judge finished lenses against what was ordered."),
        "trace": Place(f"{_CLI}.optics_shape:trace", "Show a trace file's shapes, or compare two files."),
    },
}
"""Every calculator under the heading it stands below in the help."""


@click.command(cls=ShopGroup, sections=CALCULATORS)
def optics() -> None:
    """Work out lens figures."""
