"""A draft taken apart: what it says itself, what it has from below, what it takes out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lumenkeep.core.policy.archive import SetTexts, policy_from_texts
from lumenkeep.ward.policies.parts import Parts, stamp_of

BELOW = SetTexts.of(
    "ground",
    {
        "a.toml": """
[set]
id = "ground"
abstract = true
[number.limit]
means = "a limit"
unit = "g"
values = [{ from = 2024-01-01, value = 1, source = "s" }]
[[note]]
id = "first"
because = "One."
[[note]]
id = "second"
because = "Another."
"""
    },
)
OWN = '[set]\nid = "own"\nextends = "ground"\n'


def parts(own: str = OWN) -> Parts:
    return Parts.of([BELOW, SetTexts.of("own", {"set.toml": own})])


def again(files: dict[str, str]) -> Parts:
    return Parts.of([BELOW, SetTexts.of("own", files)])


def test_a_part_comes_from_below_until_the_draft_says_it() -> None:
    table = {**parts().table("note", "first"), "because": "Otherwise."}
    fresh = again(parts().with_part("note", "first", table))

    assert not parts().is_own("note", "first")
    assert fresh.table("note", "first")["because"] == "Otherwise."
    assert fresh.inherited("note", "first")["because"] == "One."
    assert fresh.ids("note") == ["first", "second"]
    assert fresh.changed() == [("note", "first")]
    assert fresh.places("note", "first") == ("rules.toml: note[0]",)


def test_what_is_as_below_again_leaves_no_trace() -> None:
    table = parts().table("number", "limit")
    changed = again(parts().with_part("number", "limit", {**table, "unit": "mm"}))

    same = changed.with_part("number", "limit", table)
    assert same == changed.as_below("number", "limit") == {"set.toml": OWN}


def test_a_rule_from_below_is_taken_out_and_had_back() -> None:
    out = again(parts().without_part("note", "second"))

    assert out.table("note", "second") is None
    assert out.ids("note") == ["first"]
    assert out.removed == ("second",)
    assert ("note", "second") in out.changed()
    assert again(out.as_below("note", "second")).ids("note") == ["first", "second"]


def test_a_rule_of_its_own_is_taken_out_for_good() -> None:
    own = again(parts().with_part("note", "mine", {"id": "mine", "because": "Me."}))

    assert own.ids("note") == ["first", "second", "mine"]
    assert again(own.without_part("note", "mine")).removed == ()
    assert "mine" in own.every_id()


def test_a_file_in_which_nothing_changed_keeps_its_text() -> None:
    files = {"set.toml": "# Ours.\n" + OWN}
    own = again(files)

    fresh = own.with_part("note", "mine", {"id": "mine", "because": "Me."})
    assert fresh["set.toml"] == files["set.toml"]


def test_a_mark_tells_parts_apart() -> None:
    assert stamp_of(None) != stamp_of({"a": 1})
    assert stamp_of({"a": 1}) == stamp_of({"a": 1}) != stamp_of({"a": 2})


@pytest.mark.parametrize("kind", ["number", "note"])
def test_a_part_that_is_nowhere_is_none(kind: str) -> None:
    assert parts().table(kind, "nowhere") is None
    assert parts().places(kind, "nowhere") == ()


def test_a_shipped_set_changed_in_one_number_differs_in_that_alone() -> None:
    from lumenkeep.core.policy.archive import set_texts

    layers = set_texts("quillmere")
    meta = (
        '[set]\nid = "own"\ntitle = "t"\nversion = "1"\nextends = "quillmere"\n'
        'call = "the vascular access nurse on call"\n'
    )
    top = Parts.of([*layers, SetTexts.of("own", {"set.toml": meta})])
    table = top.table("number", "chg-mass")
    values = [{**table["values"][0], "value": 1100}]
    files = top.with_part("number", "chg-mass", {**table, "values": values})

    base = policy_from_texts(layers)
    fresh = policy_from_texts([*layers, SetTexts.of("own", files)])
    differing = {
        id_ for id_ in base.numbers
        if base.numbers[id_].values != fresh.numbers[id_].values
    }  # fmt: skip
    assert differing == {"chg-mass"}
    # The sentence of the rule follows its number; nothing else differs.
    told = [[replace(r, because="") for r in p.every_rule()] for p in (fresh, base)]
    assert told[0] == told[1]
    assert fresh.antiseptics == base.antiseptics
