"""How questions are asked: lists, parts of names, what is added on the way, and the way back with every answer kept."""

from __future__ import annotations

from typing import Final

import click
import pytest
from click.testing import CliRunner, Result

from shopledger.cli.lists import PAGE, Listing, Row, listing, words_of
from shopledger.cli.prompts import ask
from shopledger.cli.questions import Answers, MendError, Step, walk
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.orders import Method
from tests.cli.conftest import Typed, done, read_json

BIRDS: Final = (Row("W-1", "Wren", "1.00"), Row("W-2", "Reed warbler"), Row("T-9", "Thrush"), Row("W-12", "Wryneck"))


def lines(*answers: str) -> str:
    """Write what is typed, one answer a line."""
    return "".join(f"{answer}\n" for answer in answers)


def asked(of: Listing | None, *answers: str, hint: str = "") -> Result:
    """Ask one question and show what was read at it."""

    def read(text: str) -> str:
        known = {row.code for row in of.rows("")} if of else {text}
        if not set(text.replace(",", " ").split()) <= known:
            kind = "bird"
            raise UnknownNameError(kind, text, of.near(text) if of else ())
        return text

    @click.command()
    def command() -> None:
        click.echo(f"read {ask('Bird', read, of=of, hint=hint)}")

    return CliRunner().invoke(command, input=lines(*answers))


def test_a_question_mark_lists_what_can_be_answered() -> None:
    """With codes, names and what else is told; the question is asked again."""
    said = asked(listing("bird", BIRDS), "?", "T-9")
    assert "  W-1   Wren: 1.00\n  W-2   Reed warbler\n  T-9   Thrush\n" in said.stderr
    assert said.stdout == "read T-9\n"


def test_a_part_behind_the_question_mark_lists_fewer() -> None:
    """By a part of a code or a name."""
    said = asked(listing("bird", BIRDS), "? warb", "T-9").stderr
    assert "  W-2  Reed warbler\n" in said
    assert "Thrush" not in said.partition("T-9")[0]


def test_a_long_list_is_shown_page_by_page() -> None:
    """How much there is stands below each, and the next comes when asked again."""
    many = listing("bird", (Row(f"B-{place:03}", f"bird {place}") for place in range(PAGE * 2 + 5)))
    said = asked(many, "?", "?", "?", "B-001").stderr
    assert "  20 of 45; ? again for more" in said
    assert "  40 of 45; ? again for more" in said
    assert said.count("bird 44") == 1


def test_where_nothing_is_listed_it_is_said_how_to_answer() -> None:
    """Every question has an answer to a question mark."""
    assert "  Dollars and cents." in asked(None, "?", "12", hint="Dollars and cents.").stderr
    assert "  Anything in a line of text" in asked(None, "?", "12").stderr


def test_one_that_fits_is_picked_and_said() -> None:
    """By a part of the code or of the name, without accents and capitals."""
    said = asked(listing("bird", BIRDS), "THRÚSH")
    assert (said.stdout, "  T-9 Thrush" in said.stderr) == ("read T-9\n", True)
    assert asked(listing("bird", BIRDS), "warb").stdout == "read W-2\n"


def test_a_whole_code_or_name_wins_over_parts() -> None:
    """W-1 is a part of W-12 too, Wren no other's."""
    assert asked(listing("bird", BIRDS), "w-1").stdout == "read W-1\n"
    assert asked(listing("bird", BIRDS), "wren").stdout == "read W-1\n"


def test_several_that_fit_are_listed_with_numbers() -> None:
    """One is taken by its number or by more of its name; `back` returns to the question."""
    several = asked(listing("bird", BIRDS), "w-", "2")
    assert "'w-' fits 3:\n    1  W-1   Wren: 1.00\n    2  W-2   Reed warbler\n    3  W-12  Wryneck\n" in several.stderr
    assert several.stdout == "read W-2\n"
    assert asked(listing("bird", BIRDS), "w-", "4", "wry").stdout == "read W-12\n"
    assert asked(listing("bird", BIRDS), "w-", "back", "thr").stdout == "read T-9\n"


def test_what_goes_by_numbers_is_listed_by_its_own() -> None:
    """A second number beside it would only be mistaken for it."""
    people = listing("customer", (Row("7", "Briony Alderwick"), Row("9", "Briony Oakes")))
    several = asked(people, "briony", "1", "9")
    assert "  7  Briony Alderwick\n" in several.stderr
    assert several.stdout == "read 9\n"


def test_one_letter_picks_nothing() -> None:
    """It is a slip, such as an answer to another question."""
    assert "no bird called 't'" in asked(listing("bird", BIRDS), "t", "thr").stderr


