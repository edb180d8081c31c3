"""What a finding means to somebody who draws and has never cut a master: what it is on paper, how much, what to do.

Every rule stands in one of two tables: `WORDS`, what an artist is told, or `STUDIO`, what is the shop's own business
and why. Words say nothing of the press's inner life, of the job's settings or of prices.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Plain:
    """What an artist is told of a rule's findings; `artist_words` fills in what stands in braces."""

    #: What it means on paper.
    means: str
    #: What the artist can do in her own program; figures of the shop alone, the same for all findings of the rule.
    do: str
    #: How much, of one finding; left out where the finding lacks what stands in braces.
    much: str = ""
    #: Without a page it is of the job's own settings, which no artist has made.
    page_only: bool = False


#: By rule: what the artist is told of its errors and warnings.
WORDS: Mapping[str, Plain] = {
    "binding-margin": Plain(
        "This lies where the book is bound and will be hard to see.",
        "Move it further away from the edge where the pages are bound.",
        "It is {measured} from that edge; at {limit} it is safe.",
        page_only=True,
    ),
    "careful-margin": Plain(
        "There is much ink here, close to the edge of the paper, where the paper may stick in the press.",
        "Make it lighter than {limits.careful_tone:g} % gray, or move it further in.",
        "The place measures about {size}.",
    ),
    "coloured-layer": Plain(
        "This file has colours in it. Each ink is printed from a gray picture: black is full ink.",
        "Export it in gray: black where the ink is to be full, white where there is to be none.",
    ),
    "dirty-ground": Plain(
        "The white of this page is not quite white, and the press will print it as a faint veil.",
        "Set the white point (levels or curves), so that the paper of the scan becomes pure white.",
        "{measured} of the page have this light gray.",
    ),
    "cut-picture": Plain(
        "A picture in this PDF is cut off: the file does not hold all of it.",
        "Export the PDF again from the original, and open it once before you send it.",
        "Of its data, {measured}.",
    ),
    "drawn-up": Plain(
        "This picture was enlarged from fewer dots, so edges will look like steps.",
        "Go back to the first drawing or scan and export that with more dots; enlarging this one does not help.",
        "It has the detail of {measured} (pixels an inch); {limit} print well.",
    ),
    "faint-tones": Plain(
        "These grays are so light that the press may not print them.",
        "Make them {limits.lightest:g} % dark or more, or pure white.",
        "They cover {measured} of the page.",
    ),
    "filling-tones": Plain(
        "These grays are so dark that they will fill up to full ink.",
        "Make them no darker than {limits.darkest:g} %; a small place may also be black all through.",
        "They cover {measured} of the page.",
    ),
    "fonts-missing": Plain(
        "Letters may look different from yours, and lines may run longer.",
        "Embed all fonts when you export, or turn the letters into outlines.",
        "It seems that {message}.",
    ),
    "glue-covers": Plain(
        "This page is joined to the one before it with glue, which covers a strip of it.",
        "Keep that strip free of all that matters.",
        "In figures: {message}.",
    ),
    "kiss-fit": Plain(
        "Two colours meet here exactly. The press moves a little, so a white line will show.",
        "Let the lighter colour go on about {drift} under the darker one.",
        "They meet so along {measured}.",
    ),
    "large-solid": Plain(
        "This large dark area will stick and smear.",
        "Make it 75 to 80 % gray instead of black, or break it up with some white.",
        "It measures about {size}.",
    ),
    "lead-edge": Plain(
        "There is much ink along the edge of the paper that goes into the press first, so the paper may stick there.",
        "Make it lighter along this edge.",
        "The whole edge is {measured} dark; up to {limit} is safe.",
    ),
    "marks-in-page": Plain(
        "There are crop marks inside this page, and they would be printed.",
        "Export the page again without marks, at its own size.",
        "They stand around {measured}.",
    ),
    "master-coverage": Plain(
        "This colour covers much of the paper on these pages, so it dries slowly and the paper may stick.",
        "Make the large dark areas lighter.",
        "All together {measured} of the paper is covered; up to {limit} is safe.",
    ),
    "misplaced-layer": Plain(
        "This layer does not lie as the others do: is it turned, mirrored, moved or of another size?",
        "Lay both layers over each other in your program, and export the one that is wrong again. If it is meant to be "
        "so, tell the studio.",
        "It looks as if {message}.",
    ),
    "missing-page": Plain(
        "This page has not come.",
        "Send it; if it is meant to be blank, tell the studio.",
    ),
    "near-edge": Plain(
        "This lies so near to the edge or the fold that it may be cut off or vanish in it.",
        "Move it further in.",
        "It is {measured} away; at {limit} it is safe.",
    ),
    "negative-layer": Plain(
        "This page looks like a negative: dark and light may be the wrong way round.",
        "Export it again with black for full ink and white for paper. If it is meant to be so dark, tell the studio.",
        "{measured} of the page are black.",
    ),
    "no-bleed": Plain(
        "The picture ends right at the edge of the page. The knife is never that exact, so a white line will show.",
        "{beyond}, or keep it 3 mm away from the edge.",
        "It runs along {measured} of the edge.",
    ),
    "nothing-prints": Plain(
        "All pages are white, so nothing can be printed.",
        "Export your pages again: what you drew may be hidden, or white instead of black.",
    ),
    "outside-printable": Plain(
        "The press cannot print this near to the edge of the paper, so this part will be lost.",
        "Move it further in, or draw it smaller.",
        "What is lost: {measured}.",
    ),
    "page-order": Plain(
        "The names of the files do not tell clearly which page is which.",
        "Put its page number into the name of every file, such as p01, p02, p03.",
        "As it stands, {message}.",
    ),
    "panel-cut": Plain(
        "This page is folded in and narrower than the others, so a strip of it is cut off.",
        "Keep that strip free, or export the page as narrow as it will be.",
        "In figures: {message}.",
    ),
    "pdf-notes": Plain(
        "There are notes or form fields on this page that have no picture in the file: they do not print, or only "
        "their words do.",
        "Print the page to a new PDF from the program you read it in, or draw them on the page itself.",
    ),
    "pdf-repaired": Plain(
        "This file is damaged. Most of it could be read, but something may be missing.",
        "Export it again, and open it once before you send it.",
    ),
    "rasterised": Plain(
        "A part of this drawing had to be turned into dots, so its edges may be less sharp.",
        "Export it in gray and without effects; or look at it in the proof and leave it if you like it so.",
    ),
    "registration": Plain(
        "The colours will not meet exactly here, since the press moves a little between them.",
        "Let the lighter colour go on about {drift} under the darker one, or leave a gap between them on purpose.",
    ),
    "resolution": Plain(
        "This picture has too few dots and will look soft or stepped.",
        "Export it again with more dots from the original, or use it smaller; enlarging it does not help.",
        "It has {measured} (pixels an inch) as it is printed; {limit} print well.",
    ),
    "roller-track": Plain(
        "A roller runs over this part of the paper, and so much ink here will leave tracks.",
        "Make it lighter here.",
        "This part of the paper is {measured} dark; up to {limit} is safe.",
    ),
    "same-art": Plain(
        "Two colours carry the same picture. Is one of them a wrong file?",
        "Leave it in one colour, or send the right file: two colours never meet exactly. If both are meant, tell the "
        "studio.",
        "It seems that {message}.",
    ),
    "screened-already": Plain(
        "This picture is made of print dots already. Printed again, it will show a pattern.",
        "Send the picture in its smooth grays, as it was before it became dots.",
        "{measured} of the page are dots.",
    ),
    "set-off": Plain(
        "This dark place will leave a mark on the page that lies against it.",
        "Make it lighter, or use fewer colours on top of each other here.",
        "All colours together are {measured} dark here; up to {limit} is safe.",
    ),
    "show-through": Plain(
        "This page and the one on its back are both dark, and the paper is thin: each will be seen through the other.",
        "Make one of the two lighter.",
        "Each is {measured} dark or more.",
    ),
    "side-coverage": Plain(
        "All colours together cover these pages with so much ink that it dries slowly and the paper may stick.",
        "Make the large dark areas lighter, or use fewer colours on top of each other.",
        "All together it is {measured} of the paper; up to {limit} is safe.",
    ),
    "small-type": Plain(
        "These letters are too small to print well.",
        "Set them larger, or in a bold typeface without serifs.",
        "They are set in {measured}; from {limit} on they print well.",
    ),
    "summed-tone": Plain(
        "All the colours together are so dark here that the ink will not dry.",
        "Take one colour out from under the others here, or make it lighter.",
        "Together they are {measured} dark; up to {limit} is safe.",
    ),
    "table-hole": Plain(
        "One colour lacks this page although it has nearly all others. Was it forgotten?",
        "Send the page in this colour, or a white one if it is meant to be without.",
    ),
    "thin-gaps": Plain(
        "These white lines are so thin that they will fill with ink.",
        "Make them wider.",
        "The thinnest are {measured} wide; from {limit} on they are safe.",
    ),
    "thin-lines": Plain(
        "These lines are so thin that they may break up or vanish.",
        "Draw them heavier.",
        "The thinnest are {measured} wide; from {limit} on they are safe.",
    ),
    "tinted-type": Plain(
        "These small letters are not in full ink but in a lighter shade, which is made of dots: their edges will fray.",
        "Set them in full ink (100 %), or in a lighter colour.",
        "They are {measured} dark.",
    ),
    "type-in-two-inks": Plain(
        "The same words stand in two colours. They never meet exactly, so the letters will look doubled.",
        "Leave words in one colour.",
        "They are set in {measured} and stand in {ink} and in {other}.",
    ),
    "unlike-pages": Plain(
        "This page has another size than the others, or lies on its side.",
        "Export all pages at one size and the same way up.",
        "It is {measured}; most others are {limit}.",
    ),
    "unprinted-art": Plain(
        "There is a picture here in a colour that these pages are not printed in.",
        "Draw it in a colour that is printed, or ask the studio about it.",
        "As it stands, {message}.",
    ),
    "unprinted-plate": Plain(
        "Something is drawn in a colour of this file that stands for no ink, so it will not print.",
        "Draw it in one of the colours that are printed, or ask the studio about it.",
        "As it stands, {message}.",
    ),
    "unused-ink": Plain(
        "This colour prints nothing: all of its pages are white.",
        "Export its pages again: what you drew may be hidden, or white instead of black. If you do without this "
        "colour, tell the studio.",
    ),
}

