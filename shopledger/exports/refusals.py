"""What exports refuses: a workbook or file that cannot be saved."""

from __future__ import annotations

from pathlib import Path

from shopledger.errors import ExportError


class NotSavedError(ExportError):
    """A workbook or file cannot be saved where it was asked for."""

    def __init__(self, target: Path, reason: str) -> None:
        super().__init__(target, reason)
        self.target = target
        self.reason = reason

    def __str__(self) -> str:
        """Say which file, why not, and what to do."""
        return f"{self.target} cannot be saved: {self.reason}. Make room or choose another folder, and try again."