def test_none_that_fits_names_the_nearest() -> None:
    """And how to see all."""
    said = asked(listing("bird", BIRDS), "thrash", "thr").stderr
    assert "Error: no bird called 'thrash'. Did you mean Thrush? Type ? for the list.\n" in said


def test_several_are_typed_in_one_line() -> None:
    """Each by a part; what is a name of several words is one."""
    many = listing("bird", BIRDS, many=True)
    assert asked(many, "thr, wren").stdout == "read T-9, W-1\n"
    assert asked(many, "reed warbler").stdout == "read W-2\n"


@pytest.mark.parametrize(
    ("typed", "read"), [("ca", None), ("ch", "check"), ("transfer", "transfer"), ("t", "transfer")]
)
def test_words_are_picked_by_how_they_begin(typed: str, read: str | None) -> None:
    """One that begins so is meant; several are listed."""
    said = asked(words_of("method", Method), typed, "1")
    assert said.stdout == f"read {read or 'card'}\n"


def test_every_answer_stays_on_the_way_back() -> None:
    """What was typed is the usual answer from then on, also of questions behind the one that was gone back to."""
    answers, found = Answers(), dict[str, str]()

    def step(name: str, then: Step | None) -> Step:
        def question() -> Step | None:
            found[name] = answers.ask(name, name, str)
            return then

        return question

    @click.command()
    def command() -> None:
        walk(step("one", step("two", step("three", None))))

    said = CliRunner().invoke(command, input=lines("a", "b", "back", "back", "", "", "c")).stderr
    assert "one [a]: \ntwo [b]: \nthree: c" in said
    assert found == {"one": "a", "two": "b", "three": "c"}


def test_nothing_is_chosen_against_an_answer_before() -> None:
    """Enter keeps it, `none` takes it away."""
    answers = Answers({"extras": "AR"})

    @click.command()
    def command() -> None:
        click.echo(f"read {answers.ask('extras', 'Extras', str, optional=True)!r}")

    assert CliRunner().invoke(command, input="\n").stdout == "read 'AR'\n"
    assert "(none for none) [AR]" in CliRunner().invoke(command, input="\n").stderr
    assert CliRunner().invoke(command, input="none\n").stdout == "read ''\n"


def test_what_can_be_mended_leads_to_its_question() -> None:
    """Wherever on the way it was asked; what no question can mend is asked again."""
    answers, tries = Answers(), list[str]()

    def ask_frame() -> Step:
        tries.append(answers.ask("frame", "Frame", str))
        return ask_lens

    def ask_lens() -> Step | None:
        tries.append(answers.ask("lens", "Lens", str))
        if len(tries) < 3:
            raise MendError("ask_frame")
        return None

    @click.command()
    def command() -> None:
        walk(ask_frame)

    CliRunner().invoke(command, input=lines("a", "b", "c", ""))
    assert tries == ["a", "b", "c", "b"]


def test_an_answer_that_is_refused_is_not_kept() -> None:
    """Only what was read is the usual answer later."""
    answers = Answers()

    def read(text: str) -> str:
        if text == "bad":
            raise RefusedError("bird", text, "it is good", "Type it so.")
        return text

    @click.command()
    def command() -> None:
        answers.ask("bird", "Bird", read)

    CliRunner().invoke(command, input=lines("bad", "good"))
    assert answers.texts == {"bird": "good"}


SALE: Final = ("1", "y", "odalys", "", "wren-52", "sv-150", "", "", "63", "19", "n", "", "", "", "", "")


def test_the_review_of_a_sale_leads_back_into_its_last_question(typed: Typed) -> None:
    """With all answers kept: a payment is added, and the rest is not asked anew."""
    said = done(typed("sale", "record", answers=lines(*SALE, "back", "50", "cash", "", ""))).stderr
    assert said.count("Record it, 186.50 in all? (y/n) [y]: ") == 2
    assert read_json(typed("sale", "show", "1", "--json"))["paid"] == "50.00"


def test_a_no_to_a_warning_leads_back(typed: Typed) -> None:
    """To the question that can change it, not out of the order."""
    done(typed("shop", "change", "--prescription-months", "1"))
    whose = ("--customer", "1", "--wearer", "Wren", "--prescriber", "1", "--written", "2025-01-15", "--accept")
    done(typed("prescription", "add", *whose, "PRESCRIPTION-OLD", "--right", "-1.00 DS", "--left", "-1.00 DS"))
    answers = ("1", "y", "wren", "", "wren-52", "sv-150", "", "", "54", "", "n", "", "", "", "", "", "n", "back")
    rest = ("odalys", "", "", "", "", "", "63", "19", *[""] * 7)
    said = done(typed("sale", "record", answers=lines(*answers, *rest))).stderr
    after = said.partition("Is it meant so? No leads back. (y/n) [n]: n")[2]
    assert after.lstrip().startswith("Prescription, the newest or another number")
    assert "So far 260.00" in after
    assert read_json(typed("sale", "show", "1", "--json"))["pairs"][0]["prescription"] == 1


