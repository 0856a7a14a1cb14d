"""Stills, films and pages: whole or not at all, small enough, and a clear word where a kind cannot be made."""

import shutil
import subprocess

import pytest
from drawn_fields import replay
from PIL import Image

from simulation.present.own_files import RECORD
from simulation.questions.replay import files as replay_files
from simulation.questions.replay.files import FilmError, unable, write_replay


def test_a_film_has_every_frame_and_holds_the_last(tmp_path):
    shown = replay(at=(0.0, 3.0, 6.0, 9.0))
    told = []
    file = write_replay(shown, tmp_path / "new" / "replay.gif", lambda done, of: told.append((done, of)))
    assert sorted(one.name for one in file.parent.iterdir()) == [RECORD, "replay.gif"]
    with Image.open(file) as film:
        assert film.n_frames == len(shown.frames)
        assert film.size[0] == 1000
        durations = []
        for number in range(film.n_frames):
            film.seek(number)
            durations.append(film.info["duration"])
    assert durations[-1] > 4 * durations[0]
    assert told[-1] == (len(shown.frames), len(shown.frames))
    assert file.stat().st_size < 160_000


@pytest.mark.parametrize("ending", [".PNG", ".svg"])
def test_a_still_is_one_picture_and_the_same_again(tmp_path, ending):
    shown = replay(at=(5.0,))
    files = [write_replay(shown, tmp_path / f"{name}{ending}").read_bytes() for name in ("a", "b")]
    assert files[0] == files[1]
    assert files[0][:5] in (b"\x89PNG\r", b"<?xml")


@pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="no ffmpeg on the path: install the system's package ffmpeg")
def test_an_mp4_is_made_by_ffmpeg(tmp_path):
    file = write_replay(replay(at=(0.0, 1.0)), tmp_path / "replay.mp4")
    assert file.read_bytes()[4:8] == b"ftyp"


def test_without_ffmpeg_the_formats_that_work_are_named(monkeypatch, tmp_path):
    monkeypatch.setattr(replay_files.shutil, "which", lambda name: None)
    assert unable(tmp_path / "a.mp4") == "an .mp4 needs ffmpeg, which is not installed; .html and .gif work without it"
    assert unable(tmp_path / "a.gif") == ""


def test_a_failing_ffmpeg_leaves_the_old_film_alone(monkeypatch, tmp_path):
    program = tmp_path / "ffmpeg"
    program.write_text("#!/bin/sh\necho no such codec >&2\nexit 1\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    old = tmp_path / "films" / "replay.mp4"
    old.parent.mkdir()
    old.write_text("old")
    with pytest.raises(FilmError, match="no such codec"):
        write_replay(replay(at=(0.0, 5.0)), old)
    assert old.read_text() == "old"
    assert list(old.parent.iterdir()) == [old]


def test_a_film_that_is_interrupted_leaves_nothing_behind_and_no_program_running(tmp_path):
    def interrupt(done, of):
        raise KeyboardInterrupt

    for ending in ("gif", *(["mp4"] if shutil.which("ffmpeg") else [])):
        with pytest.raises(KeyboardInterrupt):
            write_replay(replay(at=(0.0, 5.0)), tmp_path / f"replay.{ending}", interrupt)
    assert list(tmp_path.iterdir()) == []
    running = subprocess.run(["ps", "-eo", "args"], capture_output=True, text=True, check=False).stdout
    assert str(tmp_path) not in running


@pytest.mark.parametrize("name", ["replay.avi", "replay", ".gif"])
def test_an_ending_that_is_none_of_a_replay_is_refused(tmp_path, name):
    assert "write .html, .gif or .mp4, or .png or .svg with --at" in unable(tmp_path / name)


def test_a_folder_or_a_place_below_a_file_is_refused(tmp_path):
    (tmp_path / "a.gif").mkdir()
    (tmp_path / "file").write_text("")
    assert "is a folder" in unable(tmp_path / "a.gif")
    assert "cannot be written" in unable(tmp_path / "file" / "b.gif")
    assert unable(tmp_path / "new" / "deep" / "b.gif") == ""


def test_a_protected_folder_or_file_is_refused(tmp_path, monkeypatch):
    closed = {str(tmp_path / "shut"), str(tmp_path / "kept.gif")}
    (tmp_path / "shut").mkdir()
    (tmp_path / "kept.gif").write_text("")
    # Whoever may do everything, such as the owner of a container, is not kept out by a file's mode.
    monkeypatch.setattr(replay_files.os, "access", lambda path, how: str(path) not in closed)
    assert "cannot be written" in unable(tmp_path / "shut" / "b.gif")
    assert "cannot be written" in unable(tmp_path / "kept.gif")
