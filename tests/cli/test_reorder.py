"""New lenses by questions and by options: the same draft, priced and compared before anything is stored."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import PAIR, Typed, done, read_json

NEW_EYES = ("--right", "-2.75 -1.25 x 090 add 2.25", "--left", "-2.25 -1.00 x 080 add 2.25")
TODAY = ("--today", "2027-04-10")
REORDER = (*TODAY, "reorder", "--customer", "1", "--wearer", "Odalys")
OWN = (
    *("--maker", "Elsewhere", "--model", "Own", "--colour", "ink"),
    *("--eye-size", "52", "--bridge", "18", "--temple", "145"),
)
THIN = (
    *("lens", "add", "SV-167", "--name", "Thin single vision", "--design", "single vision"),
    *("--material", "high index 1.67", "--price", "180.00", "--cost", "60.00", "--blank", "70", "--blank", "75"),
)


def lines(*answers: str) -> str:
    """Write what is typed, one answer a line."""
    return "".join(f"{answer}\n" for answer in answers)


@pytest.fixture
def returned(typed: Typed, trace_file: Path) -> Typed:
    """Sell a pair in a traced frame; a year later the customer comes back with a new prescription."""
    done(typed("trace", "add", "WREN-52", str(trace_file)))
    done(typed("sale", "record", "--customer", "1", *PAIR, "--extra", "AR"))
    eyes = ("prescription", "add", "--customer", "1", "--wearer", "Odalys", "--prescriber", "1")
    done(typed(*TODAY, *eyes, "--written", "2027-04-02", *NEW_EYES))
    return typed


def drafted(typed: Typed, number: int) -> Any:  # noqa: ANN401 - whatever JSON holds
    """Give the order of a draft as it would be recorded."""
    return read_json(typed(*TODAY, "draft", "record", str(number), "--dry-run", "--json"))


def test_questions_and_options_draft_the_same(returned: Typed, tmp_path: Path) -> None:
    """Customer, wearer, frame, prescription, lens, use, extras and measurements, each as before at a keystroke."""
    said = done(
        returned(*TODAY, "reorder", "--into", str(tmp_path / "one"), answers=lines("fern", "odalys", *[""] * 6, ""))
    ).stderr
    assert "WREN-52: Thistledown Wren, slate, 52-18-140; job 1, 2026-03-02; its shape is stored" in said
    assert "As before: " in said
    assert "Draft it, 216.45 in all?" in said
    done(returned(*REORDER, "--into", str(tmp_path / "two")))
    assert drafted(returned, 1) == drafted(returned, 2)
    assert (tmp_path / "one" / "reorder-00001.pdf").exists()
    assert (tmp_path / "two" / "reorder-00002.pdf").exists()


def test_what_is_not_as_before_is_asked_for(returned: Typed) -> None:
    """Another prescription, another lens for reading, no coating, new measurements."""
    answers = (
        "1",
        "odalys",
        "1",
        "wren-52",
        "sv-150",
        "reading",
        "none",
        "n",
        "31.5 31",
        "59",
        "20",
        "y",
    )
    done(returned(*TODAY, "reorder", answers=lines(*answers)))
    (pair,) = drafted(returned, 1)["pairs"]
    assert (pair["prescription"], pair["use"], pair["extras"]) == (1, "reading", [])
    assert pair["measurements"]["right"] == {"pd": 31.5, "near_pd": 29.736, "height": 20.0}


def test_wrong_answers_are_refused_as_they_are_typed_and_back_returns(returned: Typed) -> None:
    """Each slip is said at once; nothing has to be typed twice but what was wrong."""
    answers = (
        "nobody", "1", "xyz", "odalys", "two", "99", "2", "NO-FRAME", "wren-52", "NO-LENS", "back", "", "sv-150",
        "flying", "distance", "NOTHING", "back", "distance", "ar", "y", "y",
    )  # fmt: skip
    said = done(returned(*TODAY, "reorder", answers=lines(*answers))).stderr
    assert said.count("Error: ") == 8
    assert drafted(returned, 1)["pairs"][0]["extras"] == ["AR"]


@pytest.mark.parametrize("count", [0, 1, 3, 7, 8])
def test_stopping_at_any_question_stores_nothing(
    returned: Typed, tmp_path: Path, everything: Callable[[], bytes], count: int
) -> None:
    """Ctrl-C, the end of what is typed, or a no at the end leaves the ledger as it was, and makes no file."""
    before = everything()
    result = returned(*TODAY, "reorder", answers=lines(*("1", "odalys", *[""] * 6)[:count]))
    assert result.exit_code == 1
    assert "Nothing was stored." in result.stderr
    into = ("--into", str(tmp_path / "new"))
    result = returned(*TODAY, "reorder", *into, answers=lines("1", "odalys", *[""] * 6, "n"))
    assert result.exit_code == 1
    assert everything() == before
    assert not (tmp_path / "new").exists()


def test_away_from_a_terminal_the_missing_option_is_named(returned: Typed) -> None:
    """Nothing is asked where nobody can answer."""
    assert "--customer is missing" in returned("reorder").stderr
    assert "--wearer is missing" in returned("reorder", "--customer", "1").stderr


def test_a_dry_run_by_questions_stores_nothing(returned: Typed, everything: Callable[[], bytes]) -> None:
    """The plan is shown, and no yes is asked for."""
    before = everything()
    result = done(returned(*TODAY, "reorder", "--dry-run", answers=lines("1", "odalys", *[""] * 6)))
    assert "dry run" in result.stderr
    assert "  Prescription 2, written 2027-04-02, 8 days old" in result.stderr
    assert everything() == before


def test_a_frame_that_was_never_traced_is_refused_as_it_is_typed(returned: Typed) -> None:
    """With what to do about it; another frame may be typed."""
    done(returned("frame", "add", "OWN-1", *OWN, "--owned-by", "1"))
    said = returned(*TODAY, "reorder", answers=lines("1", "odalys", "", "own-1")).stderr
    assert "trace is missing for OWN-1" in said
    assert "shopledger trace add OWN-1 FILE" in said


def test_a_frame_from_elsewhere_is_led_to_new_lenses(returned: Typed, trace_file: Path) -> None:
    """Never sold here, but traced: the PD may be as before, the height is asked for anew."""
    done(returned("frame", "add", "OWN-1", *OWN, "--owned-by", "1"))
    done(returned("trace", "add", "OWN-1", str(trace_file)))
    answers = ("1", "odalys", "", "own-1", "prog", "none", "y", "n", "63", "", "21", "")
    said = done(returned(*TODAY, "reorder", answers=lines(*answers))).stderr
    assert "HEIGHT-MISSING" in said
    order = drafted(returned, 1)
    assert order["pairs"][0]["frame"] == "OWN-1"
    assert order["pairs"][0]["measurements"]["left"]["height"] == 21.0


def test_the_plan_shows_shapes_changes_lenses_and_price(returned: Typed) -> None:
    """Both letters, what changed in words, every lens of the design as a row and as a bar, and the sum."""
    done(returned(*THIN))
    said = done(returned(*REORDER, "--dry-run")).stdout
    for words in (
        "R is the wearer's right lens", "sphere 0.25 D toward minus, add 0.25 D stronger", "axis turned 5°",
        "Plain single vision", "Thin single vision", "Thickest edge", "total", "216.45",
        "written 2027-04-02, 8 days old",
    ):  # fmt: skip
        assert words in " ".join(said.split()), words
    bars = {line.split("  ")[0]: line.count("#") for line in said.splitlines() if "###" in line}
    assert bars["Plain single vision"] == 36
    assert 0 < bars["Thin single vision"] < 36


def test_the_plan_as_json_keeps_its_form(returned: Typed) -> None:
    """Others' programs may count on these names."""
    done(returned(*THIN))
    plan = read_json(returned(*REORDER, "--dry-run", "--json"))
    assert list(plan) == [
        "draft", "file", "customer", "wearer", "frame", "earlier_job", "earlier_in_this_frame", "trace", "prescription",
        "previous_prescription", "powers", "previous_powers", "changes", "measurements", "chosen", "others", "order",
        "findings",
    ]  # fmt: skip
    assert list(plan["chosen"]) == [
        "lens", "material", "price", "base_curve", "right", "left", "centre", "thinnest_edge", "thickest_edge",
        "weight",
    ]  # fmt: skip
    assert list(plan["chosen"]["right"]) == [
        "made", "decentration_in", "offset_up", "blank_needed", "blank", "refusal", "thickness",
    ]  # fmt: skip
    assert list(plan["chosen"]["left"]["thickness"]) == [
        "centre", "thinnest", "thinnest_at", "thickest", "thickest_at", "weight",
    ]  # fmt: skip
    assert plan["changes"] == {
        "right": "sphere 0.25 D toward minus, add 0.25 D stronger",
        "left": "axis turned 5°, from 085 to 080, add 0.25 D stronger",
    }
    assert (plan["order"]["total"], plan["order"]["number"]) == ("216.45", None)
    assert [other["lens"] for other in plan["others"]] == ["SV-167"]
    assert plan["others"][0]["thickest_edge"] < plan["chosen"]["thickest_edge"]


