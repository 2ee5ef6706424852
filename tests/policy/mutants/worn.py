"""Sets under which something stays on a child, or on its line, that nobody asks after."""

from __future__ import annotations

from tests.policy.mutants.mutant import FAULTY, FILM, GEL, Mutant

DISC, BRIDGE, UNDER = "transparent-chg-disc", "bridge", "gauze-under-transparent"
AT_REST = '{ line_kind = { is = ["port"] }, needle_in = { is = ["no"] } }'
NEVER = """
[[interval]]
id = "{id}"
because = "There is nothing to change."
source = "common-practice"
task = "{task}"
nothing_due = true
priority = 9
"""

UNSPOKEN = (
    Mutant(
        name="nobody-says-when-a-bridge-is-looked-at",
        wrong="A tape bridge on another line than an umbilical one is never due.",
        base="quillmere",
        file="dressing.toml",
        find='"gauze", "gauze-under-transparent", "bridge"] } }]',
        put='"gauze", "gauze-under-transparent"] } }]',
        fails="complete",
        says="tape bridge at the cord",
        shows=lambda s: s.says_nothing_of(BRIDGE),
    ),
    Mutant(
        name="a-disc-stays-for-ever",
        wrong="A film over a disc, from another hospital, is never due.",
        base="quillmere",
        file="dressing.toml",
        find='not_after = "dressing-transparent"\nwhen = [{ dressing = { is = '
        '["transparent", "transparent-chg-gel", "transparent-chg-disc"] } }]',
        put='not_after = "dressing-transparent"\nwhen = [{ dressing = { is = '
        '["transparent", "transparent-chg-gel"] } }]',
        fails="complete",
        says="chlorhexidine disc",
        shows=lambda s: s.says_nothing_of(DISC),
    ),
    Mutant(
        name="gauze-under-a-film-stays-for-ever",
        wrong="Gauze has its two days, and gauze under a film has none.",
        base="uk-guideline",
        file="intervals.toml",
        find='"gauze", "gauze-under-transparent", "bridge"] } }]',
        put='"gauze", "bridge"] } }]',
        fails="complete",
        says="gauze under a clear film",
        shows=lambda s: s.says_nothing_of(UNDER),
    ),
    Mutant(
        name="a-medicine-set-hangs-for-ever",
        wrong="A set for antibiotics has no day on which it is changed.",
        base="us-guideline",
        file="intervals.toml",
        drop="medicine-set",
        fails="complete",
        says="a set for medicine",
        shows=lambda s: s.has_no_time("set", "medicine"),
    ),
    Mutant(
        name="a-lipid-set-hangs-for-ever",
        wrong="A lipid set has no time at all.",
        base="quillmere",
        file="dressing.toml",
        drop="set-lipid-stays",
        fails="complete",
        says="a set for lipid",
        shows=lambda s: s.has_no_time("set", "lipid"),
    ),
    Mutant(
        name="a-needle-stays-in-for-ever",
        wrong="Nobody says when the needle in a port is changed.",
        base="uk-guideline",
        file="intervals.toml",
        drop="port-needle-7-days",
        fails="complete",
        says="a needle in a port",
        shows=lambda s: s.has_no_time("port-needle"),
    ),
    Mutant(
        name="connectors-of-one-kind-of-line-only",
        wrong="Only a PICC's connectors are ever changed.",
        base="us-guideline",
        file="intervals.toml",
        find='task = "connector"\nnot_before = "connector-not-before"\n'
        'not_after = "connector-not-after"\n',
        put='task = "connector"\nnot_before = "connector-not-before"\n'
        'not_after = "connector-not-after"\n'
        'when = [{ line_kind = { is = ["picc"] } }]\n',
        fails="complete",
        says="the connectors",
        shows=lambda s: s.has_no_time("connector"),
    ),
    Mutant(
        name="looked-at-on-one-ward-only",
        wrong="Only in newborn intensive care does anybody look at the site.",
        base="quillmere",
        file="dressing.toml",
        find='task = "site-check"\nnot_after = "site-check"\n',
        put='task = "site-check"\nnot_after = "site-check"\n'
        'when = [{ unit = { is = ["newborn-intensive-care"] } }]\n',
        fails="complete",
        says="a look at the site",
        shows=lambda s: s.window("site-check") is None,
    ),
    Mutant(
        name="nobody-asks-whether-it-is-needed",
        wrong="The line stays in, since nobody asks whether it is needed.",
        base="uk-guideline",
        file="intervals.toml",
        drop="review-the-line",
        fails="complete",
        says="the question whether the line is needed",
        shows=lambda s: s.window("line-review") is None,
    ),
)

