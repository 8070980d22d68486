"""The bench: the board, a job with what is done to it, its inspection, and the parcels that come back."""

from shopledger.counter.pages.bench import (
    again,
    board,
    changing,
    figures,
    inspecting,
    job,
    job_papers,
    lenses,
    parcels,
)
from shopledger.counter.pages.bench.room import pages

__all__ = [
    "again",
    "board",
    "changing",
    "figures",
    "inspecting",
    "job",
    "job_papers",
    "lenses",
    "pages",
    "parcels",
]
