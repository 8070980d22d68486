"""A second opinion: a spreadsheet program opens what was written, works it out, and saves it again."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

import openpyxl
import pytest
from openpyxl.workbook import Workbook

OFFICE = shutil.which("soffice")

T = TypeVar("T", bound=Callable[..., object])


def needs_office(test: T) -> T:
    """Mark a test that starts LibreOffice Calc, which takes seconds; it is skipped where there is none."""
    skipped = pytest.mark.skipif(OFFICE is None, reason="needs LibreOffice Calc (soffice) to work out formulas")
    marked: T = pytest.mark.slow(skipped(test))
    return marked


def worked_out(workbooks: Sequence[Path], into: Path) -> list[Workbook]:
    """Let the program, started once, calculate every formula; gives the books with values."""
    into.mkdir(exist_ok=True)
    # A profile of its own, so that neither a running program nor the user's settings matter.
    profile = f"-env:UserInstallation={(into / 'profile').as_uri()}"
    command = [str(OFFICE), profile, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(into)]
    subprocess.run(
        [*command, *map(str, workbooks)],
        check=True,
        capture_output=True,
        timeout=180 * len(workbooks),
        env={**os.environ, "HOME": str(into)},
    )
    return [openpyxl.load_workbook(into / workbook.name, data_only=True) for workbook in workbooks]
