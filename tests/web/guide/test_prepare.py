"""The page to prepare a guide, and the ways to it."""

from __future__ import annotations

import pytest
from tests.web.hospital import add_line

PATH = "/line/l-1/guide/"


def test_the_page_asks_who_assists_and_what_only_the_bedside_knows(flint) -> None:
    page = flint.get(f"{PATH}?with=s-garnet").content.decode()

    assert "Prepare the guide: dressing change" in page
    assert '<option value="s-garnet" selected>Demo Garnet</option>' in page
    assert "Is there crust, blood or glue on the skin?" in page
    assert "Does the securement stay?" in page
    assert 'name="procedure" value="dressing-change"' in page
    assert "Demo Flint, gloves 8" in page


@pytest.mark.parametrize(
    ("procedure", "asks"),
    [
        ("connector-change", "Which technique?"),
        ("set-change", "Which technique?"),
        ("re-cover", "How has the dressing failed?"),
        ("line-removal", "Assistant"),
    ],
)
def test_every_other_procedure_can_be_prepared(flint, procedure, asks) -> None:
    page = flint.get(f"{PATH}?procedure={procedure}").content.decode()

    assert asks in page
    assert f'name="procedure" value="{procedure}"' in page


def test_a_procedure_for_another_line_says_what_stands_in_the_way(flint) -> None:
    page = flint.get(f"{PATH}?procedure=port-needle-change").content.decode()

    assert "This cannot be guided" in page
    assert "Port needle change is not for this kind of line" in page
    assert "prepare-guide" not in page


def test_a_change_without_a_plan_leads_to_the_plan(flint, hospital, clock) -> None:
    clock.move(days=-1)
    add_line(hospital, clock, 2, kind="port", site="chest")
    clock.move(days=1)
    known = {"known": ["chlorhexidine", "iodine"]}
    from lumenkeep.ward.chart.records import Draft

    hospital.append(
        [Draft("c-2", None, "sensitivities", clock.at, "s-x", known)], "quillmere"
    )
    page = flint.get("/line/l-2/guide/").content.decode()

    assert "the plan names no antiseptic" in page
    assert '<a class="act" href="/line/l-2/plan/">' in page


def test_an_unknown_procedure_names_those_there_are(flint) -> None:
    page = flint.get(f"{PATH}?procedure=tea").content.decode()

    assert "There is no procedure &#x27;tea&#x27; in this set." in page


def test_another_ward_s_line_is_not_prepared(signed_in) -> None:
    assert signed_in("onyx").get(PATH).status_code == 403


def test_while_somebody_reads_the_ordinary_ways_are_begun(flint, ways) -> None:
    flint.get(PATH)
    (question,) = ways.asked

    assert (question.facts["soil"], question.facts["securement"]) == (["no"], ["keep"])


def test_a_line_not_to_be_used_is_said_before_anything_is_prepared(
    flint, hospital, clock
) -> None:
    from lumenkeep.ward.chart.records import Draft

    assert "Do not use this line" not in flint.get(PATH).content.decode()
    moved = {"findings": [], "external_length_mm": 90}
    hospital.append(
        [Draft("c-1", "l-1", "finding", clock.at, "s-x", moved)], "quillmere"
    )
    page = flint.get(PATH).content.decode()
    urgent = flint.get(f"{PATH}?procedure=re-cover").content.decode()

    assert "Do not use the line until the tip has been checked." in page
    assert "the guide asks why you go on all the same" in page
    assert "Do not use the line until the tip has been checked." in urgent
    assert "the guide asks why you go on" not in urgent