def test_what_is_not_there_any_more_leads_back_to_it(typed: Typed) -> None:
    """Two pairs take the last frame: the second is refused as it is typed, beside the first of the same order."""
    done(typed("stock", "write-off", "WREN-52", "--quantity", "2", "--reason", "a leak"))
    pair = ("odalys", "", "wren-52", "sv-150", "", "", "63", "19")
    said = typed("sale", "record", answers=lines("1", "y", *pair, "y", "odalys", "", "wren-52")).stderr
    assert "WREN-52: 2 asked for, 1 on hand" in said
    assert "Frame (with" in said.partition("2 asked for")[2]


def test_more_accessories_than_there_are_are_refused_as_they_are_typed(typed: Typed) -> None:
    """Not only when the order is recorded."""
    said = done(typed("sale", "record", answers=lines("1", "n", "", "CASE=11", "CASE=2", "", "", "", "", ""))).stderr
    assert "CASE: 11 asked for, 10 on hand" in said


def test_a_closed_month_is_said_before_anything_is_asked(typed: Typed) -> None:
    """And the order may be of another day."""
    done(typed("--today", "2026-04-01", "month", "close", "2026-03"))
    said = typed("sale", "record", answers=lines("2026-03-01", "2026-02-27")).stderr
    assert said.index("Today will not do") < said.index("Day of the order")
    assert "Customer, number or name" in said


def test_upgrades_that_exclude_each_other_are_asked_again(typed: Typed) -> None:
    """At once, where they were named."""
    for code, kind in (("TINT", "tint"), ("PHOTO", "photochromic")):
        done(typed("extra", "add", code, "--name", kind, "--kind", kind, "--price", "40", "--cost", "9"))
    pair = ("odalys", "", "wren-52", "sv-150", "", "tint photo", "tint")
    said = typed("sale", "record", answers=lines("1", "y", *pair)).stderr
    after = said.partition("[TINT-PHOTOCHROMIC]")[2]
    assert "(none for none) [TINT PHOTO]: tint" in after


def test_an_offer_that_is_only_given_by_name_can_be_named(typed: Typed) -> None:
    """The question stands there only where there is one."""
    plain = ("1", "n", "", "CASE", "", "", "")
    assert "Offers that are asked for" not in typed("sale", "record", answers=lines(*plain)).stderr
    given = ("--name", "Friends of the shop", "--kind", "percent", "--percent", "10", "--reduces", "frame")
    done(typed("offer", "add", "FRIEND", *given, "--when-named"))
    pair = ("odalys", "", "wren-52", "prog", "", "63", "", "19")
    end = ("n", "", "", "", "", "friend", "", "y")
    done(typed("sale", "record", answers=lines("anew", "1", "y", *pair, *end)))
    frame = read_json(typed("sale", "show", "1", "--json"))["lines"][0]
    assert (frame["offer"], frame["reduction"]) == ("FRIEND", "18.00")


def test_a_claim_code_is_chosen_within_a_sale(typed: Typed) -> None:
    """Where the published bands overlap: the codes with their words, before anything more is asked."""
    eyes = ("--right", "-8.00 -2.25 x 090", "--left", "-8.00 -2.25 x 090")
    whose = ("--customer", "1", "--wearer", "Wren", "--prescriber", "1", "--written", "2026-02-20")
    done(typed("prescription", "add", *whose, *eyes))
    pair = ("wren", "", "wren-52", "sv-150", "", "V2200", "V2111", "V2112", "", "54", "")
    said = done(typed("sale", "record", answers=lines("1", "y", *pair, "n", "", "", "", "", "", "y"))).stderr
    assert said.index("No one code fits the right lens") < said.index("Extras, codes")
    assert "  V2112  single vision, sphere 7.25 to 12.00, cylinder 2.25 to 4.00" in said
    charges = [each["code"] for each in read_json(typed("sale", "show", "1", "--json"))["lines"][1]["charges"]]
    assert charges == ["V2111", "V2112"]


def test_going_back_out_of_a_second_pair_leaves_it_out_of_the_first(typed: Typed) -> None:
    """What is half answered of it counts for nothing while the first is changed."""
    pair = ("odalys", "", "wren-52", "sv-150", "", "", "63", "19")
    back = ("y", "odalys", "", "wren-52", "prog", *["back"] * 5, "back", "20")
    said = done(typed("sale", "record", answers=lines("1", "y", *pair, *back, "n", "", "", "", "", "", "y"))).stderr
    assert "Fitting height, for both or right and left (none for none) [19]: 20" in said
    pairs = read_json(typed("sale", "show", "1", "--json"))["pairs"]
    assert [each["measurements"]["right"]["height"] for each in pairs] == [20.0]


