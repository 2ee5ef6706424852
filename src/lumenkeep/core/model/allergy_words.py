"""The words people put around a substance when they say what a child does not bear."""

from __future__ import annotations


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


def _phrases(text: str) -> frozenset[str]:
    return frozenset(" ".join(phrase.split()) for phrase in text.split(";"))


DENIALS = _words("""
can cannot cant denied denies deny didn didnt doesn doesnt hasn hasnt isn isnt neg
negative neither never no non nor not wasn wasnt without
""")
"""What makes a name that follows a question."""

UNKNOWN = _phrases("""
ask; n a; n k; na; nk; not asked; not available; not charted; not documented; not
given; not known; not recorded; not stated; not sure; nothing charted; null;
pending; tba; tbc; to ask; to be asked; unasked; uncertain; unclear; undetermined;
unknown; unspecified; unsure
""")
NONE = _phrases("""
nil; nil known; nil reported; nka; nkda; nkfa; no known; none; none charted; none
known; none reported; none stated
""")
ABOUT = _words("""
allergic allergies allergy any anything are contact drug drugs food foods had has
have intolerance intolerances intolerant is of reacted reaction reactions reacts
sensitive sensitivities sensitivity status the to
""")
"""Words that say what is spoken of, not what of it."""

FILLING = ABOUT | _words("""
a acetate after ago an anaphylactic anaphylaxis aqueous at baby bad badly based bath
baths blister blistering blisters burn burned burns burnt by child confirmed cream
dermatitis do does dressing dressings eczema film from glove gloves gluconate hand
he her his hives in it itch itching itchy its known last medical mild moderate
natural not old on once pad pads possible possibly probable product products query
rash red redness rub rubbing scrub severe severely she shock skin skinprep solution
surgical suspected swab swabs swelling swollen their tincture tolerate tolerated
twice under unknown urticaria very wheal wheals when wipe wipes with year years
""")
"""Words that leave nothing to ask once a substance has been named beside them."""
