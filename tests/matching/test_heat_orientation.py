"""The orientation table: what a second implementation of the same equations answers, as printed.

500 kg, condition 5, maintenance, turnout in the open, 0 degC, humidity 0.7, dry, breathable, windproof, no neck cover.
"""

import numpy as np
import pytest

from barnrugs.matching.heat import comfort
from barnrugs.matching.outfit import BARE
from tests.matching.weather_builders import horse, stay, turnout, worn

OUTFITS = [BARE, *(worn(turnout(fill)) for fill in (0, 100, 200, 300, 400))]
TABLE = {
    (2, 3): [(13.3, 31.6), (10.5, 25.6), (4.3, 19.2), (-0.1, 13.5), (-3.4, 8.1), (-6.0, 2.8)],
    (15, 3): [(2.4, 24.7), (0.9, 19.2), (-6.1, 12.4), (-11.6, 6.1), (-16.1, 0.2), (-19.7, -5.5)],
    (26, 3): [(-6.8, 17.2), (-7.1, 13.7), (-14.7, 6.5), (-20.8, -0.1), (-25.9, -6.4), (-30.2, -12.4)],
    (26, 0): [(-21.5, 8.6), (-15.6, 8.6), (-24.4, 1.4), (-31.8, -5.7), (-38.1, -12.5), (-43.5, -18.9)],
}
HALF_THE_LAST_DIGIT = 0.05


@pytest.mark.parametrize(("coat_mm", "wind"), TABLE)
def test_orientation(coat_mm: float, wind: float):
    found = comfort(horse(coat_mm), stay(0, wind, rh=0.7), OUTFITS)
    printed = np.array(TABLE[coat_mm, wind])
    assert np.abs(found.low_c[:, 0] - printed[:, 0]).max() <= HALF_THE_LAST_DIGIT
    assert np.abs(found.high_c[:, 0] - printed[:, 1]).max() <= HALF_THE_LAST_DIGIT
