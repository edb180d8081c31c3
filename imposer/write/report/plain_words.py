"""What a finding means to somebody who draws and has never cut a master. One sentence a rule, no trade words."""

from __future__ import annotations

#: By rule: what it means on paper. Rules that are the studio's own business are not here.
MEANS: dict[str, str] = {
    "binding-margin": "Something lies where the book is bound and will be hard to see.",
    "blank-page": "This page has nothing on it. Is it meant to be blank?",
    "coloured-layer": "This file has colours in it. Each ink is printed from a gray picture: black is full ink.",
    "dirty-ground": "The white of this page is not quite white, and the press will print it as a faint veil.",
    "drawn-up": "This picture was enlarged from fewer dots, so edges will look like steps.",
    "faint-tones": "These grays are so light that the press may not print them.",
    "filling-tones": "These grays are so dark that they will close up to solid ink.",
    "heavy-place": "There is so much ink here that it dries slowly and may smear.",
    "kiss-fit": "Two colours meet here exactly. The press moves a little, so a white line will show.",
    "large-solid": "This large dark area will stick and smear. Make it a little lighter than full black.",
    "misplaced-layer": "This layer does not lie as the others do: is it turned, mirrored, moved or of another size?",
    "missing-page": "This page has not come.",
    "near-edge": "This lies so near to the edge or the fold that it may be cut off or vanish in it.",
    "negative-layer": "This page looks like a negative: dark and light may be the wrong way round.",
    "no-bleed": "The picture ends right at the edge. Let it go on a little further, or keep it away from the edge.",
    "outside-printable": "The press cannot print this near to the edge of the paper, so this part will be lost.",
    "rasterised": "A part of the drawing had to be turned into dots; look at it in the proof.",
    "registration": "The colours will not meet exactly here, since the press moves a little between them.",
    "resolution": "This picture has too few dots and will look soft or stepped.",
    "resolution-missing": "This picture does not say how large it is, so it was taken to fill the page.",
    "roller-track": "There is much ink where the paper is gripped, and the roller may leave tracks.",
    "same-art": "Two colours carry the same picture. Is one of them a wrong file?",
    "screened-already": "This picture is made of print dots already. Printed again, it will show a pattern.",
    "unprinted-plate": "Something is drawn in a colour of this file that stands for no ink, so it will not print.",
    "set-off": "This dark area will mark the page that lies against it.",
    "small-spot": "This colour is used for one small spot. Each colour costs a stencil: is it worth it?",
    "summed-tone": "All the colours together are so dark here that the ink will not dry.",
    "table-hole": "One colour lacks this page although it has nearly all others. Was it forgotten?",
    "thin-gaps": "These white lines are so thin that they will fill with ink.",
    "thin-lines": "These lines are so thin that they may break up or vanish.",
    "unlike-pages": "This page has another size than the others, or lies on its side.",
    "unprinted-art": "There is a picture here in a colour that these pages are not printed in.",
}
