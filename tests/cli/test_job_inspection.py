"""Inspecting a job, the record of that, impact resistance and remakes, as typed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest
from pypdf import PdfReader

from tests.cli.conftest import PAIR, Typed, done, read_json

READ: Final = ("--right", "-2.50 -1.25 x 090", "--left", "-2.25 -1.00 x 085")
PLACED: Final = ("--pd", "63", "--height", "19")
INSPECT: Final = ("job", "inspect", "1", *READ, *PLACED, "--aligned")
PROGRESSIVE: Final = (
    *("--wearer", "Odalys Fernhollow", "--frame", "WREN-52", "--lens", "PROG"),
    *("--pd-right", "31.5", "--pd-left", "31.5", "--height", "19"),
)


def lines(*answers: str) -> str:
    """Give answers as typed, one a line."""
    return "".join(f"{answer}\n" for answer in answers)


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Sell a plain pair, which is job 1."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    return typed


def test_an_inspection_as_json(sold: Typed) -> None:
    """What was ordered and read, the verdicts with rule and limit, and the outcome."""
    said = read_json(sold(*INSPECT, "--note", "by daylight", "--json"))
    assert {key: said[key] for key in ("number", "job", "order", "day", "passed", "failures", "design", "note")} == {
        "number": 1,
        "job": 1,
        "order": 1,
        "day": "2026-03-02",
        "passed": True,
        "failures": [],
        "design": "single vision",
        "note": "by daylight",
    }
    lens = {
        "power": "-2.50 -1.25 x 090",
        "pd": 31.5,
        "near_pd": None,
        "height": 19.0,
        "tilt": None,
        "segment_width": None,
        "centre_thickness": None,
        "base_curve": None,
    }
    assert said["read"]["right"] == said["ordered"]["right"] == lens
    assert (said["standard"], said["edition"]) == ("ANSI Z80.1", "2015")
    assert said["verdicts"][0] == {
        "lens": "right",
        "quantity": "sphere",
        "ordered": -2.5,
        "measured": -2.5,
        "difference": 0.0,
        "limit": 0.13,
        "unit": "D",
        "rule": "sphere up to 6.5 D, single vision or multifocal: within 0.13 D",
        "or_else": "",
        "source": "ansi_z80_1",
        "passed": True,
    }
    assert (said["sheet"], said["compensated"], said["not_right"], said["accepted"]) == (None, None, [], [])
    assert said["demo_lenses"] is None


def test_a_failed_job_is_kept_made_again_and_passes(sold: Typed) -> None:
    """Shipping is refused until then, and the words say what to type next."""
    failed = done(sold("job", "inspect", "1", "--right", "-2.75 -1.25 x 090", *READ[2:], *PLACED, "--aligned"))
    assert "OUTSIDE" in failed.stdout
    assert "FAILED: right sphere" in failed.stdout
    assert "job remake 1" in failed.stderr
    refused = sold("sale", "ship", "1", "--carrier", "post")
    assert refused.exit_code == 30
    assert "job 1 failed its inspection (right sphere)" in refused.stderr
    remake = read_json(sold("job", "remake", "1", "--reason", "sphere off", "--cost", "18.50", "--json"))
    assert remake == {
        "number": 1,
        "job": 1,
        "day": "2026-03-02",
        "reason": "sphere off",
        "cost": "18.50",
        "scrap": "both",
        "follows_inspection": 1,
    }
    assert "Job 1 passed" in done(sold(*INSPECT)).stderr
    done(sold("sale", "ship", "1", "--carrier", "post"))


def test_a_reason_lets_an_uninspected_job_leave(sold: Typed) -> None:
    """Without one the way on is named."""
    refused = sold("sale", "ship", "1", "--carrier", "post")
    assert "job 1 was not inspected" in refused.stderr
    assert "--without-inspection REASON" in refused.stderr
    done(sold("sale", "ship", "1", "--carrier", "post", "--without-inspection", "sent to be finished elsewhere"))


def test_swapped_readings_need_a_yes(sold: Typed, everything: Callable[[], bytes]) -> None:
    """Away from a terminal the code is named; at one a no stores nothing."""
    swapped = ("job", "inspect", "1", "--right", READ[3], "--left", READ[1], *PLACED, "--aligned")
    before = everything()
    refused = sold(*swapped)
    assert refused.exit_code == 20
    assert "--accept READINGS-SWAPPED" in refused.stderr
    assert sold(*swapped, answers=lines("n")).exit_code == 1
    assert "fit better swapped" in done(sold(*swapped, "--dry-run")).stderr
    assert everything() == before
    assert read_json(sold(*swapped, "--accept", "READINGS-SWAPPED", "--json"))["accepted"] == ["READINGS-SWAPPED"]


def test_what_is_missing_is_asked_on_a_terminal(sold: Typed) -> None:
    """Readings, PD, heights and each point of the checklist; a reading that cannot be is said at once."""
    answers = lines("-2.50 -1.25", READ[1], READ[3], "63", "19", "19", "y", "y", "n", "y", "there", "out")
    asked = done(sold("job", "inspect", "1", answers=answers))
    assert "axis" in asked.stderr
    assert "Is it good: lens seating?" in asked.stderr
    assert "it is out, in or none" in " ".join(asked.stderr.split())
    assert "demonstration lenses out" in " ".join(asked.stdout.split())
    assert "FAILED: hinges" in asked.stdout


@pytest.mark.parametrize(
    ("words", "missing"),
    [
        (("job", "inspect", "1"), "--right is missing"),
        (("job", "inspect", "1", *READ), "--pd is missing"),
        (("job", "inspect", "1", *READ, "--pd", "63"), "--height-right is missing"),
        (("job", "inspect", "1", *READ, *PLACED), "--aligned is missing"),
        ((*INSPECT, "--misaligned", "hinges"), "both given"),
        ((*INSPECT, "--compensated-right", "-2.50 DS"), "--compensated-left is missing"),
        (("job", "impact", "1"), "--certificate or --exception is missing"),
        (("job", "impact", "1", "--certificate", "A", "--exception", "B"), "both given"),
        (("job", "remake", "1", "--reason", "why"), "--cost is missing"),
    ],
)
def test_the_missing_option_is_named_where_nobody_can_answer(sold: Typed, words: tuple[str, ...], missing: str) -> None:
    """Each ends as a mistake in the command line."""
    ended = sold(*words)
    assert (ended.exit_code, missing in ended.stderr) == (2, True), ended.stderr


def test_a_free_form_progressive_is_inspected_by_its_sheet(typed: Typed, tmp_path: Path) -> None:
    """A PD for each eye and the marks are wanted; the sheet's file is named with its hash."""
    done(typed("sale", "record", "--customer", "1", *PROGRESSIVE))
    sheet = tmp_path / "sheet.pdf"
    sheet.write_bytes(b"made for you")
    eyes = ("-2.43 -1.18 x 092 add 1.93", "-2.19 -0.94 x 083 add 1.93")
    words = (
        *("job", "inspect", "1", "--right", eyes[0], "--left", eyes[1], "--height", "19", "--aligned"),
        *("--compensated-right", eyes[0], "--compensated-left", eyes[1], "--sheet", str(sheet)),
    )
    assert "--pd-right is missing" in typed(*words).stderr
    placed = (*words, "--pd-right", "31.5", "--pd-left", "31.5")
    assert "--marks is missing" in typed(*placed).stderr
    said = read_json(typed(*placed, "--marks", "both", "--json"))
    assert (said["passed"], said["sheet"]["file"]) == (True, "sheet.pdf")
    assert said["compensated"] == {"right": eyes[0], "left": eyes[1]}
    sheet.unlink()
    kept = read_json(typed("job", "makers-sheet", "1", "--into", str(tmp_path / "out"), "--json"))
    assert kept == {"job": 1, "file": str(tmp_path / "out" / "makers-sheet-00001-00001.pdf")}
    assert Path(kept["file"]).read_bytes() == b"made for you"
    assert said["ordered"]["left"]["power"] == "-2.25 -1.00 x 085 add 2.00"


