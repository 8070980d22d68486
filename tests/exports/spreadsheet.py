"""A second opinion: a spreadsheet program opens what was written, works it out, and saves it again."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

import openpyxl
import pytest
from openpyxl.workbook import Workbook

OFFICE = shutil.which("soffice")

T = TypeVar("T", bound=Callable[..., object])


def _forget_values(workbook: Path, target: Path) -> None:
    with zipfile.ZipFile(workbook) as book, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as bare:
        for part in book.infolist():
            content = book.read(part)
            if part.filename.startswith("xl/worksheets/sheet"):
                content = re.sub(rb"</f><v>[^<]*</v>", b"</f><v/>", content)
            bare.writestr(part, content)


def kept_values(workbook: Path) -> dict[tuple[str, str], object]:
    """Give what stands beside each formula of a workbook, by sheet and address; None where nothing does."""
    formulas, values = openpyxl.load_workbook(workbook), openpyxl.load_workbook(workbook, data_only=True)
    return {
        (sheet.title, cell.coordinate): values[sheet.title][cell.coordinate].value
        for sheet in formulas
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def assert_worked_out(workbook: Path, worked: Workbook) -> None:
    """Every formula is written with what the program works out for it."""
    kept = kept_values(workbook)
    assert kept
    for (title, place), value in kept.items():
        found = worked[title][place].value
        # A formula that comes to an empty text is read back as nothing.
        same = found == pytest.approx(value, abs=1e-9) if isinstance(value, int | float) else found == value
        assert same, f"{title} {place}: {value} is written, {found} worked out"


def needs_office(test: T) -> T:
    """Mark a test that starts LibreOffice Calc, which takes seconds; it is skipped where there is none."""
    skipped = pytest.mark.skipif(OFFICE is None, reason="needs LibreOffice Calc (soffice) to work out formulas")
    marked: T = pytest.mark.slow(skipped(test))
    return marked


def printed(workbooks: Sequence[Path], into: Path) -> list[Path]:
    """Let the program, started once, print the books as it would on paper; gives the files of pages."""
    _convert(list(workbooks), "pdf:calc_pdf_Export", into)
    return [into / f"{workbook.stem}.pdf" for workbook in workbooks]


def _convert(workbooks: Sequence[Path], form: str, into: Path) -> None:
    # A profile of its own, so that neither a running program nor the user's settings matter.
    profile = f"-env:UserInstallation={(into / 'profile').as_uri()}"
    subprocess.run(
        [str(OFFICE), profile, "--headless", "--convert-to", form, "--outdir", str(into), *map(str, workbooks)],
        check=True,
        capture_output=True,
        timeout=180 * len(workbooks),
        env={**os.environ, "HOME": str(into)},
    )


def worked_out(workbooks: Sequence[Path], into: Path) -> list[Workbook]:
    """Let the program, started once, calculate every formula; gives the books with values.

    What stands beside the formulas is taken out before: the program would believe it.
    """
    into.mkdir(exist_ok=True)
    bare = into / "bare"
    bare.mkdir(exist_ok=True)
    for workbook in workbooks:
        _forget_values(workbook, bare / workbook.name)
    _convert([bare / workbook.name for workbook in workbooks], "xlsx:Calc MS Excel 2007 XML", into)
    return [openpyxl.load_workbook(into / workbook.name, data_only=True) for workbook in workbooks]
