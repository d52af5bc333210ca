"""Contrast of every pair in use, and verdicts that stay apart for eyes that see colour otherwise."""

from itertools import combinations

import numpy as np
import pytest

from wardwright.documents.ink import (
    INK,
    MARGIN_COLOURS,
    MARGIN_STEPS_DB,
    MARGIN_WORDS,
    PAPER,
    QUIET,
    RAISED,
    SCREEN_PAPER,
    VERDICT,
    contrast,
    luminance,
)
from wardwright.findings import Outcome

# Machado, Oliveira and Fernandes 2009, severity 1.0, linear RGB (from memory)
BLINDNESS = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritan": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}


def linear(colour: str) -> np.ndarray:
    value = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def lab(rgb: np.ndarray) -> np.ndarray:
    """CIE 1976 L*a*b* of linear sRGB under D65 (IEC 61966-2-1 matrix, from memory)."""
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ rgb
    t = xyz / np.array([0.9505, 1.0, 1.089])
    f = np.where(t > 0.008856, np.cbrt(np.clip(t, 0, None)), 7.787 * t + 16 / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def test_contrast_is_that_of_the_web_guidelines() -> None:
    # WCAG 2.1: black on white is 21:1; #767676 on white is the well-known 4.54:1 (from memory)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("ground", [PAPER, SCREEN_PAPER, RAISED])
def test_text_can_be_read(ground: str) -> None:
    for colour in (INK, QUIET, *VERDICT.values()):
        assert contrast(colour, ground) >= 4.5, (colour, ground)


def test_marks_on_the_map_can_be_seen() -> None:
    for tint in MARGIN_COLOURS:
        assert contrast(INK, tint) >= 3.0, tint
    assert len(MARGIN_COLOURS) == len(MARGIN_WORDS) == len(MARGIN_STEPS_DB) + 1


def test_the_scale_rises_evenly_in_lightness() -> None:
    lightness = [lab(linear(c))[0] for c in MARGIN_COLOURS]
    steps = np.diff(lightness)
    assert (steps > 8.0).all(), "a photocopy tells the steps apart"
    assert steps.max() / steps.min() < 1.4
    assert [luminance(c) for c in MARGIN_COLOURS] == sorted(luminance(c) for c in MARGIN_COLOURS)


@pytest.mark.parametrize("kind", [*BLINDNESS, "usual"])
def test_verdicts_stay_apart(kind: str) -> None:
    matrix = np.array(BLINDNESS.get(kind, np.eye(3)))
    seen = {o: lab(np.clip(matrix @ linear(VERDICT[o]), 0, 1)) for o in Outcome}
    told = [Outcome.MET, Outcome.NOT_MET, Outcome.NOT_DECIDED]
    for one, other in combinations(told, 2):
        # 2.3 is just noticeable (from memory), 15 plain at a glance; the shapes tell them apart anyway
        assert np.linalg.norm(seen[one] - seen[other]) > 15.0, (kind, one, other)