def test_a_near_pd_of_both_eyes_is_refused_as_it_was_typed(typed: Typed) -> None:
    """It is named whole, never by the half of it that an eye would get."""
    segment = ("--segment-shape", "flat-top", "--segment-width", "28", "--fitting-in", "2", "--fitting-up", "-4")
    more = ("--material", "hard resin 1.50", "--price", "135", "--cost", "36", "--blank", "80", "--distance-up", "4")
    made = ("--name", "Straight top", "--design", "bifocal", *more, *segment)
    done(typed("lens", "add", "BIF-28", *made, answers="\n\n"))
    face = ("--pd", "62", "--near-pd", "59", "--height", "17")
    pair = ("--wearer", "Odalys Fernhollow", "--frame", "WREN-52", "--lens", "BIF-28", *face)
    done(typed("sale", "record", "--customer", "1", *pair))
    readings = ("-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00")
    words = ("job", "inspect", "1", "--right", readings[0], "--left", readings[1], "--height", "17", "--pd", "62")
    refused = typed(*words, "--aligned", "--tilt", "0", "--near-pd", "18")
    assert "near PD of both eyes is 18 mm; allowed is 20 to 90 mm. One number is of both eyes" in refused.stderr
    assert typed(*words, "--aligned", "--tilt", "0", "--near-pd", "59", "--dry-run").exit_code == 0


