"""Plainer laws than the film with a floor, to show that it is worth its keep."""

from __future__ import annotations

import numpy as np


def multiplied(paper, *solids):
    """Light multiplied: what blending layers on a screen does. Linear, channel by channel."""
    return paper * np.prod([np.asarray(solid) / paper for solid in solids], axis=0)


def absorption_over_scattering(reflectance):
    """K/S of an opaque layer (P. Kubelka, F. Munk, 1931)."""
    return (1 - reflectance) ** 2 / (2 * reflectance)


def reflectance(absorption_over_scattering):
    """The same turned round."""
    k = absorption_over_scattering
    return 1 + k - np.sqrt(k**2 + 2 * k)


def absorptions_added(paper, *solids):
    """Inks that add their K/S to the paper's, as paints in one layer do."""
    bare = absorption_over_scattering(paper)
    return reflectance(bare + sum(absorption_over_scattering(np.asarray(solid)) - bare for solid in solids))
