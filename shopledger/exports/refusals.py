"""What exports refuses: a sheet that cannot be built, a workbook or file that cannot be saved."""

from __future__ import annotations

from pathlib import Path

from shopledger.errors import ExportError


class SheetError(ExportError):
    """A sheet is declared so that it cannot be built."""

    problem: str
    sentence = "{problem}."


class NotSavedError(ExportError):
    """A workbook or file cannot be saved where it was asked for."""

    target: Path
    reason: str
    sentence = "{target} cannot be saved: {reason}. Make room or choose another folder, and try again."
