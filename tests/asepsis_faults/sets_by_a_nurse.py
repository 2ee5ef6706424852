"""Sets that drop or change what is published, each with what a nurse would say of it."""

from __future__ import annotations

from tests.asepsis_faults.own_files import Edit, add, drop, swap, within

DRESSING = "dressing-change"
CONNECTOR = "connector-change"
SET = "set-change"
PORT = "port-needle-change"
COVER = "re-cover"
REMOVAL = "line-removal"
PREPARATION = "preparation"
CLOSING = "closing"
MOVES = "moves"
SLIPS = "slips"
SAFE = "safe-endings"
REPEAT = (
    '[procedure.repeat]\nfrom = "N4"\nto = "N15"\neach = "lumens"\ncalled = "Lumen"\n'
)

# What a nurse would say; the edits; the id by which it is named; what is said of it.
Row = tuple[str, list[Edit], str, str]
SETS: list[Row] = [
    # --- a procedure as a whole
    ("Five lumens, and only the first gets a new connector.", [swap(CONNECTOR, REPEAT, "")], "connector-change.repeat", "N4 to N15 were done once for each of lumens, here once in all"),
    ("From the second lumen on nobody scrubs the new connector.", [swap(CONNECTOR, 'to = "N15"', 'to = "N9"')], "connector-change.repeat", "here N10a, N10b, N10c, N11, N12, N13, N14, N15 once in all"),
    ("Only a line with one lumen was thought of.", [swap(CONNECTOR, 'lumens = ["1", "2", "3", "4", "5"]', 'lumens = ["1"]')], "connector-change.vary", "lumens 2, 3, 4, 5"),
    ("Nobody thought of a site with crust, and nobody washes it.", [swap(DRESSING, 'soil = ["no", "yes"]', 'soil = ["no"]'), drop(DRESSING, "D12")], "dressing-change.vary", "soil yes"),
    ("The groin is left out.", [swap(DRESSING, 'site = ["chest", "femoral", "upper-arm"]', 'site = ["chest", "upper-arm"]')], "dressing-change.vary", "site femoral"),
    ("It starts as if the child had agreed already.", [swap(DRESSING, 'agreement = "unasked" }', 'agreement = "given" }'), drop(PREPARATION, "PR3")], "dressing-change.starts", "agreement unasked, here given"),
    ("It starts as if the length were known.", [swap(DRESSING, 'lumen = "running", agreement', 'lumen = "running", length = "known", agreement'), drop(DRESSING, "D5")], "dressing-change.starts", "length not said, here known"),
    ("It may end with any cover, gloves on and hands dirty.", [(DRESSING, lambda text: text[: text.index("ends = [")] + 'ends = [{ site = ["covered-again"] }]\n' + text[text.index("[procedure.vary]") :])], "dressing-change.ends", "may end without: securement on"),
    ("It may also end not aseptic.", [swap(DRESSING, 'ends = [\n', 'ends = [\n  { site = ["not-aseptic"] },\n')], "dressing-change.ends", "site covered-again"),
    ("It asks nothing of the end.", [(SET, lambda text: text[: text.index("ends = [")] + text[text.index("[procedure.vary]") :])], "set-change.ends", "may end without: hub closed"),
    ("A new cover counts as a change of dressing.", [swap(COVER, "resets = []", 'resets = ["dressing"]')], "re-cover.resets", "counts for dressing as well"),
    ("A new connector counts as a new set.", [swap(CONNECTOR, 'resets = ["connector"]', 'resets = ["connector", "set"]')], "connector-change.resets", "counts for set as well"),
    ("Our quick look counts as a dressing change.", [add("quick-look", '[procedure]\nid = "quick-look"\ntitle = "Quick look"\nbecause = "Quick."\nsource = "common-practice"\nresets = ["dressing"]\n\n[[step]]\nid = "Q1"\nactor = "operator"\nverb = "inspect"\nobjects = ["edges"]\nsays = "Look."\nbecause = "Quick."\nsource = "common-practice"\n')], "dressing-change.resets", "“Quick look” counts for dressing"),
    ("Nobody is told how a line is taken out.", [swap(REMOVAL, 'id = "line-removal"', 'id = "line-out-quickly"')], "line-removal", "is no more"),
    # --- steps left out
    ("No mask on the big child.", [drop(PREPARATION, "PR12c")], "preparation.PR12c", "is no more"),
    ("Nobody opens the fold of the groin.", [drop(DRESSING, "FEM12")], "dressing-change.FEM12", "is no more"),
    ("Nobody says aloud how small the area is for this baby.", [drop(DRESSING, "NEO12")], "dressing-change.NEO12", "is no more"),
    ("The window stays open.", [drop(PREPARATION, "PR6")], "preparation.PR6", "is no more"),
    ("What must be paused is not paused.", [drop(PREPARATION, "PR10")], "dressing-change.PR10", "is no more"),
    ("The clamp stays open while you let go of the plunger.", [drop(CONNECTOR, "N13")], "connector-change.N13", "is no more"),
    ("The child never practised to hum.", [drop(REMOVAL, "R3")], "line-removal.R3", "is no more"),
    ("Nobody laid the child flat.", [drop(REMOVAL, "R2")], "line-removal.R2", "is no more"),
    ("A child with a line in the neck lies as it likes.", [within(REMOVAL, "R2", 'is = ["internal-jugular", "subclavian", "chest"]', 'is = ["subclavian", "chest"]')], "line-removal.R2", "is no more, with site internal-jugular"),
    ("The old dressing of gauze stays on.", [within(DRESSING, "D7", 'is = ["gauze", "gauze-under-transparent"]', 'is = ["gauze-under-transparent"]')], "dressing-change.D7", "is no more, with worn gauze"),
    ("In the groin nobody waits until it is dry.", [within(DRESSING, "D14", 'is = ["femoral"]', 'is = ["femoral"] }, unit = { is = ["ward"]')], "dressing-change.D14", "is no more, with site femoral"),
    # --- steps that say less
    ("The operator's hands are clean, the assistant's are not.", [within(PREPARATION, "PR11", 'actor = "both"', 'actor = "operator"')], "preparation.PR11", "was done by both, here by the operator"),
    ("One says dry; it takes two.", [within(DRESSING, "D15", 'actor = "both"', 'actor = "assistant"')], "dressing-change.D15", "was done by both, here by the assistant"),
    ("One alone followed the line from bag to child.", [within(SET, "S10", 'actor = "both"', 'actor = "operator"')], "set-change.S10", "was done by both, here by the operator"),
    ("The operator comforts, and prepares nothing.", [within(PREPARATION, "PR4", 'actor = "assistant"', 'actor = "operator"')], "preparation.PR4", "was done by the assistant, here by the operator"),
    ("You wiped the table with nothing.", [within(PREPARATION, "PR8", "uses = { surface-wipe = 1 }\n", "")], "preparation.PR8", "used 1 × Wipe for the work surface, here nothing"),
    ("You filled the connector from nothing.", [within(CONNECTOR, "N4", "uses = { saline-syringe = 1 }\n", "")], "connector-change.N4", "used 1 × Saline in a syringe"),
    ("You held the hub in gauze; it needs a wipe.", [within(CONNECTOR, "N7", "uses = { hub-wipe = 1 }", "uses = { pressing-gauze = 1 }")], "connector-change.N7", "used 1 × Wipe for hubs"),
    ("The old needle was flushed and not locked.", [within(PORT, "I4", "clean-syringe = 1, lock-syringe = 1", "clean-syringe = 1")], "port-needle-change.I4", "Lock as ordered"),
    ("You unscrewed it bare, while the child breathed in.", [within(CONNECTOR, "N7", 'manner = ["through-wipe", "out-breath"]\n', "")], "connector-change.N7", "is no longer done through wipe, out breath"),
    ("You tore the dressing off.", [within(DRESSING, "D6", 'manner = ["low-and-slow"]\n', "")], "dressing-change.D6", "is no longer done low and slow"),
    ("The packs were thrown on to the field.", [within(DRESSING, "D2", 'manner = ["from-edge"]\n', "")], "dressing-change.D2", "is no longer done from edge"),
    ("Half of the packs stay shut.", [within(DRESSING, "D2", 'opens = "all"', "opens = { antiseptic-swab = 3 }")], "dressing-change.D2", "opened everything that later steps take"),
    ("Two gauzes, not four, take the iodine off.", [within(DRESSING, "PVI15", "sterile-gauze = 4", "sterile-gauze = 2")], "dressing-change.PVI15", "used 1 × Sterile saline or water, 4 × Sterile gauze"),
    ("Three swabs, whatever the plan says.", [within(DRESSING, "D13", '"plan.swabs"', "3")], "dressing-change.D13", "as many as planned"),
    ("The film went on after ten seconds.", [within(DRESSING, "D16", 'seconds = "barrier-film-dry"', 'seconds = { value = 10, unit = "s", from = 2024-01-01, source = "common-practice" }')], "dressing-change.D16", "published 30 s, here 10 s"),
    ("Nobody keeps a time for the film.", [within(DRESSING, "D16", 'seconds = "barrier-film-dry"\n', "")], "dressing-change.D16", "has no least time any more"),
    ("Nobody is told what to look for.", [within(DRESSING, "D4", 'look = "Pain, swelling, ooze, damp, a lifted edge."\n', "")], "dressing-change.D4", "no longer says what to look for"),
    ("The length is called out and never charted.", [within(DRESSING, "D5", 'charted = ["external length", "arm position", "difference"]', 'charted = ["arm position"]')], "dressing-change.D5", "no longer charts external length, difference"),
    ("The length is read again after the dressing is off.", [within(DRESSING, "D5", "once = true\n", "")], "dressing-change.D5", "may be done again on a way back"),
    ("Your hand never lay on the pump, so it was clean.", [within(CONNECTOR, "N4p", 'touches = ["pump"]\n', "")], "connector-change.N4p", "no longer says that a hand lies on pump"),
    ("Nobody looks at the skin, only at the stitches.", [within(DRESSING, "D7", 'objects = ["site", "stitches", "skin"]', 'objects = ["stitches"]')], "dressing-change.D7", "was about site, stitches, skin, here about stitches"),
    ("Loosening became looking.", [within(DRESSING, "D6a", 'verb = "loosen"', 'verb = "inspect"')], "dressing-change.D6a", "was “loosen the edges”, here “look and say”"),
    # --- slips
    ("A torn glove with the hole open, and they go on.", [within(SLIPS, "glove-tears", 'stops = [{ tract = ["open", "pressed"] }]\n', "")], "slip.glove-tears", "no longer stops with tract open or pressed"),
    ("New gloves over the same hands.", [within(SLIPS, "glove-touches-unsterile", '  { verb = ["hand-hygiene"], actor = ["operator", "both"] },\n', "")], "slip.glove-touches-unsterile", "no longer asks of the way back: clean the hands"),
    ("The slip is not written anywhere.", [drop(SLIPS, "swab-returns")], "slip.swab-returns", "is no more"),
    ("A touched site counts as clean.", [within(SLIPS, "child-on-prepared-site", 'site = "bared", child', "child")], "slip.child-on-prepared-site", "spoils otherwise"),
    ("The wrong agent, and they go on.", [within(SLIPS, "wrong-agent", 'ending = "stop"', 'ending = "way-back"')], "slip.wrong-agent", "ended in “stop”, here in “way back”"),
    ("The wrong agent stays on the skin while you call.", [within(SLIPS, "wrong-agent", 'first = ["agent-off"]\n', "")], "slip.wrong-agent", "no longer does first, in this order: agent off"),
    ("Nothing can drop while you scrub.", [within(SLIPS, "item-dropped", '"scrub", ', "")], "slip.item-dropped", "can no longer happen at: scrub with the antiseptic"),
    ("It cannot happen in clean weather.", [within(SLIPS, "field-wet", '{ field = ["open"], ', '{ field = ["open"], child = ["calm"], ')], "slip.field-wet", "can no longer happen with field open"),
    # --- moves, items, the room, safe endings, rules
    ("The hub is scrubbed again with gauze.", [within(MOVES, "hub-scrub-again", "uses = { hub-wipe = 1 }", "uses = { pressing-gauze = 1 }")], "move.hub-scrub-again", "used 1 × Wipe for hubs"),
    ("Ten seconds of pressing on the hole.", [within(MOVES, "stop-press", 'seconds = "removal-press"', 'seconds = { value = 10, unit = "s", from = 2024-01-01, source = "common-practice" }')], "move.stop-press", "has another least time"),
    ("Nobody is laid flat on a way back.", [drop(MOVES, "lay-flat")], "move.lay-flat", "is no more"),
    ("No second pair of gloves lies there.", [(  "room", lambda text: "\n".join(one for one in text.split("\n") if '"sterile-gloves"' not in one))], "spare.sterile-gloves", "is no more"),
    ("There is no gauze in the room.", [("room", lambda text: "\n".join(one for one in text.split("\n") if '"pressing-gauze"' not in one))], "spare.pressing-gauze", "is no more"),
    ("One gauze in the room, and two are needed.", [swap("room", "count = 2", "count = 1")], "spare.pressing-gauze", "lay there 2 times, here 1"),
    ("The gloves are to fit nobody.", [swap("items", 'supply = "sterile-gloves-operator", size_of = "operator"', 'supply = "sterile-gloves-operator"')], "item.sterile-gloves", "had to fit the operator, here nothing"),
    ("The gauze for the iodine counts for everything.", [swap("items", 'also = ["sterile-gauze-residue", "sterile-gauze-groin"], ', "")], "item.sterile-gauze", "here for nothing"),
    ("The drape is opened in the hand.", [swap("items", 'id = "sterile-drape", label = "Sterile drape", place = "field"', 'id = "sterile-drape", label = "Sterile drape", place = "hand"')], "item.sterile-drape", "lay ready as “field”, here as “hand”"),
    ("A broken line is left unclamped.", [drop(SAFE, "left-clamped")], "left-clamped", "is no more"),
    ("A bleeding tract is left.", [drop(SAFE, "left-pressed")], "left-pressed", "is no more"),
    ("A loose line is held by nobody.", [within(SAFE, "left-held", '{ holder = ["assistant"] }', '{ holder = ["nobody"] }')], "left-held", "asked for holder assistant"),
    ("It may be clamped some other way.", [within(SAFE, "left-clamped", 'does = ["stop-clamp"]', 'does = ["call-for-help"]')], "left-clamped", "no longer does: stop clamp"),
    ("Hands need not be clean.", [drop("asepsis", "hands-before-gloves")], "hands-before-gloves", "is no more"),
    ("Nobody must chart.", [drop("needed", "charted-after")], "charted-after", "is no more"),
    ("One mask for the two of you.", [drop("with-what", "one-for-each")], "one-for-each", "is no more"),
    ("It goes in, and nobody says that it is a needle.", [drop("about", "about-needle-in")], "about-needle-in", "is no more"),
    ("Peeling may be quick here.", [within("how-and-who", "peeled-low-and-slow", "on = { ", 'on = { actor = ["assistant"], ')], "peeled-low-and-slow", "was asked of"),
    ("A new film alone is a dressing change.", [within("heads", "counts-as-dressing", '  { verb = ["scrub"], objects = ["site"] },\n', "")], "counts-as-dressing", "counted for dressing by"),
    ("It may begin with the child asked.", [drop("heads", "begins-unasked")], "begins-unasked", "is no more"),
    ("A change of another name is none.", [within("kinds", "is-a-dressing-change", 'verb = ["cover"]', 'verb = ["cover-for-now"]')], "is-a-dressing-change", "was whatever does"),
    ("How long the tract is pressed nobody has written down.", [("sources", lambda text: text.replace("[number.removal-press]", "[number.own-press]")), ("line-removal", lambda text: text.replace('"removal-press"', '"own-press"')), ("moves", lambda text: text.replace('"removal-press"', '"own-press"'))], "removal-press", "is no more"),
    ("A minute of pressing is enough.", [("sources", lambda text: text.replace("from = 2024-01-01, value = 300, source = \"port-manual\"", "from = 2024-01-01, value = 60, source = \"port-manual\""))], "removal-press", "published 5 min, here 1 min"),
    ("From next year a minute is enough.", [("sources", lambda text: text.replace("from = 2024-01-01, value = 300, source = \"port-manual\", how = \"found\" }", "from = 2024-01-01, value = 300, source = \"port-manual\", how = \"found\" }, { from = 2099-01-01, value = 60, source = \"port-manual\", how = \"found\" }"))], "removal-press", "from 2099-01-01 on"),
    ("A child is told by one name.", [("sources", lambda text: text.replace('means = "identifiers by which a child is told from another"\nunit = "count"\nvalues = [{ from = 2024-01-01, value = 2', 'means = "identifiers by which a child is told from another"\nunit = "count"\nvalues = [{ from = 2024-01-01, value = 1'))], "identifiers", "published 2, here 1"),
]  # fmt: skip
