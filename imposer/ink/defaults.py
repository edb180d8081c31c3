"""The constants of the overprint model, each with where it comes from.

None was measured on a stencil duplicator: they were found on published characterisation sets of offset printing on
uncoated paper, and are starting values that a studio's own chart replaces.
"""

from __future__ import annotations

#: Light that comes back before any later ink can filter it, as a reflectance in linear Rec.2020. The form is that of
#: the surface term of J. L. Saunderson (J. Opt. Soc. Am. 32, 727–736, 1942); the value is empirical: the least mean
#: error on the solid overprints of FOGRA29L, FOGRA30L (offset, white and yellowish uncoated, 2003) and CGATS TR 002
#: (newsprint, 2007), where the best value of each set alone is 0.055, 0.060 and 0.050.
UNCOATED_FLOOR = 0.055

#: How much a 50 % tint darkens beyond its tone (0.12: it looks like 62 %). Chosen by hand between what the same sets
#: ask for at n = 2: 0.05–0.09 on the uncoated papers, 0.16–0.19 on newsprint.
GAIN = 0.12

#: The Yule–Nielsen factor. Two is the value of an ideally diffusing paper (J. A. C. Yule, W. J. Nielsen, Proc. TAGA 3,
#: 65–76, 1951); on the same sets the error is flat between 2 and 4.
YULE_NIELSEN_N = 2.0

#: How much of what lies under an ink it hides, beyond filtering it. Duplicating inks are translucent: common practice,
#: no source.
OPACITY = 0.0

#: The model keeps a colour for every set of inks that may meet, two to the power of their number.
MOST_INKS = 10

#: The surface floor of the plainer blend for browsers without shaders, as a share of sRGB's encoded scale: the hundredth
#: with the least mean error over all patches of two and more inks of the three sets above, at the default gain.
ENCODED_FLOOR = 0.30
