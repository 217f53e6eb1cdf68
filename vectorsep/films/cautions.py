"""What every press sheet says: what this program cannot know, and how not to be hurt. Sources are in the text's head.

Cautions: common practice of the trade, published trade articles, suppliers' articles on dye migration and published
textile articles; where the published figures disagree, the range.
Safety: HSE COSHH printing sheets, NIOSH HETA 2007-0053-3092, 29 CFR 1910.151(c), Regulation (EU) 2018/2005; on hot
machines common sense, no authority's text found.
"""

from __future__ import annotations

CAUTIONS = (
    "This program measures geometry, not chemistry: that no ink reaches the cloth past the blocker says nothing of "
    "whether this blocker holds back this dye.",
    "The makers' data sheets, local codes and licensed practice rule over everything on this sheet.",
    "Test on the very garment before the run. Colour alone does not tell a dye that bleeds.",
    "A blocker is an ink with activated carbon. Ordinary black ink adsorbs nothing and must not be taken for one.",
    "Published figures for the onset of bleeding disagree: 127 to 182 °C (260 to 360 °F). No temperature is a promise.",
    "Published cure figures: standard plastisol 160 °C through the whole film, low-cure inks 121 to 140 °C, never "
    "above 176 °C. Measure on the garment, not on the dryer's dial.",
    "Standard plastisol's cure lies within the range of bleeding, and heat above about 140 °C also promotes the "
    "migration that follows in storage (published textile articles): on polyester that bleeds take inks of a lower "
    "cure (suppliers' articles).",
    "At the end of the dryer a stain is sublimation; over days or weeks it is migration, slow movement through the "
    "ink. So hold a test print for a week, and at least 24 hours before shipping an unfamiliar garment.",
    "Do not stack or box hot: cool to the touch first.",
    "How far a blocker must reach past the white was not found in print. It is measured here against the press's own "
    "tolerance, which every shop must measure itself: print the test chart.",
)
SAFETY = (
    "Dryer and flash panel burn skin and scorch cloth; a belt that stops under a lit panel can catch fire.",
    "Overheated PVC ink gives off hydrogen chloride: ventilate, and never go above the maker's limit.",
    "Screen washes and solvents: local exhaust, 5 to 10 air changes an hour, splash-proof gloves (not latex), eye "
    "protection, closed metal bins, no solvent on skin; an eye flush where strong strippers are used.",
    "Ultraviolet exposure units are screened.",
    "Phthalates in printed garments: DEHP, DBP, BBP and DIBP together under 0.1 % (Regulation (EU) 2018/2005).",
)