def test_a_bifocal_is_asked_where_its_segments_stand_and_lie(typed: Typed) -> None:
    """Near PD and tilt of each eye, at the questions or by options; halved insets on an uneven face fail."""
    segment = ("--segment-shape", "flat-top", "--segment-width", "28", "--fitting-in", "2", "--fitting-up", "-4")
    more = ("--material", "hard resin 1.50", "--price", "135", "--cost", "36", "--blank", "80", "--distance-up", "4")
    made = ("--name", "Straight top", "--design", "bifocal", *more, *segment)
    done(typed("lens", "add", "BIF-28", *made, answers="\n\n"))
    face = ("--pd-right", "29.5", "--pd-left", "33", "--near-pd", "59", "--height", "17")
    pair = ("--wearer", "Odalys Fernhollow", "--frame", "WREN-52", "--lens", "BIF-28", *face)
    done(typed("sale", "record", "--customer", "1", *pair))
    readings = ("-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00")
    words = ("job", "inspect", "1", "--right", readings[0], "--left", readings[1], "--height", "17")
    placed = (*words, "--pd-right", "29.5", "--pd-left", "33", "--aligned")
    assert "--near-pd is missing" in typed(*placed).stderr
    assert "--tilt is missing" in typed(*placed, "--near-pd", "27.85/31.15").stderr
    halved = read_json(typed(*placed, "--near-pd", "29.5/29.5", "--tilt", "0", "--dry-run", "--json"))
    assert halved["failures"] == ["right segment place of one eye", "left segment place of one eye"]
    turned = read_json(typed(*placed, "--near-pd", "27.85/31.15", "--tilt", "-2.5/0", "--dry-run", "--json"))
    assert turned["failures"] == ["right tilt"]
    refused = typed(*placed, "--near-pd", "59", "--tilt", "0")
    assert "one near PD of both was given" in " ".join(refused.stderr.split())
    asked = done(typed(*placed, "--segment-width", "28", "28.4", answers=lines("27.85/31.15", "0.5 0"))).stdout
    for said in ("segment place", "tilt", "segment size"):
        assert said in asked
    assert "FAILED" not in asked


def test_thinning_prism_is_typed_up_or_down(typed: Typed) -> None:
    """1 BD before both eyes is part of the order then; base in is refused, and so is any of it on single vision."""
    done(typed("sale", "record", "--customer", "1", *PROGRESSIVE))
    readings = ("-2.50 -1.25 x 090 add 2.00 1 BD", "-2.25 -1.00 x 085 add 2.00 1 BD")
    words = ("job", "inspect", "1", "--right", readings[0], "--left", readings[1], "--height", "19", "--marks", "both")
    placed = (*words, "--pd-right", "31.5", "--pd-left", "31.5", "--aligned", "--dry-run", "--json")
    assert read_json(typed(*placed))["failures"] == [
        "right prism at reference point",
        "left prism at reference point",
    ]
    for thinning in ("1 BD", "as read"):
        passed = read_json(typed(*placed, "--thinning", thinning))
        assert (passed["passed"], passed["thinning_prism"]) == (True, -1.0)
    assert "thinning prism stands up or down" in " ".join(typed(*placed, "--thinning", "1 BI").stderr.split())