#: Begins the reason of rules that never ask for anything.
ONLY_NOTES = "never more than a note: "

#: By rule: why it is the shop's own business and no artist is told of it.
STUDIO: Mapping[str, str] = {
    "acceptance-unused": ONLY_NOTES + "of what the studio wrote into its job",
    "approval": "the studio makes the proof and asks for the yes",
    "blank-page": ONLY_NOTES + "blank pages are mostly meant",
    "changed-since-check": ONLY_NOTES + "it tells the studio what to look at again",
    "counted-from-zero": ONLY_NOTES + "the order is seen in the proof",
    "creep-left-out": ONLY_NOTES + "how pages are laid on sheets",
    "empty-places": ONLY_NOTES + "how pages are laid on sheets",
    "files-joined": ONLY_NOTES + "the order is seen in the proof",
    "grain-across": "the studio chooses the paper and how it is fed",
    "heavy-place": ONLY_NOTES + "the studio lets it dry",
    "joined": ONLY_NOTES + "how pages are laid on sheets",
    "mark-left-out": "the studio lays pages and marks on sheets",
    "marks-crowded": "the studio lays pages and marks on sheets",
    "page-count": ONLY_NOTES + "the studio settles the binding",
    "page-coverage": ONLY_NOTES + "the studio lets it dry",
    "paper-weight": "the studio chooses the paper",
    "pdf-layers": ONLY_NOTES + "it prints as a viewer shows it",
    "pdf-scripts": ONLY_NOTES + "they are left out",
    "pdf-transparency": ONLY_NOTES + "it prints as a viewer shows it",
    "resolution-missing": ONLY_NOTES + "the size is seen in the proof",
    "scaled": ONLY_NOTES + "the studio asked for it",
    "small-spot": ONLY_NOTES + "of what a colour costs",
    "too-thick": "the studio chooses the binding and the paper",
    "untrimmed": ONLY_NOTES + "how pages are laid on sheets",
}
