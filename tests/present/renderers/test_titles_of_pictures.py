"""Does the title of a picture stand once where it stands above the picture in words?"""

import re

from briefed import findings

from simulation.present.renderers.page import render_image
from simulation.questions.forecast.drawn.figures import s_curve_picture


def test_a_picture_whose_title_stands_above_it_bears_none_and_is_as_much_lower():
    picture = s_curve_picture(findings().forecast)
    titled, bare = (render_image(picture, "svg", 150, kept).decode() for kept in (True, False))
    assert (picture.title in titled, picture.title in bare) == (True, False)
    heights = [float(re.search(r'height="([\d.]+)pt"', svg)[1]) for svg in (titled, bare)]
    assert 15.0 < heights[0] - heights[1] < 35.0
    assert "share of" in bare  # what stands below the title is kept
