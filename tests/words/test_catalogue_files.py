"""The files that translators begin with hold every sentence of the code, and the pseudo-language every one of them."""

from __future__ import annotations

from pathlib import Path
from types import ModuleType

import pytest

from service.words import LOCALE, Audience, catalogue, languages
from tests.words.pseudo import catalogues_script


@pytest.fixture(scope="module")
def script() -> ModuleType:
    return catalogues_script()


@pytest.mark.parametrize("audience", Audience)
def test_the_templates_are_those_of_the_code(script: ModuleType, audience: Audience) -> None:
    written = script.written(script.templates(audience))
    assert (LOCALE / f"{audience}.pot").read_text("utf-8") == written, "run deploy/catalogues.py"


def test_sentences_of_the_sheet_are_for_crews_alone(script: ModuleType) -> None:
    crew, engineer = (script.templates(audience) for audience in (Audience.CREW, Audience.ENGINEER))
    assert crew.get("Bill of materials") is not None
    assert engineer.get("Bill of materials") is None
    [strokes] = [message.id for message in crew if isinstance(message.id, tuple) and "full stroke" in message.id[0]]
    assert strokes[1].endswith("{number} full strokes of {stroke}")


def test_the_pseudo_language_brackets_a_sentence_and_marks_what_is_put_in(script: ModuleType, tmp_path: Path) -> None:
    script.write_pseudo(tmp_path)
    words = catalogue(Audience.CREW, script.PSEUDO, tmp_path)
    assert words.say("Bill of materials") == "⟦Biíll oóf maáteériíaáls⟧"
    assert words.say("{names} or {last}", names="dry", last="wet") == "⟦‹dry› oór ‹wet›⟧"
    assert words.count("And {number} more: see the record", "And {number} more: see the record", 3).startswith(
        "⟦AÁnd ‹3› moóreé"
    )


def test_a_pseudo_language_is_a_third_longer(script: ModuleType) -> None:
    crew = [message.id for message in script.templates(Audience.CREW) if isinstance(message.id, str) and message.id]
    made = [message.string for message in script.pseudo(script.templates(Audience.CREW)) if message.id]
    longer = sum(len(one) for one in made if isinstance(one, str)) / sum(map(len, crew))
    assert 1.25 < longer < 1.5


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("audience", Audience)
def test_each_language_that_ships_can_be_opened(language: str, audience: Audience) -> None:
    assert catalogue(audience, language).language == language


def test_a_translation_may_ask_for_no_figure_that_its_sentence_does_not_have(tmp_path: Path) -> None:
    """A slip of a translator was found by whoever asked for the answer."""
    directory = tmp_path / "pl"
    directory.mkdir()
    (directory / "crew.po").write_text('msgid "Set {depth} deep"\nmsgstr "Osadz na {glebokosc}"\n', "utf-8")
    said = r"glebokosc in the translation of 'Set \{depth\} deep' in pl/crew.po; there are: depth"
    with pytest.raises(ValueError, match=said):
        catalogue(Audience.CREW, "pl", tmp_path)
