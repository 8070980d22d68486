"""Any file of a frame's shape: a table of radii or points by its ending, otherwise a trace file of the standard."""

from __future__ import annotations

from pathlib import Path

from shopledger.exchange.trace_csv import read_trace_csv
from shopledger.exchange.trace_file import ReadTrace, read_trace_file


def read_shapes(file: Path) -> ReadTrace:
    """Read both eyes' shapes; a name that ends in .csv is a table."""
    return read_trace_csv(file) if file.suffix.casefold() == ".csv" else read_trace_file(file)
