"""Recording prescriptions: as a whole or part by part, with a yes to each warning, and only when it holds."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import LEFT, RIGHT, Typed, done, read_json

WHOSE = ("--customer", "1", "--wearer", "Odalys", "--prescriber", "Castellane", "--written", "2026-03-01")
UNUSUAL = ("--right", "-2.37 -1.25 x 090 add 2.00", "--left", LEFT)
"""One sphere off the quarter step, which is a warning."""
HASH = "7e41969c9432f2ac5b26ba9bf9daebc7f77ce35a9909692c3926c9b16feb7bf2"
"""Of `an invented scan`, by sha256sum."""


def test_an_eye_is_given_as_a_whole_or_part_by_part(typed: Typed) -> None:
    """Both ways of typing make the same prescription; negative powers are typed as they are."""
    parts = [
        *("--right-sphere", "-2.50", "--right-cylinder", "-1.25", "--right-axis", "90", "--right-add", "2.00"),
        *("--left-sphere", "-2.25", "--left-cylinder", "-1.00", "--left-axis", "085", "--left-add", "2"),
    ]
    prism = ("--right-prism", "2 BU", "--right-prism", "1.5 BI")
    by_parts = read_json(typed("prescription", "check", *parts, *prism, "--json"))
    whole = read_json(typed("prescription", "check", "--right", f"{RIGHT} 2 BU 1.5 BI", "--left", LEFT, "--json"))
    assert by_parts == whole


def test_a_balance_lens_needs_no_power(typed: Typed) -> None:
    """The prescriber writes balance and nothing else."""
    eye = read_json(typed("prescription", "check", "--right", RIGHT, "--left-balance", "--json"))["left"]
    assert (eye["written"], eye["balance"]) == ("balance", True)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--right", RIGHT, "--right-axis", "90", "--left", LEFT), "as a whole and in parts"),
        (("--right-axis", "90", "--left", LEFT), "--right-sphere is missing"),
        (("--right", RIGHT), "--left is missing"),
    ],
)
def test_an_eye_half_given_is_refused(typed: Typed, words: tuple[str, ...], said: str) -> None:
    """Nothing is guessed about a power."""
    result = typed("prescription", "check", *words)
    assert result.exit_code == 2
    assert said in result.stderr


def test_a_check_ends_with_the_code_of_an_error_it_found(typed: Typed) -> None:
    """Warnings are only shown; an error ends with code 20, after the table."""
    assert typed("prescription", "check", *UNUSUAL).exit_code == 0
    result = typed("prescription", "check", "--right", "-2.31 DS", "--left", LEFT)
    assert result.exit_code == 20
    assert "OFF-EIGHTH" in result.stdout


def test_a_warning_is_asked_about_one_by_one(typed: Typed) -> None:
    """At a terminal a yes to each records the prescription."""
    result = done(typed("prescription", "add", *WHOSE, *UNUSUAL, answers="y\n"))
    assert result.stderr.count("Is it meant so?") == 1
    assert "[OFF-QUARTER]" in result.stderr
    assert "OFF-QUARTER" in result.stdout


def test_a_no_to_a_warning_stores_nothing(typed: Typed, everything: Callable[[], bytes]) -> None:
    """The owner looks at the paper again."""
    before = everything()
    result = typed("prescription", "add", *WHOSE, *UNUSUAL, answers="n\n")
    assert result.exit_code == 1
    assert result.stderr.endswith("Nothing was stored.\n")
    assert everything() == before


def test_a_warning_can_be_accepted_by_its_code(typed: Typed) -> None:
    """Where nobody can be asked, the refusal names the code, and the code is the yes."""
    refused = typed("prescription", "add", *WHOSE, *UNUSUAL)
    assert refused.exit_code == 20
    assert "--accept OFF-QUARTER" in refused.stderr
    recorded = read_json(typed("prescription", "add", *WHOSE, *UNUSUAL, "--accept", "OFF-QUARTER", "--json"))
    assert recorded["number"] == 2


def test_a_dry_run_stores_nothing(typed: Typed, everything: Callable[[], bytes]) -> None:
    """The findings can be looked at first, and it ends well whatever they are."""
    before = everything()
    assert "OFF-QUARTER" in done(typed("prescription", "add", *WHOSE, *UNUSUAL, "--dry-run")).stdout
    assert everything() == before


def test_questions_record_a_prescription(typed: Typed) -> None:
    """Each power is read as it is typed, and a slip is asked for again."""
    answers = f"1\nOdalys\n1\n02/28/2026\n-2.50 -1.25\n{RIGHT}\n{LEFT}\n\n"
    result = typed("prescription", "add", "--json", answers=answers)
    assert read_json(result)["written_on"] == "2026-02-28"
    assert "without an axis" in result.stderr


def test_looking_at_a_prescription_is_noted(typed: Typed, everything: Callable[[], bytes]) -> None:
    """Prescriptions are private: who looked stands in the ledger."""
    done(typed("prescription", "show", "1"))
    assert b"looked at a prescription" in everything()


def test_a_document_is_kept_shown_and_written_out(typed: Typed, tmp_path: Path) -> None:
    """With the prescription: its name and hash stand on it, and the file comes back under the prescription's number."""
    scan = tmp_path / "from Dr. Castellane.png"
    scan.write_bytes(b"an invented scan")
    whose = (*WHOSE, "--right", RIGHT, "--left", LEFT, "--file", str(scan))
    assert read_json(typed("prescription", "add", *whose, "--dry-run", "--json"))["file_name"] == scan.name
    added = read_json(typed("prescription", "add", *whose, "--json"))
    shown = read_json(typed("prescription", "show", "2", "--json"))
    assert added["file_sha256"] == shown["file_sha256"] == HASH
    assert added["file_name"] == shown["file_name"] == scan.name
    assert scan.name in done(typed("prescription", "show", "2")).stdout
    out = tmp_path / "out"
    written = read_json(typed("prescription", "file", "2", "--into", str(out), "--json"))
    assert written == {"prescription": 2, "file": str(out / "prescription-00002.png")}
    assert (out / "prescription-00002.png").read_bytes() == scan.read_bytes()


