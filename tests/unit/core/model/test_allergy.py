"""What people say that a child does not tolerate, understood without leave."""

from __future__ import annotations

import pytest

from lumenkeep.core.model import SAID_UNKNOWN
from lumenkeep.core.model.allergy import (
    EVERY,
    SaidAllergy,
    allergies_of,
    hear,
    told_in_body,
)
from lumenkeep.core.model.substances import SUBSTANCES
from lumenkeep.core.model.words import SENSITIVITIES

NAMES = {
    "reaction to chlorhexidine": "chlorhexidine",
    "CHG": "chlorhexidine",
    "chlorhex": "chlorhexidine",
    "Chlor-hexidine (wheals)": "chlorhexidine",
    "0.5% CHG": "chlorhexidine",
    "unknown reaction to CHG": "chlorhexidine",
    "NKDA except chlorhexidine": "chlorhexidine",
    "chlrohexidine": "chlorhexidine",
    "povidone iodine": "iodine",
    "PVP-I": "iodine",
    "iodophor": "iodine",
    "rubbing alcohol": "alcohol",
    "isopropyl": "alcohol",
    "IPA": "alcohol",
    "ethanol": "alcohol",
    "latex gloves": "latex",
    "sticking plaster": "adhesive",
    "plaster/tape": "adhesive",
    "hydrogel": "gel",
    "silicone": "silicone",
}


def test_each_substance_of_the_list_has_names() -> None:
    assert list(SUBSTANCES) == list(SENSITIVITIES)


@pytest.mark.parametrize(("phrase", "substance"), NAMES.items(), ids=list(NAMES))
def test_a_phrase_with_a_name_in_it_bars_the_substance(phrase, substance) -> None:
    assert hear(phrase).bars == {substance}


@pytest.mark.parametrize(
    "phrase",
    ["unknown", "not asked", "n/k", "?", "Not known", "allergies unknown", "-"],
)
def test_what_is_said_to_be_unknown_is_unknown(phrase) -> None:
    assert hear(phrase).says == "unknown"
    assert allergies_of([SaidAllergy(phrase)])[0] == SAID_UNKNOWN


@pytest.mark.parametrize(
    "phrase",
    ["none", "none known", "nil", "NKA", "NKDA", "no known allergies", "No allergies."],
)
def test_what_is_said_to_be_none_is_none(phrase) -> None:
    known, allergies = allergies_of([SaidAllergy(phrase)])

    assert (known, allergies.in_doubt) == (frozenset(), frozenset())


@pytest.mark.parametrize(
    "more",
    [{"what_happened": "wheals"}, {"severity": "severe"}, {"touches_skin": True}],
)
def test_none_beside_something_that_happened_is_unknown(more) -> None:
    assert allergies_of([SaidAllergy("none known", **more)])[0] == SAID_UNKNOWN

    known, allergies = allergies_of(
        [SaidAllergy("none known", **more), SaidAllergy("latex")]
    )
    assert (known, allergies.in_doubt) == ({"latex"}, EVERY - {"latex"})


@pytest.mark.parametrize("substance", ["skin wash", "latex", "none known"])
def test_what_is_named_only_in_what_happened_is_asked(substance) -> None:
    told = SaidAllergy(
        substance, "blisters, as after chlorhexidine", touches_skin=False
    )

    assert "chlorhexidine" not in allergies_of([told])[0]
    assert "chlorhexidine" in allergies_of([told])[1].in_doubt
    settled = allergies_of([told, SaidAllergy("chlorhexidine")])
    assert "chlorhexidine" in settled[0]


@pytest.mark.parametrize(
    ("phrase", "substance"),
    [
        ("no chlorhexidine allergy", "chlorhexidine"),
        ("not allergic to iodine", "iodine"),
        ("denies latex allergy", "latex"),
    ],
)
def test_a_denial_before_a_name_asks(phrase, substance) -> None:
    known, allergies = allergies_of([SaidAllergy(phrase)])

    assert known == frozenset()
    assert allergies.in_doubt == {substance}
    assert [open_.phrase for open_ in allergies.open] == [phrase]


def test_what_is_not_understood_leaves_everything_in_doubt_until_it_is_settled() -> (
    None
):
    open_ = allergies_of([SaidAllergy("penicillin")])
    settled = allergies_of([SaidAllergy("penicillin", touches_skin=False)])
    touching = allergies_of([SaidAllergy("penicillin", touches_skin=True)])

    assert open_[1].in_doubt == touching[1].in_doubt == EVERY
    assert open_[0] == touching[0] == {"penicillin"}
    assert (settled[0], settled[1].in_doubt) == (frozenset(), frozenset())


@pytest.mark.parametrize("touches", [True, False, None])
def test_a_name_bars_whatever_is_said_of_the_skin(touches) -> None:
    known, _ = allergies_of([SaidAllergy("reaction to CHG", touches_skin=touches)])

    assert known == {"chlorhexidine"}


def test_unknown_beside_a_name_leaves_the_others_in_doubt() -> None:
    known, allergies = allergies_of([SaidAllergy("iodine"), SaidAllergy("unknown")])

    assert known == {"iodine"}
    assert allergies.in_doubt == EVERY - {"iodine"}


def test_a_stored_body_without_rows_is_read_as_before() -> None:
    assert told_in_body({"known": ["iodine"]}) == (SaidAllergy("iodine"),)
    row = {"substance": "latex", "severity": "mild"}
    assert told_in_body({"other": [row]}) == (SaidAllergy("latex", None, "mild", None),)
