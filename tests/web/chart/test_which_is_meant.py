"""Two answers of one form that cannot both be are asked back, with all that was typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.web.chart.test_asked_back import CHANGE, LOOK
from tests.web.hospital import hospital_with_a_line

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow

if TYPE_CHECKING:
    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
CHANGED, LOOKED = "/line/l-1/chart/change/", "/line/l-1/look/"


@pytest.fixture
def nurse(db: None, client: Client, clock: FixedClock) -> Client:
    make_accounts(STAFF, PASSWORD)
    hospital_with_a_line(clock)
    client.force_login(User.objects.get(username="agate"))
    return client


@pytest.mark.parametrize(
    ("path", "typed", "field", "words"),
    [
        (LOOKED, LOOK | {"signs-site": "bleeding", "signs-well": "dry"}, "signs-well",
         ("Dry: nothing bleeds", "Bleeding or oozing")),
        (LOOKED, LOOK | {"signs-skin": "blister", "signs-well": "skin-whole"}, "signs-well",
         ("Skin whole", "Blister")),
        (CHANGED, CHANGE | {"chart-site": "skin broken", "skin": "intact"}, "skin",
         ("Intact", "Skin broken")),
        (CHANGED, CHANGE | {"chart-site": "healthy", "skin": "broken"}, "chart-site",
         ("Healthy", "Broken")),
    ],
)  # fmt: skip
def test_answers_that_cannot_both_be_are_asked_back(
    nurse, path, typed, field, words
) -> None:
    before = EntryRow.objects.count()
    length = {"chart-external-length": "22", "submission": "f-1"}

    answer = nurse.post(path, {**typed, **length})
    page = answer.content.decode()

    assert answer.status_code == 422
    assert f'id="{field}-fault"' in page or f'href="#{field}"' in page
    assert "Which is meant?" in page
    assert all(word in page for word in words)
    assert 'value="22"' in page
    assert EntryRow.objects.count() == before


@pytest.mark.parametrize(
    ("path", "typed"),
    [
        (LOOKED, LOOK | {"signs-site": "bleeding", "signs-well": "skin-whole"}),
        (CHANGED, CHANGE | {"chart-site": "red", "skin": "intact"}),
        (CHANGED, CHANGE | {"chart-site": "skin broken", "skin": "broken"}),
    ],
)
def test_answers_that_can_both_be_are_charted(nurse, path, typed) -> None:
    length = {"chart-external-length": "22", "submission": "f-1"}

    assert nurse.post(path, {**typed, **length}).status_code == 302
