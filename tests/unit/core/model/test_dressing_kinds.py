"""What of a dressing meets the skin, by its kind."""

from __future__ import annotations

import pytest

from lumenkeep.core.model.dressing_kinds import DRESSING_KINDS
from lumenkeep.core.model.words import DRESSINGS, SENSITIVITIES


@pytest.mark.parametrize("kind", DRESSING_KINDS)
def test_what_it_puts_on_the_skin_is_a_substance_that_may_not_be_tolerated(
    kind: str,
) -> None:
    assert set(DRESSING_KINDS[kind].substances) <= set(SENSITIVITIES)


@pytest.mark.parametrize(
    ("kind", "touches"),
    [
        ("transparent", ("film", "adhesive")),
        ("transparent-chg-gel", ("film", "adhesive", "chlorhexidine", "gel")),
        ("gauze", ("gauze",)),
        ("gauze-under-transparent", ("gauze", "adhesive")),
        ("bridge", ("adhesive",)),
    ],
)
def test_film_over_gauze_and_tape_beside_a_stump_do_not_lie_on_the_site(
    kind: str, touches: tuple[str, ...]
) -> None:
    assert DRESSING_KINDS[kind].touches_site == touches


def test_each_has_a_name_of_its_own() -> None:
    assert len(set(DRESSINGS.values())) == len(DRESSINGS)