def test_a_document_that_comes_later_is_kept_once(typed: Typed, tmp_path: Path) -> None:
    """The second is refused in a sentence that says where the first is; a prescription without one says how."""
    scan = tmp_path / "scan.pdf"
    scan.write_bytes(b"an invented scan")
    lacking = typed("prescription", "file", "1", "--into", str(tmp_path / "out"))
    assert (lacking.exit_code, "prescription keep-file 1 FILE" in lacking.stderr) == (30, True)
    kept = done(typed("prescription", "keep-file", "1", str(scan)))
    assert kept.stderr.endswith("scan.pdf is kept with prescription 1.\n")
    again = typed("prescription", "keep-file", "1", str(scan))
    assert (again.exit_code, "a kept one stays" in again.stderr) == (30, True)
    assert read_json(typed("prescription", "show", "1", "--json"))["file_name"] == "scan.pdf"


@pytest.mark.parametrize(
    ("words", "read"),
    [
        (
            ("--right", "OD −2.50 −1.25 × 90 ADD +2.00 OU", "--left", "-2.25 / -1.00 085 +2.00 add"),
            "Read: right -2.50 -1.25 x 090 add 2.00, left -2.25 -1.00 x 085 add 2.00\n",
        ),
        (("--left-sphere", "-2.25", "--right", "Pl."), "Read: right plano, left -2.25 DS\n"),
        (
            ("--both", "R: -2.50 DS; L: -2.25 DS; add 2.00 OU"),
            "Read: right -2.50 DS add 2.00, left -2.25 DS add 2.00\n",
        ),
        (("--both", "OU bal."), "Read: right balance, left balance\n"),
    ],
)
def test_what_was_understood_is_said(typed: Typed, words: tuple[str, ...], read: str) -> None:
    """Before anything is stored, in the one form that reads back, in a dry run too."""
    run = done(typed("prescription", "add", *WHOSE, *words, "--dry-run"))
    assert run.stderr == f"{read}Nothing was stored: this was a dry run.\n"


def test_an_answer_is_read_back_at_once(typed: Typed) -> None:
    """Each eye as soon as it is typed, before the next question."""
    result = typed("prescription", "add", *WHOSE, answers=f"-2.50/-1.25x90 +2.00 add\nOS {LEFT}\n\n")
    assert "  Read: right -2.50 -1.25 x 090 add 2.00\nLeft eye: " in done(result).stderr


def test_an_eye_that_is_marked_for_the_other_is_refused(typed: Typed) -> None:
    """Swapped eyes are noticed, and a line of both belongs to no single one."""
    for words, said in (
        (("--right", "OS -2.50 DS", "--left", LEFT), "marked for the left eye and given for the right one"),
        (("--right", RIGHT, "--left", "OU -2.25 DS"), "marked for both eyes and given for the left one"),
        (("--both", "OD -2.50 DS", "--left", LEFT), "the left eye is missing"),
        (("--both", "OU -2.50 DS", "--left", LEFT), "--both is given with an option for one eye"),
    ):
        result = typed("prescription", "check", *words)
        assert (result.exit_code, said in result.stderr) == (2, True), result.stderr


def test_a_number_without_its_point_is_asked_about(typed: Typed) -> None:
    """At a terminal with each number that may be meant, in an option as in an answer, until one of them is typed."""
    answers = "2.51\n-2.50\n"
    option = typed("prescription", "check", "--right", "-25 -1.25 x 90", "--left", "-2.50 DS", answers=answers)
    assert "'-25' has no decimal point: -0.25, -2.50 or -25.00: " in done(option).stderr
    assert "Read: right -2.50 -1.25 x 090, left -2.50 DS" in option.stderr
    part = typed("prescription", "check", "--right-sphere", "-10", "--left", "-1.00 DS", answers="1.00\n")
    assert "Read: right -1.00 DS, left -1.00 DS" in done(part).stderr
    result = typed("prescription", "check", answers="+25 -15 x 90\n2.50\n-1.50\nback\n-2 DS\n+2 DS\n")
    assert "  Read: right +2.50 -1.50 x 090\n" in result.stderr
    assert "Read: right -2.00 DS" in result.stderr


def test_back_from_an_option_s_lost_point_refuses_the_option(typed: Typed) -> None:
    """Nothing was asked before it."""
    result = typed("prescription", "check", "--right", "+25", "--left", "-2.50 DS", answers="back\n")
    assert (result.exit_code, "'+25' cannot be read: it has no decimal point" in result.stderr) == (2, True)


def test_a_number_without_its_point_is_refused_where_nobody_can_be_asked(typed: Typed) -> None:
    """With what to type instead."""
    result = typed("prescription", "check", "--right", "-2.50 -15 x 90", "--left", "-2.50 DS")
    assert result.exit_code == 2
    assert "'-15' cannot be read: it has no decimal point and may be -1.50 or -15.00. Write it" in result.stderr
