"""Which files can a replay become? A still of one hour, a film of all, or a page; each is written whole or not at all."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from simulation.present.own_files import write_file
from simulation.present.pictures.figure import STYLE
from simulation.questions.replay.page import page_of
from simulation.questions.replay.picture import Picture
from simulation.questions.replay.study import Frame, Replay

if TYPE_CHECKING:
    from PIL.Image import Image

#: Endings of files that hold one hour, and of those that hold all.
STILLS, FILMS = (".png", ".svg"), (".html", ".gif", ".mp4")
#: Dots per inch of a still, which may be printed, and of a film, which is watched.
_STILL, _FILM = 150, 100
#: Seconds that a frame is seen, and the last one. Planning values: a construction of ten days in about half a minute.
_SECONDS, _LAST = 0.25, 3.0
#: Greys of a film: what is drawn has few, the rest are the edges of letters.
_TONES = 32
_FRAMES_A_SECOND = 4


class FilmError(RuntimeError):
    """A film could not be made, and why."""


def unable(file: Path) -> str:
    """Return why no replay can be written into a file, in one line; empty where one can, as far as is seen beforehand."""
    ending = file.suffix.lower()
    if ending not in STILLS + FILMS:
        known = f"{', '.join(FILMS[:-1])} or {FILMS[-1]}, or {' or '.join(STILLS)} with --at"
        return f"{file.name} does not end as a replay does; write {known}"
    if ending == ".mp4" and shutil.which("ffmpeg") is None:
        return "an .mp4 needs ffmpeg, which is not installed; .html and .gif work without it"
    if file.is_dir():
        return f"{file} is a folder; name a file"
    folder = file.parent
    while not folder.exists():
        folder = folder.parent
    if not folder.is_dir() or not os.access(folder, os.W_OK | os.X_OK) or (file.exists() and not os.access(file, os.W_OK)):
        return f"{file} cannot be written; name a file that can be"
    return ""


def write_replay(replay: Replay, file: Path, progress: Callable[[int, int], None] | None = None, force: bool = False) -> Path:
    """Write a replay into a file of the kind that its ending says, and return its path.

    Parameters
    ----------
    replay : Replay
        A still shows its first frame.
    file : Path
        An earlier replay is replaced when the new one is done.
    progress : callable, optional
        Told frames drawn and frames in all.
    force : bool
        Whether a file that is no earlier replay is replaced.

    Raises
    ------
    OSError
        If the file cannot be written, or is not to be replaced.
    FilmError
        If the program that makes films fails.
    """

    def write(made: Path) -> None:
        ending = file.suffix.lower()
        if ending in STILLS:
            _still(replay, made)
        elif ending == ".html":
            made.write_text(page_of(replay), encoding="utf-8")
        elif ending == ".gif":
            _gif(replay, made, progress)
        else:
            _mp4(replay, made, progress)

    return write_file(file, write, "replay", force)


def _still(replay: Replay, file: Path) -> None:
    import matplotlib

    with matplotlib.rc_context(cast(Any, STYLE)):
        figure = Picture(replay).turn_to(replay.frames[0])
        if file.suffix.lower() == ".svg":
            figure.savefig(file, format="svg", metadata={"Date": None})
        else:
            figure.savefig(file, format="png", dpi=_STILL)


def _images(replay: Replay, progress: Callable[[int, int], None] | None) -> Iterator[tuple[Frame, Image]]:
    """Yield every frame with its image."""
    import matplotlib
    from PIL import Image

    with matplotlib.rc_context(cast(Any, STYLE)):
        picture = Picture(replay)
        picture.figure.set_dpi(_FILM)
        for number, frame in enumerate(replay.frames, 1):
            pixels = picture.pixels(frame)[..., 0]  # all of it is grey
            high, wide = (size // 2 * 2 for size in pixels.shape)  # films want even sides
            yield frame, Image.fromarray(pixels[:high, :wide].copy())
            if progress is not None:
                progress(number, len(replay.frames))


def _gif(replay: Replay, file: Path, progress: Callable[[int, int], None] | None) -> None:
    from PIL import Image

    palette = [round(255 * tone / (_TONES - 1)) for tone in range(_TONES) for _ in range(3)]
    nearest = [round(value * (_TONES - 1) / 255) for value in range(256)]
    images = []
    for _, image in _images(replay, progress):
        flat = Image.frombytes("P", image.size, image.point(nearest).tobytes())
        flat.putpalette(palette)
        images.append(flat)
    seconds = [*[_SECONDS] * (len(images) - 1), _LAST]
    first, *rest = images
    first.save(
        file, format="GIF", save_all=True, append_images=rest, duration=[round(1000 * second) for second in seconds], loop=0
    )


def _mp4(replay: Replay, file: Path, progress: Callable[[int, int], None] | None) -> None:
    program: subprocess.Popen[bytes] | None = None
    try:
        for frame, image in _images(replay, progress):
            if program is None:
                size = f"{image.width}x{image.height}"
                raw = ["-f", "rawvideo", "-pix_fmt", "gray", "-s", size, "-r", str(_FRAMES_A_SECOND), "-i", "-"]
                film = ["-pix_fmt", "yuv420p", "-movflags", "+faststart", "-f", "mp4", str(file)]
                program = subprocess.Popen(
                    ["ffmpeg", "-loglevel", "error", "-y", *raw, *film],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.PIPE,
                )
            assert program.stdin is not None
            last = frame is replay.frames[-1]
            for _ in range(round(_LAST * _FRAMES_A_SECOND) if last else 1):
                program.stdin.write(image.tobytes())
        assert program is not None
        _, said = program.communicate()
    except BrokenPipeError:
        assert program is not None
        said = program.stderr.read() if program.stderr else b""
        program.wait()
    except BaseException:
        if program is not None:
            program.kill()
            program.wait()
        raise
    if program.returncode or not file.exists():
        line = said.decode(errors="replace").strip().splitlines()
        raise FilmError(f"ffmpeg failed: {line[-1] if line else 'it said nothing'}")
