"""Every task dropped, doubled or swapped; too late by far, or too often to be meant."""

from __future__ import annotations

from tests.policy.mutants.mutant import FILM, Mutant

DRESSING, INTERVALS, NUMBERS = "dressing.toml", "intervals.toml", "numbers.toml"
PUBLISHED = "published/requirements.toml: require"
DISC, BRIDGE = "transparent-chg-disc", "bridge"


def hours(seen: object, task: str, word: str | None = None) -> float:
    """Return until when a task may wait, in hours."""
    return seen.window(task, word).not_after.nominal_hours()  # type: ignore[attr-defined, no-any-return]


def stay(
    name: str,
    wrong: str,
    place: tuple[str, str],
    means: str,
    was: tuple[float, str],
    now: tuple[float, str],
    rule: str,
    shows: object,
) -> Mutant:
    """Return the mutant in which one time of a task is another."""
    base, file = place
    return Mutant(
        name=name,
        wrong=wrong,
        base=base,
        file=file,
        find=f'means = "{means}"\nunit = "{was[1]}"\n'
        f"values = [{{ from = 2024-01-01, value = {was[0]},",
        put=f'means = "{means}"\nunit = "{now[1]}"\n'
        f"values = [{{ from = 2024-01-01, value = {now[0]},",
        fails="safe",
        rule=rule,
        where=PUBLISHED,
        shows=shows,  # type: ignore[arg-type]  # a function of what is seen
    )


