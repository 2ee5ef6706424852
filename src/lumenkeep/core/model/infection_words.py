"""The closed lists of words for what is charted to determine an infection."""

from __future__ import annotations

SOURCES = {
    "blood": "Blood",
    "urine": "Urine",
    "wound": "Wound",
    "sputum": "Sputum or airway",
    "catheter-tip": "Catheter tip",
    "other": "Something else",
}
METHODS = {"culture": "Culture", "molecular": "Molecular test"}
RESULTS = {
    "pending": "Not back yet",
    "no-growth": "Nothing grew",
    "grew": "Something grew",
}
FINAL_RESULTS = {word: said for word, said in RESULTS.items() if word != "pending"}
SIGNS = {
    "temperature": "Temperature",
    "chills": "Chills",
    "hypotension": "Low blood pressure",
    "apnoea": "Apnoea",
    "bradycardia": "Slow heartbeat",
}
COUNTS = {"anc": "Neutrophils", "wbc": "White cells"}
GUT = {
    "gvhd": "Graft-versus-host disease of the gut",
    "stool": "Stool in 24 hours",
}
CONDITIONS = {
    "epidermolysis-bullosa": "Epidermolysis bullosa",
    "munchausen-by-proxy": "Munchausen by proxy, known or suspected",
}
TRANSPLANTS = {
    "allogeneic": "Stem cells of a donor (allogeneic)",
    "autologous": "The child's own stem cells (autologous)",
}
DEVICES = {"ecmo": "ECMO", "vad": "Ventricular assist device"}
DEVICE_DOINGS = {"in": "Went in, or was in", "out": "Came out"}
VASCULAR_SITES = {
    "eligible-line": "The central line in use",
    "peripheral-cannula": "Peripheral cannula",
    "arterial-catheter": "Arterial catheter",
    "midline": "Midline",
    "fistula-or-graft": "Fistula or graft",
    "atrial-line": "Atrial line",
    "balloon-pump": "Balloon pump",
    "reliable-outflow-device": "Reliable-outflow device",
    "unaccessed-line": "A central line not accessed in this stay",
}
SELF_INJECTION = {"observed": "Seen", "suspected": "Suspected"}
OTHER_INFECTIONS = {
    "uti": "Urinary tract",
    "pneumonia": "Pneumonia",
    "intra-abdominal": "Inside the abdomen",
    "skin-soft-tissue": "Skin and soft tissue",
    "bone-joint": "Bone and joint",
    "meningitis": "Meningitis",
    "sinusitis": "Sinusitis",
    "ssi": "Surgical site",
    "nec": "Necrotising enterocolitis",
    "endocarditis": "Endocarditis",
    "vae": "Ventilator-associated event",
    "other": "Another site",
}
TIPS = {
    "great-vessel": "In a great vessel or at the heart",
    "elsewhere": "Elsewhere",
}
ACCESS = {
    "infusion": "Something was given",
    "withdrawal": "Blood was taken",
    "monitoring": "Pressure was monitored",
    "none": "Not used in this stay so far",
}
ORGANISM_MEANS = {
    "known-name": "Another name for an organism that is known here",
    "pathogen": "A recognised pathogen",
    "commensal": "A common commensal",
    "not-of-blood": "Neither: it makes no infection of the blood",
}
DECISIONS = {
    "confirmed": "Confirmed as proposed",
    "overridden": "Decided otherwise",
    "left-open": "Left open",
}
VERDICTS = {
    "clabsi": "A central-line bloodstream infection",
    "clabsi-barrier": "A central-line bloodstream infection, mucosal-barrier form",
    "primary": "A bloodstream infection of the stay, but not the line's",
    "on-admission": "A bloodstream infection present on admission",
    "secondary": "It belongs to an infection elsewhere",
    "none": "No bloodstream infection by the definition",
}
"""What a decision can say of blood that grew something."""
