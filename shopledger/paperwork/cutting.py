"""How the shop cuts materials in its own way, as the wording of the sheet for the bench says."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.papers.job_sheet import Cutting
from shopledger.optics.materials import MaterialClass
from shopledger.paperwork.wording import Wording

JOB_KEY: Final = "job"
"""The sheet's key, as its file of wording is called."""


def shop_cutting(words: Wording) -> dict[MaterialClass, Cutting]:
    """Give how the shop cuts materials in its own way, from the sheet's wording; other words are refused."""
    return dict(_own_cutting(words))


def _own_cutting(words: Wording) -> Iterator[tuple[MaterialClass, Cutting]]:
    ways: dict[str, Cutting] = {"dry": "dry", "wet": "wet"}
    for material in MaterialClass:
        given = words[f"cutting.{material.value}"].strip().casefold()
        if given and given not in ways:
            raise RefusedError(
                f"cutting of {material.value}",
                f"'{given}'",
                "it is dry, wet, or empty for what is usual",
                "Change it in your own papers/job.toml.",
            )
        if given:
            yield material, ways[given]