def test_the_record_and_the_proof_of_impact_resistance(sold: Typed, tmp_path: Path) -> None:
    """The proof stands on the record; a customer's wish is no exception."""
    refused = sold("job", "impact", "1", "--exception", "the customer wishes it")
    assert refused.exit_code == 30
    assert "only the prescriber" in refused.stderr
    kept = read_json(sold("job", "impact", "1", "--certificate", "Brightwater C-2207", "--json"))
    assert (kept["proof"], kept["reference"], kept["kept_until"]) == ("certificate", "Brightwater C-2207", None)
    assert "three years" in done(sold("job", "impact", "1", answers=lines("Brightwater C-2208"))).stdout
    assert "was not inspected" in sold("job", "inspection-record", "1", "--into", str(tmp_path)).stderr
    done(sold(*INSPECT))
    printed = read_json(sold("job", "inspection-record", "1", "--into", str(tmp_path), "--json"))
    file = Path(printed.pop("file"))
    issued = {"record": 1, "issued_on": "2026-03-02", "first": True, "replaces": None, "replaced_by": None}
    said = {"job": 1, "inspection": 1, "day": "2026-03-02", "passed": True, "changed": [], "overtaken": []}
    assert printed == said | issued
    assert file == tmp_path / "inspection-record-00001.pdf"
    assert "Brightwater C-2207" in PdfReader(file).pages[0].extract_text()


def test_a_record_is_printed_again_and_what_it_does_not_say_is_told(sold: Typed, tmp_path: Path) -> None:
    """What changed since, and the way to a new one; by its number any that was ever issued; what overtook it."""
    into = ("--into", str(tmp_path))
    done(sold(*INSPECT))
    assert done(sold("job", "inspection-record", "1", *into)).stderr == ""
    whole = (tmp_path / "inspection-record-00001.pdf").read_bytes()
    done(sold("job", "impact", "1", "--certificate", "Brightwater C-2207"))
    again = done(sold("job", "inspection-record", "1", *into))
    assert "Changed since inspection record 1 was issued: the proof of impact resistance." in again.stderr
    assert "'shopledger job inspection-record 1 --anew'" in again.stderr
    assert "inspection record 1" in " ".join(again.stdout.split())
    anew = read_json(sold("job", "inspection-record", "1", "--anew", *into, "--json"))
    assert (anew["record"], anew["first"], anew["replaces"]) == (2, True, 1)
    refused = sold("job", "inspection-record", "1", "--anew", *into)
    assert (refused.exit_code, "would say the same today" in refused.stderr) == (30, True)
    old = sold("job", "print-record", "1", *into)
    assert "Inspection record 2 took the place of 1." in done(old).stderr
    assert (tmp_path / "inspection-record-00001.pdf").read_bytes() == whole
    done(sold("job", "remake", "1", "--reason", "scratched", "--cost", "0"))
    said = read_json(sold("job", "print-record", "2", *into, "--json"))
    assert said["overtaken"] == ["the job was made again on 2026-03-02 (remake 1)"]
    told = done(sold("job", "inspection-record", "1", *into)).stderr
    assert told == "Since inspection 1, the job was made again on 2026-03-02 (remake 1).\n"
    assert sold("job", "print-record", "9", *into).exit_code == 40


def test_demonstration_lenses_are_said_or_nothing_is(sold: Typed) -> None:
    """Where a frame of the shop's goes along: without an answer a hint tells the option; one still in it fails."""
    assert "--demo-lenses out" in done(sold(*INSPECT)).stderr
    assert "--demo-lenses out" not in done(sold(*INSPECT, "--demo-lenses", "out")).stderr
    assert read_json(sold(*INSPECT, "--demo-lenses", "none", "--json"))["demo_lenses"] == "none"
    failed = done(sold(*INSPECT, "--demo-lenses", "in")).stderr
    assert "FAILED: demonstration lenses still in the frame" in failed


def test_the_commands_answer_to_the_names_they_had(sold: Typed, tmp_path: Path) -> None:
    """What an owner typed while the paper was called a certificate goes on working, and is not in the help."""
    into = ("--into", str(tmp_path))
    done(sold(*INSPECT))
    first = read_json(sold("job", "certificate", "1", *into, "--json"))
    assert first["file"] == str(tmp_path / "inspection-record-00001.pdf")
    again = read_json(sold("job", "print-certificate", "1", *into, "--json"))
    assert again["file"] == first["file"]
    listed = done(sold("job", "--help")).stdout
    assert "inspection-record" in listed
    assert "certificate" not in listed
    waits = sold("paper", "again", "certificate", "1", *into)
    assert "inspection record 1 does not wait" in waits.stderr