TOO_OFTEN = (
    stay(
        "a-film-for-seven-hours",
        "Seven hours: days were meant, and the skin is stripped three times a day.",
        ("quillmere", DRESSING),
        "Longest stay of a clear film, with or without chlorhexidine",
        (7, "calendar-days"),
        (7, "h"),
        "require-film-not-sooner",
        lambda s: hours(s, "dressing", FILM) < 48,
    ),
    stay(
        "a-film-every-day",
        "A film a day takes the skin with it before the week is out.",
        ("us-guideline", NUMBERS),
        "longest stay of a clear film",
        (7, "calendar-days"),
        (1, "calendar-days"),
        "require-film-not-sooner",
        lambda s: hours(s, "dressing", FILM) < 48,
    ),
    stay(
        "a-medicine-set-every-hour",
        "Every hour the line is opened for a new set, and something gets in.",
        ("us-guideline", NUMBERS),
        "longest use of a set for medicine given now and then; CDC 2011 leaves it open",
        (24, "h"),
        (1, "h"),
        "require-medicine-set-not-sooner",
        lambda s: hours(s, "set", "medicine") < 6,
    ),
    stay(
        "a-lipid-set-every-two-hours",
        "Lipid runs for twenty hours; its set cannot go ten times meanwhile.",
        ("uk-guideline", NUMBERS),
        "longest use of a lipid set, from its start; borrowed from CDC 2011",
        (24, "h"),
        (2, "h"),
        "require-lipid-set-not-sooner",
        lambda s: hours(s, "set", "lipid") < 6,
    ),
    stay(
        "a-blood-set-goes-amid-the-bag",
        "One bag runs for up to four hours; nobody changes its set at one.",
        ("us-guideline", NUMBERS),
        "longest use of a blood set",
        (24, "h"),
        (1, "h"),
        "require-blood-set-not-sooner",
        lambda s: hours(s, "set", "blood") < 3,
    ),
    stay(
        "a-port-is-pricked-every-shift",
        "Seven hours: the child is pricked three times a day for one needle.",
        ("quillmere", DRESSING),
        "Longest stay of a port needle in use",
        (7, "calendar-days"),
        (7, "h"),
        "require-port-needle-not-sooner",
        lambda s: hours(s, "port-needle") < 48,
    ),
    stay(
        "asked-every-minute-whether-it-is-needed",
        "Whoever is asked every minute ticks it away and thinks nothing.",
        ("uk-guideline", NUMBERS),
        "how often the need for the line is reviewed",
        (1, "calendar-days"),
        (1, "min"),
        "require-line-review-not-hourly",
        lambda s: hours(s, "line-review") < 4,
    ),
    stay(
        "looked-at-without-a-pause",
        "A look every five minutes is a nurse who does nothing else.",
        ("us-guideline", NUMBERS),
        "how often the site is looked at",
        (1, "calendar-days"),
        (5, "min"),
        "require-look-not-without-pause",
        lambda s: hours(s, "site-check") < 0.5,
    ),
    stay(
        "an-umbilical-line-for-half-a-day",
        "Five hours: days were meant; the line would be out before it is fixed.",
        ("quillmere", DRESSING),
        "Longest stay of an umbilical arterial line",
        (5, "calendar-days"),
        (5, "h"),
        "require-umbilical-line-not-sooner",
        lambda s: hours(s, "line-stay") < 48,
    ),
    Mutant(
        name="connectors-changed-at-every-whim",
        wrong="Each change of a connector opens the line; there is a rest for it.",
        base="quillmere",
        file=DRESSING,
        find='not_before = "connector-not-before"',
        put='numbers = ["connector-not-before"]',
        fails="safe",
        rule="require-connectors-rest",
        where=PUBLISHED,
        shows=lambda s: s.window("connector").not_before is None,
    ),
    Mutant(
        name="plain-sets-changed-twice-a-day",
        wrong="A plain set that is changed twice a day brings in what it should keep out.",
        base="us-guideline",
        file=INTERVALS,
        find='because = "A set for plain fluids is changed between {set-not-before} and '
        '{set-not-after}."\nsource = "CDC11"\nhow = "found"\ntask = "set"\n'
        'not_before = "set-not-before"',
        put='because = "A set for plain fluids is changed between {not_before} and '
        '{set-not-after}."\nsource = "CDC11"\nhow = "found"\ntask = "set"\n'
        'not_before = { value = 12, unit = "h", from = 2024-01-01, source = "CDC11" }',
        fails="safe",
        rule="require-plain-set-rests",
        where=PUBLISHED,
        shows=lambda s: s.window("set", "plain").not_before.nominal_hours() < 96,
    ),
)
TOO_LATE = (
    stay(
        "a-medicine-set-for-a-hundred-days",
        "A set that was opened six times a day for a hundred days is not a set.",
        ("quillmere", DRESSING),
        "Longest use of a set for medicine given now and then",
        (24, "h"),
        (2400, "h"),
        "require-medicine-set-in-a-day",
        lambda s: hours(s, "set", "medicine") > 24,
    ),
    stay(
        "a-british-arterial-line-for-ten-days",
        "After five days an umbilical artery clots, and the toes go blue.",
        ("uk-guideline", NUMBERS),
        "longest stay of an umbilical arterial line; borrowed from CDC 2011",
        (5, "calendar-days"),
        (10, "calendar-days"),
        "require-umbilical-arterial-stay",
        lambda s: hours(s, "line-stay") > 5 * 24,
    ),
    Mutant(
        name="british-venous-line-for-ever",
        wrong="Nobody says when an umbilical venous line comes out, so it stays.",
        base="uk-guideline",
        file=INTERVALS,
        drop="umbilical-venous-stay",
        fails="safe",
        rule="require-umbilical-venous-stay",
        where=PUBLISHED,
        shows=lambda s: s.has_no_time("line-stay"),
    ),
    Mutant(
        name="american-arterial-line-for-ever",
        wrong="Nobody says when an umbilical arterial line comes out, so it stays.",
        base="us-guideline",
        file=INTERVALS,
        drop="umbilical-arterial-stay",
        fails="safe",
        rule="require-umbilical-arterial-stay",
        where=PUBLISHED,
        shows=lambda s: s.has_no_time("line-stay") or hours(s, "line-stay") > 5 * 24,
    ),
    Mutant(
        name="artery-taken-for-vein",
        wrong="The artery gets the vein's fourteen days.",
        base="quillmere",
        file=DRESSING,
        find='because = "An umbilical arterial line stays {uac-stay} at most."\n'
        'source = "CDC11"\ntask = "line-stay"\nnot_after = "uac-stay"',
        put='because = "An umbilical arterial line stays {uvc-stay} at most."\n'
        'source = "CDC11"\ntask = "line-stay"\nnot_after = "uvc-stay"',
        fails="safe",
        rule="require-umbilical-arterial-stay",
        where=PUBLISHED,
        shows=lambda s: hours(s, "line-stay") > 5 * 24,
    ),
    Mutant(
        name="lipid-and-plain-exchanged",
        wrong="The lipid set hangs a week, and the plain one goes every day.",
        base="us-guideline",
        file=INTERVALS,
        find='not_after = "set-not-after"\nwhen = [{ set_kind = { is = ["plain"] } }]\n\n'
        '[[interval]]\nid = "lipid-set"\nbecause = "A lipid set is changed within '
        '{set-lipid} of its start."\nsource = "CDC11"\nhow = "found"\ntask = "set"\n'
        'not_after = "set-lipid"\nwhen = [{ set_kind = { is = ["lipid"] } }]',
        put='not_after = "set-not-after"\nwhen = [{ set_kind = { is = ["lipid"] } }]\n\n'
        '[[interval]]\nid = "lipid-set"\nbecause = "A lipid set is changed within '
        '{set-lipid} of its start."\nsource = "CDC11"\nhow = "found"\ntask = "set"\n'
        'not_after = "set-lipid"\nwhen = [{ set_kind = { is = ["plain"] } }]',
        fails="safe",
        rule="require-lipid-and-blood-set-in-a-day",
        where=PUBLISHED,
        shows=lambda s: hours(s, "set", "lipid") > 24,
    ),
    Mutant(
        name="a-disc-from-elsewhere-for-a-fortnight",
        wrong="The house puts on no disc, but a child may come with one.",
        base="us-guideline",
        file=INTERVALS,
        add='\n[[interval]]\nid = "disc"\nbecause = "The disc works for {not_after}."\n'
        'source = "common-practice"\ntask = "dressing"\npriority = 1\nnot_after = '
        '{ value = 14, unit = "calendar-days", from = 2024-01-01, '
        'source = "common-practice" }\n'
        f'when = [{{ dressing = {{ is = ["{DISC}"] }} }}]\n',
        fails="safe",
        rule="require-film-stay",
        where=PUBLISHED,
        shows=lambda s: hours(s, "dressing", DISC) > 7 * 24,
    ),
    Mutant(
        name="a-bridge-for-three-weeks",
        wrong="Tape over a cord is wet after two days and a nest after twenty.",
        base="quillmere",
        file=DRESSING,
        find='when = [{ dressing = { is = ["gauze", "gauze-under-transparent", '
        '"bridge"] } }]',
        put='when = [{ dressing = { is = ["gauze", "gauze-under-transparent"] } }]\n\n'
        '[[interval]]\nid = "bridge"\nbecause = "A bridge holds {not_after}."\n'
        'source = "common-practice"\ntask = "dressing"\nnot_after = { value = 20, '
        'unit = "calendar-days", from = 2024-01-01, source = "common-practice" }\n'
        f'when = [{{ dressing = {{ is = ["{BRIDGE}"] }} }}]',
        fails="safe",
        rule="require-bridge-stay",
        where=PUBLISHED,
        shows=lambda s: hours(s, "dressing", BRIDGE) > 2 * 24,
    ),
    Mutant(
        name="a-second-rule-for-the-needle",
        wrong="The second rule about port needles outranks the first, by three weeks.",
        base="uk-guideline",
        file=INTERVALS,
        add='\n[[interval]]\nid = "needle-too"\nbecause = "A needle lasts {not_after}."\n'
        'source = "common-practice"\ntask = "port-needle"\npriority = 1\nnot_after = '
        '{ value = 28, unit = "calendar-days", from = 2024-01-01, '
        'source = "common-practice" }\nwhen = [{ line_kind = { is = ["port"] } }]\n',
        fails="safe",
        rule="require-port-needle-stay",
        where=PUBLISHED,
        shows=lambda s: hours(s, "port-needle") > 7 * 24,
    ),
    Mutant(
        name="needles-count-on-intensive-care-only",
        wrong="On the ward a needle in a port has no day at all.",
        base="us-guideline",
        file=INTERVALS,
        find='not_after = "port-needle"\nwhen = [{ line_kind = { is = ["port"] } }]',
        put='not_after = "port-needle"\nwhen = [{ line_kind = { is = ["port"] }, '
        'unit = { is = ["intensive-care"] } }]',
        fails="safe",
        rule="require-port-needle-stay",
        where=PUBLISHED,
        shows=lambda s: s.has_no_time("port-needle"),
    ),
    Mutant(
        name="blood-as-long-as-plain-in-an-old-child",
        wrong="Blood grows germs in a six-year-old's set as it does in a baby's.",
        base="quillmere",
        file=DRESSING,
        find='not_after = "set-blood"\nwhen = [{ set_kind = { is = ["blood"] } }]',
        put='not_after = "set-blood"\nwhen = [{ set_kind = { is = ["blood"] }, age = '
        '{ below = "film-large-from" } }]\n\n[[interval]]\nid = "blood-old"\n'
        'because = "Ours: {not_after}."\nsource = "common-practice"\ntask = "set"\n'
        'not_after = "set-not-after"\nwhen = [{ set_kind = { is = ["blood"] }, age = '
        '{ at_least = "film-large-from" } }]',
        fails="safe",
        rule="require-lipid-and-blood-set-in-a-day",
        where=PUBLISHED,
        shows=lambda s: hours(s, "set", "blood") > 24,
    ),
)

MUTANTS = (*TOO_OFTEN, *TOO_LATE)