NOTHING_DUE = (
    Mutant(
        name="no-port-ever-needs-a-dressing",
        wrong="A port with its needle in is taken for one at rest: no dressing is due.",
        base="quillmere",
        file="dressing.toml",
        drop="port-at-rest-dressing",
        add=NEVER.format(id="port-at-rest-dressing", task="dressing")
        + 'when = [{ line_kind = { is = ["port"] } }]\n',
        fails="complete",
        says="that is on is due",
        shows=lambda s: s.window("dressing", FILM).is_nothing,
    ),
    Mutant(
        name="the-needle-is-asked-about-the-wrong-way-round",
        wrong="A needle is due where there is none, and never where there is one.",
        base="us-guideline",
        file="intervals.toml",
        drop="port-at-rest-needle",
        add=NEVER.format(id="port-at-rest-needle", task="port-needle")
        + f"when = [{AT_REST}]\n".replace('"no"', '"yes"'),
        fails="complete",
        says="a needle in a port",
        shows=lambda s: s.window("port-needle").is_nothing,
    ),
    Mutant(
        name="a-set-in-use-is-taken-for-none",
        wrong="While lipid runs, no set is due.",
        base="quillmere",
        file="dressing.toml",
        drop="nothing-hangs",
        add=NEVER.format(id="nothing-hangs", task="set")
        + 'when = [{ in_use = { is = ["yes"] } }]\n',
        fails="complete",
        says="a set for lipid",
        shows=lambda s: s.window("set", "lipid").is_nothing,
    ),
    Mutant(
        name="nothing-is-ever-due",
        wrong="The set says of every line that no dressing is due.",
        base="quillmere",
        file="dressing.toml",
        add=NEVER.format(id="never", task="dressing"),
        fails=FAULTY,
        code="policy-nothing-and-a-clock",
    ),
    Mutant(
        name="nothing-is-due-by-thursday",
        wrong="A rule says at once that nothing is due, and by when.",
        base="quillmere",
        file="dressing.toml",
        add=NEVER.format(id="never", task="dressing")
        + f'not_after = "dressing-gauze"\nwhen = [{AT_REST}]\n',
        fails=FAULTY,
        code="policy-nothing-and-a-clock",
    ),
    Mutant(
        name="every-line-is-taken-for-umbilical",
        wrong="No clock runs for any line's dressing, as if each were umbilical.",
        base="quillmere",
        file="dressing.toml",
        find='priority = 5\nwhen = [{ line_kind = { is = ["umbilical-venous", '
        '"umbilical-arterial"] } }]',
        put='priority = 5\nwhen = [{ line_kind = { is_not = ["port"] } }]',
        fails="safe",
        rule="require-film-7-days-everywhere",
        where="quillmere/requirements.toml",
        shows=lambda s: s.stays_h is None,
    ),
    Mutant(
        name="a-needle-stays-a-fortnight",
        wrong="The needle in a port stays 14 days.",
        base="quillmere",
        file="dressing.toml",
        find='means = "Longest stay of a port needle in use"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 7,',
        put='means = "Longest stay of a port needle in use"\n'
        'unit = "calendar-days"\nvalues = [{ from = 2024-01-01, value = 14,',
        fails="safe",
        rule="require-port-needle-stay",
        where="published/requirements.toml",
        shows=lambda s: s.window("port-needle").not_after.nominal_hours() == 14 * 24,
    ),
)

