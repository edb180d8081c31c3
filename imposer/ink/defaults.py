"""The constants of the overprint model, each with where it comes from.

None was measured on a stencil duplicator: they were found on published characterisation sets of offset printing on
uncoated paper, and are starting values that a studio's own chart replaces. The titles of older papers, here and in the
modules beside this one, are cited from memory.
"""

from __future__ import annotations

#: Light that comes back before any later ink can filter it, as a reflectance in linear Rec.2020. The form is that of
#: the surface term of J. L. Saunderson (J. Opt. Soc. Am. 32, 1942); the value is empirical. On the eleven full-tone
#: overprints of each of FOGRA29L, FOGRA30L (offset, white and yellowish uncoated, 2003) and CGATS TR 002 (newsprint,
#: 2007) it leaves mean errors of 3.9, 4.2 and 3.9 CIEDE2000; the best value for each alone is 0.055, 0.075 and 0.055.
UNCOATED_FLOOR = 0.055

#: How much a 50 % tint darkens beyond its tone (0.12: it looks like 62 %). Chosen by hand between what the same sets
#: ask for at n = 2: 0.05–0.09 on the uncoated papers, 0.16–0.19 on newsprint.
GAIN = 0.12

#: The Yule–Nielsen factor. Two is the value of an ideally diffusing paper (J. A. C. Yule, W. J. Nielsen, Proc. TAGA,
#: 1951). On the same sets, with each ink's gain fitted to its own ramp, a larger n gains little (at most 0.3
#: CIEDE2000 in the mean up to n = 4) and n = 1 loses 0.8 to 1.1.
YULE_NIELSEN_N = 2.0

#: How much of what lies under an ink it hides, beyond filtering it. Duplicating inks are translucent: common practice,
#: no source.
OPACITY = 0.0

#: The model keeps a colour for every set of inks that may meet, two to the power of their number.
MOST_INKS = 10

#: The surface floor of the plainer blend for browsers without shaders, as a share of sRGB's encoded scale: of all
#: hundredths the one with the least mean error over every patch of two and more inks of the three sets above, at the
#: default gain.
ENCODED_FLOOR = 0.30
