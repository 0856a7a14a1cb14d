"""What holds of the words on every picture: large enough, within it, none over another, and no legend over the data."""

import itertools

import matplotlib
from matplotlib.legend import Legend
from matplotlib.text import Text

from simulation.present.pictures.figure import SMALL, STYLE

#: Pixels by which the boxes of two words may meet: line spacing belongs to a box, ink does not.
MEET = 2.0


def drawn(draw, *of):
    """Return the figure of a picture in the look of all."""
    with matplotlib.rc_context(STYLE):
        return draw(*of)


def words_of(figure):
    """Return the texts that are drawn: those of ticks outside the view exist, but are not."""
    hidden = set()
    for axes in figure.axes:
        for one in (axes, *axes.child_axes):
            for axis, (low, high) in ((one.xaxis, axes.get_xlim()), (one.yaxis, sorted(axes.get_ylim()))):
                slack = 1e-9 * max(abs(low), abs(high), 1.0)
                for tick in axis.get_major_ticks():
                    if not low - slack <= tick.get_loc() <= high + slack:
                        hidden |= {tick.label1, tick.label2}
    return [one for one in figure.findobj(Text) if one.get_visible() and one.get_text().strip() and one not in hidden]


def texts_of(figure):
    """Return what each of the texts on a picture says."""
    return [one.get_text() for one in words_of(figure)]


def text_of(figure):
    """Return all that is written on a picture, in one line."""
    return " ".join(texts_of(figure)).replace("\n", " ")


def assert_readable(figure, meet=MEET):
    with matplotlib.rc_context(STYLE):
        figure.draw_without_rendering()
    words = words_of(figure)
    assert len(words) >= 3
    assert min(one.get_fontsize() for one in words) >= SMALL >= 9.0
    # The words alone: what a line from them to what they name passes over is no word.
    boxes = [(one.get_text(), Text.get_window_extent(one)) for one in words]
    for text, box in boxes:
        assert box.x0 >= 0, text
        assert box.y0 >= 0, text
        assert box.x1 <= figure.bbox.width, text
        assert box.y1 <= figure.bbox.height, text
    for (one, box), (other, beside) in itertools.combinations(boxes, 2):
        wide = min(box.x1, beside.x1) - max(box.x0, beside.x0)
        tall = min(box.y1, beside.y1) - max(box.y0, beside.y0)
        assert wide <= 0 or tall <= meet, (one, other)
    for legend in figure.findobj(Legend):
        box = legend.get_window_extent()
        for axes in figure.axes:
            inside = axes.get_window_extent()
            wide = min(box.x1, inside.x1) - max(box.x0, inside.x0)
            tall = min(box.y1, inside.y1) - max(box.y0, inside.y0)
            assert wide <= MEET or tall <= MEET, "a legend stands over the data"