STAYS_ON = (
    Mutant(
        name="an-allergy-that-forgets-the-disc",
        wrong="A child allergic to chlorhexidine keeps the disc it came with.",
        base="quillmere",
        file="antisepsis.toml",
        find='"transparent-chg-gel", "transparent-chg-disc", "chlorhexidine-bath"]\n'
        "when = [{ sensitivities",
        put='"transparent-chg-gel", "chlorhexidine-bath"]\nwhen = [{ sensitivities',
        fails="safe",
        rule="require-no-chlorhexidine-if-allergic",
        where="published/requirements.toml",
        shows=lambda s: (
            s.does_not_tolerate("chlorhexidine") and not s.is_due_under(DISC)
        ),
    ),
    Mutant(
        name="an-allergy-that-forgets-what-the-set-never-puts-on",
        wrong="The set puts on no gel pad, so nobody takes one off an allergic child.",
        base="uk-guideline",
        file="antiseptics.toml",
        find='"transparent-chg-gel", "transparent-chg-disc", "chlorhexidine-bath"]',
        put='"transparent-chg-disc", "chlorhexidine-bath"]',
        fails="safe",
        says="stays on a child who does not tolerate chlorhexidine",
        shows=lambda s: (
            s.does_not_tolerate("chlorhexidine") and not s.is_due_under(GEL)
        ),
    ),
    Mutant(
        name="an-adhesive-that-nobody-minds",
        wrong="A child whom adhesive blisters keeps gauze taped under a film.",
        base="us-guideline",
        file="published/materials.toml",
        find='"transparent", "gauze-under-transparent", "bridge"]',
        put='"transparent", "bridge"]',
        fails="safe",
        says="“Gauze under a clear film” stays on a child who does not tolerate",
        shows=lambda s: s.does_not_tolerate("adhesive") and not s.is_due_under(UNDER),
    ),
    Mutant(
        name="a-bridge-that-nobody-minds",
        wrong="A newborn whom adhesive blisters keeps the tape on its belly.",
        base="uk-guideline",
        file="published/materials.toml",
        find='"gauze-under-transparent", "bridge"]',
        put='"gauze-under-transparent"]',
        fails="safe",
        says="“Tape bridge at the cord, stump bare” stays on a child",
        shows=lambda s: s.does_not_tolerate("adhesive") and not s.is_due_under(BRIDGE),
    ),
    Mutant(
        name="a-baby-keeps-the-disc",
        wrong="Under 2 months the pad comes off, and the disc stays.",
        base="quillmere",
        file="antisepsis.toml",
        find='bars = ["transparent-chg-gel", "transparent-chg-disc"]\n'
        'when = [{ age = { below = "chg-pad-age" } }]',
        put='bars = ["transparent-chg-gel"]\n'
        'when = [{ age = { below = "chg-pad-age" } }]',
        fails="safe",
        rule="require-no-pad-under-2-months",
        where="published/requirements.toml: require",
        shows=lambda s: s.may_be_younger_than(months=2) and not s.is_due_under(DISC),
    ),
    Mutant(
        name="the-lightest-keep-the-disc",
        wrong="Under 1500 g the pad comes off, and the disc stays.",
        base="quillmere",
        file="antisepsis.toml",
        find='"transparent-chg-gel", "transparent-chg-disc"]\nwhen = [{ mass',
        put='"transparent-chg-gel"]\nwhen = [{ mass',
        fails="safe",
        rule="require-no-pad-when-small",
        where="quillmere/requirements.toml",
        shows=lambda s: (s.grams or 0) < 1500 and not s.is_due_under(DISC),
    ),
    Mutant(
        name="broken-skin-under-a-pad",
        wrong="A plain film comes off broken skin, and a film with a pad stays.",
        base="uk-guideline",
        file="antiseptics.toml",
        drop="impregnated-on-broken-skin",
        fails="safe",
        rule="broken-skin",
        where="uk-guideline/antiseptics.toml",
        says="which holds the same",
        shows=lambda s: s.skin == "broken" and not s.is_due_under(GEL),
    ),
    Mutant(
        name="a-newborn-unit-that-forgets-the-disc",
        wrong="In newborn intensive care the pad comes off, and the disc stays.",
        base="us-guideline",
        file="dressings.toml",
        find='bars = ["transparent-chg-gel", "transparent-chg-disc"]\n'
        'when = [{ unit = { is = ["newborn-intensive-care"] }',
        put='bars = ["transparent-chg-gel"]\n'
        'when = [{ unit = { is = ["newborn-intensive-care"] }',
        fails="safe",
        rule="require-no-pad-in-newborn-intensive-care",
        where="us-guideline/requirements.toml",
        shows=lambda s: s.unit == "newborn-intensive-care" and not s.is_due_under(DISC),
    ),
    Mutant(
        name="pus-that-waits-for-the-week",
        wrong="Pus under the dressing, and it is due in five days.",
        base="quillmere",
        file="dressing.toml",
        drop="dressing-over-pus",
        fails="safe",
        says="pus or other discharge. And it stays on",
        shows=lambda s: "discharge" in s.found and not s.is_due_under(UNDER),
    ),
    Mutant(
        name="sodden-skin-that-waits-for-the-week",
        wrong="The skin is white and sodden, and the gauze stays its days.",
        base="us-guideline",
        file="intervals.toml",
        drop="sodden-skin-under-dressing",
        fails="safe",
        says="skin white and sodden. And it stays on",
        shows=lambda s: "sodden" in s.found and not s.is_due_under(UNDER),
    ),
)

MUTANTS = (*UNSPOKEN, *NOTHING_DUE, *STAYS_ON)
