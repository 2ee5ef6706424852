"""Some of the demo's changes went by the guide, so that its page has something to show."""

from __future__ import annotations

from tests.fakes.clock import NOON
from tests.fakes.demo import demo_at

from lumenkeep.core.model.chart import standing
from lumenkeep.demo.hospital import STAFF

WARD_OF = {person.key: person.ward for person in STAFF}


def test_some_changes_went_by_the_guide_with_two_people_of_one_ward() -> None:
    told = [e for e in standing(demo_at(NOON).entries) if "guide" in e.body]
    guides = [entry.body["guide"] for entry in told]

    assert len(guides) == 9
    assert sum("slips" in one for one in guides) == 5
    assert len({one["run"] for one in guides}) == 9
    for entry, one in zip(told, guides, strict=True):
        assert (entry.kind, entry.by) == ("dressing-change", one["operator"])
        assert one["assistant"] != one["operator"]
        assert WARD_OF[one["assistant"]] == WARD_OF[one["operator"]]
        assert all(t["seconds"] >= t["least"] for t in one["timed"])
