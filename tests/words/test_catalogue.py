"""Codes with figures become sentences: names, numbers, plurals, and what another language makes of them."""

from pathlib import Path

import pytest

from service.contract.verification_codes.requirements import AskedCode, asked
from service.words import Audience, Code, Meaning, Quantity, Statement, Term, Verbatim, catalogue, languages

GERMAN = """
msgid ""
msgstr ""
"Content-Type: text/plain; charset=UTF-8\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

msgid "One hole"
msgid_plural "{number} holes"
msgstr[0] "Ein Loch"
msgstr[1] "{number} Löcher"

msgid "too near {side}: {edge_mm} mm"
msgstr "zu nah an {side}: {edge_mm} mm"

msgid "the edge ahead"
msgstr "der Kante vor dir"
"""


class Side(Code):
    AHEAD = "y_plus", Meaning("Edge in the direction of +y.", "edge y plus", "the edge ahead")


class Said(Code):
    TOO_NEAR = Meaning(
        "An edge is too near.",
        "c {edge_mm} mm at {side} ({size})",
        "too near {side}: {edge_mm} mm",
        figures=(Quantity("edge_mm", "mm"), Term("side", Side), Verbatim("size")),
    )
    PLAIN = "plain", "Nothing else"


NEAR = Statement(Said.TOO_NEAR, {"edge_mm": 62.5, "side": Side.AHEAD, "size": "M12"})


@pytest.fixture
def locale(tmp_path: Path) -> Path:
    for audience in Audience:
        (tmp_path / "de").mkdir(exist_ok=True)
        (tmp_path / "de" / f"{audience}.po").write_text(GERMAN, "utf-8")
    return tmp_path


def test_the_word_of_a_code_is_its_name_unless_another_stands_before_its_meaning() -> None:
    assert [*Said] == ["too_near", "plain"]
    assert [*Side] == ["y_plus"]
    assert Said("too_near") is Said.TOO_NEAR


def test_each_audience_has_its_own_sentence() -> None:
    assert catalogue(Audience.ENGINEER).sentence(NEAR) == "c 62.5 mm at edge y plus (M12)"
    assert catalogue(Audience.CREW).sentence(NEAR) == "too near the edge ahead: 62.5 mm"
    assert catalogue(Audience.CREW).name(Said.PLAIN) == "Nothing else"


def test_a_language_translates_sentence_word_and_number(locale: Path) -> None:
    german = catalogue(Audience.CREW, "de", locale)
    assert german.sentence(NEAR) == "zu nah an der Kante vor dir: 62,5 mm"
    assert german.count("One hole", "{number} holes", 1) == "Ein Loch"
    assert german.count("One hole", "{number} holes", 4) == "4 Löcher"
    assert languages(locale) == ("en", "de")


def test_a_figure_has_the_digits_that_the_template_asks_for() -> None:
    words = catalogue(Audience.ENGINEER)
    assert words.say("{used:.3g} of {limit}", used=0.84732, limit=1.0) == "0.847 of 1"
    assert words.say("{large}", large=1234567.0) == "1.23457e+06"
    assert words.say("{nothing}", nothing=None) == "not known"


def test_a_language_that_is_not_there_is_named_with_those_that_are(locale: Path) -> None:
    with pytest.raises(ValueError, match=r"'fr'.*en, de"):
        catalogue(Audience.CREW, "fr", locale)


@pytest.mark.parametrize("figures", [{}, {"edge_mm": 1.0, "side": Side.AHEAD, "length": "x"}])
def test_a_statement_needs_the_figures_of_its_code(figures: dict[str, float | str]) -> None:
    with pytest.raises(ValueError, match="too_near goes with"):
        Statement(Said.TOO_NEAR, figures)


class Range(Code):
    LENGTHS = (
        "lengths",
        Meaning(
            "Which lengths there are.",
            ("lengths {lengths_mm} mm, up to {most_mm:.3g} mm", "lengths {lengths_mm} mm", "no length"),
            figures=(Quantity("lengths_mm", "mm"), Quantity("most_mm", "mm")),
        ),
    )
    NOT_KNOWN = "{what}_unknown", Meaning("Something is not known.", "{what} not known", figures=(Verbatim("what"),))


@pytest.mark.parametrize(
    ("lengths", "most", "sentence"),
    [
        ((90.0, 110.5), 15.0, "lengths 90, 110.5 mm, up to 15 mm"),
        ((90.0,), None, "lengths 90 mm"),
        ((), 15.0, "no length"),
        (None, None, "no length"),
    ],
)
def test_of_several_sentences_the_first_is_said_whose_figures_are_there(
    lengths: tuple[float, ...] | None, most: float | None, sentence: str
) -> None:
    statement = Statement(Range.LENGTHS, {"lengths_mm": lengths, "most_mm": most})
    assert catalogue(Audience.ENGINEER).sentence(statement) == sentence


def test_a_code_may_have_a_part_that_the_rulebook_brings() -> None:
    statement = Statement(Range.NOT_KNOWN, {"what": "drilling"})
    assert statement.word == "drilling_unknown"
    assert Statement(Said.PLAIN).word == "plain"


class Held(AskedCode):
    STRESS = (
        "stress",
        asked(
            "The plate stays elastic.",
            "plate bends",
            "stress {stress_mpa:.5g} MPa, yield {yield_mpa} MPa",
            Quantity("stress_mpa", "MPa"),
            Quantity("yield_mpa", "MPa"),
            given="stress_mpa",
            limit="yield_mpa",
        ),
    )
    TORQUE = (
        "torque",
        asked(
            "The torque is within what is asked for.",
            "torque outside",
            "torque {torque_nm} N·m, {torque_min_nm} to {torque_max_nm} N·m",
            Quantity("torque_nm", "Nm"),
            Quantity("torque_min_nm", "Nm"),
            Quantity("torque_max_nm", "Nm"),
            given="torque_nm",
        ),
    )


@pytest.mark.parametrize(
    ("stress_mpa", "sentence"),
    [
        (235.002, "stress just over 235 MPa, yield 235 MPa"),
        (234.998, "stress just under 235 MPa, yield 235 MPa"),
        (235.0, "stress 235 MPa, yield 235 MPa"),
        (235.0 + 1e-10, "stress 235 MPa, yield 235 MPa"),
        (235.02, "stress 235.02 MPa, yield 235 MPa"),
        (None, "stress not known MPa, yield 235 MPa"),
    ],
)
def test_a_figure_that_is_written_as_its_limit_says_on_which_side_it_lies(
    stress_mpa: float | None, sentence: str
) -> None:
    said = Statement(Held.STRESS, {"stress_mpa": stress_mpa, "yield_mpa": 235.0})
    assert catalogue(Audience.ENGINEER).sentence(said) == sentence
    assert said.figures["stress_mpa"] == stress_mpa


@pytest.mark.parametrize(
    ("torque_nm", "written"), [(52.50001, "just over 52.5"), (47.499999, "just under 47.5"), (50, "50"), (52.5, "52.5")]
)
def test_a_figure_between_two_limits_says_past_which_it_lies(torque_nm: float, written: str) -> None:
    said = Statement(Held.TORQUE, {"torque_nm": torque_nm, "torque_min_nm": 47.5, "torque_max_nm": 52.5})
    assert catalogue(Audience.ENGINEER).sentence(said) == f"torque {written} N·m, 47.5 to 52.5 N·m"