def test_a_wearer_is_added_within_a_sale(typed: Typed) -> None:
    """With questions of its own, checked as typed; a second self is refused and asked about again."""
    new = ("new", "Ottilie Fernhollow", "self", "", "", "child", "2018-05-01", "")
    said = typed("sale", "record", answers=lines("1", "y", *new, "none")).stderr
    assert "  Ottilie Fernhollow was added." in said
    assert said.count("Error: ") == 1
    assert "Wearer (Odalys Fernhollow or Wren Fernhollow), or new: new" in said
    assert "Frame (with" in said
    added = read_json(typed("customer", "show", "1", "--json"))["wearers"][-1]
    assert (added["name"], added["relationship"]) == ("Ottilie Fernhollow", "child")


def test_a_customer_like_another_is_asked_about_and_may_be_the_other(typed: Typed) -> None:
    """A no leads back, and `back` at the first question leaves without anything stored."""
    who = ("new", "Odalys Fernhollow", "18 Tansy Lane", "", "Millbrae", "OH", "43002", "555-0142", "", "")
    said = typed("sale", "record", answers=lines(*who, "n", *["back"] * 9, "1")).stderr
    assert "No leads back" in said
    assert "Nothing was stored." in said
    assert "A pair of glasses?" in said


def test_a_prescription_that_cannot_be_leads_back_to_its_eye(typed: Typed) -> None:
    """Found on the whole of it, it is asked again where it was typed."""
    eyes = ("2026-03-03", "2026-03-01", "-1.00 DS", "-1.00 DS add 0.10", "", "-1.00 DS", "")
    said = done(typed("prescription", "add", answers=lines("fern", "wren", "imre", *eyes))).stderr
    assert "it lies after today, 2026-03-02. Type the day it happened.\nDay it was written: 2026-03-01" in said
    assert "Left eye [-1.00 DS add 0.10]: -1.00 DS" in said


def test_no_judgement_at_the_bench_has_a_ready_answer(typed: Typed) -> None:
    """Enter is no yes: whoever looked types it."""
    pair = ("--wearer", "Odalys", "--frame", "WREN-52", "--lens", "SV-150", "--pd", "63", "--height", "19")
    done(typed("sale", "record", "--customer", "1", *pair))
    read = ("-2.50 -1.25 x 090", "-2.25 -1.00 x 085", "63", "19", "19")
    said = typed("job", "inspect", "1", answers=lines(*read, "", "", "y", "back", "n", "y", "y", "y", ""))
    assert "Is it good: bench alignment? (y/n): \nIs it good: bench alignment? (y/n): " in said.stderr
    assert "Is it good: bench alignment? (y/n) [y]: n" in said.stderr
    assert "FAILED: bench alignment" in done(said).stdout


def test_an_upgrade_on_one_lens_is_said_behind_its_code(typed: Typed) -> None:
    """Slab-off, which is ground on one lens, is refused for both and taken for one."""
    done(typed("extra", "add", "SLAB", "--name", "Slab-off", "--kind", "slab-off", "--price", "160", "--cost", "60"))
    pair = ("odalys", "", "wren-52", "prog", "slab ar", "slab=left ar", "63", "", "19")
    said = done(typed("sale", "record", answers=lines("1", "y", *pair, "n", "", "", "", "", "", ""))).stderr
    assert "slab-off is ground on one lens" in " ".join(said.split())
    (sold,) = read_json(typed("sale", "show", "1", "--json"))["pairs"]
    assert (sold["extras"], sold["left"]["extras"]) == (["AR"], ["SLAB"])


def test_a_frame_from_elsewhere_is_added_within_a_sale(typed: Typed) -> None:
    """It is the customer's own, and costs nothing; a code that is taken is refused as it is typed."""
    new = ("new", "wren-52", "own-1", "Elsewhere", "Rook", "ink", "50", "20", "145")
    pair = ("odalys", "", *new, "sv-150", "", "", "63", "19")
    said = done(typed("sale", "record", answers=lines("1", "y", *pair, "n", "", "", "", "", "", ""))).stderr
    assert "Error: code is wren-52; another frame has it." in said
    order = read_json(typed("sale", "show", "1", "--json"))
    assert order["pairs"][0]["frame"] == "OWN-1"
    assert [line["kind"] for line in order["lines"]] == ["lenses", "shipping"]