def test_a_claim_code_is_chosen_at_a_question_or_beside_them(returned: Typed, tmp_path: Path) -> None:
    """Where the published bands overlap, both are listed with their words, and the answer is taken there."""
    eyes = ("--right", "-8.00 -2.25 x 090 add 2.25", "--left", "-8.00 -2.00 x 090 add 2.25")
    given = ("prescription", "add", "--customer", "1", "--wearer", "1", "--prescriber", "1", "--written", "2027-04-09")
    yes = ("--accept", "CHANGE-UNUSUAL")
    done(returned(*TODAY, *given, *eyes, *yes))
    asked = ("1", "odalys", *[""] * 6)
    said = done(
        returned(*TODAY, "reorder", *yes, answers=lines(*asked, "V9", "?", "V2111", str(tmp_path / "a"), ""))
    ).stderr
    assert "No one code fits the right lens: two bands hold -8.00 -2.25 x 090" in said
    assert "  V2112  single vision, sphere 7.25 to 12.00, cylinder 2.25 to 4.00" in said
    assert drafted(returned, 1)["lines"][0]["charges"][0]["code"] == "V2111"
    beside = lines(*asked, str(tmp_path / "b"), "")
    done(returned(*TODAY, "reorder", *yes, "--right-code", "V2112", answers=beside))
    assert drafted(returned, 2)["lines"][0]["charges"][0]["code"] == "V2112"
