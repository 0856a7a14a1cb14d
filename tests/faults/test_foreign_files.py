"""A file that is no scenario and no record, or no file of a disk: refused at once, and nothing that stands in it is quoted."""

import os
import threading
from pathlib import Path

import pytest

from simulation.scenario.types.texts.bounded import read_text


@pytest.mark.parametrize(
    "text", ["root:x:0:0:root:/root:/bin/sh\n", "TOPSECRET 4711 = x y\n", "PASSWORD=TOPSECRET\n", "{'key': 'TOPSECRET'}\n"]
)
def test_a_file_that_is_no_scenario_is_refused_without_what_stands_in_it(keystrip, text):
    Path("foreign.toml").write_text(text, encoding="utf-8")
    code, out, err = keystrip("check", "foreign.toml")
    assert (code, out, len(err.splitlines())) == (2, "", 1)
    assert "foreign.toml: line 1: " in err
    assert "TOPSECRET" not in err and "root" not in err


def test_a_file_that_is_no_record_is_refused_without_what_stands_in_it(keystrip):
    Path("foreign.csv").write_text("time,rain_mm\nTOPSECRET-4711,3\nTOPSECRET-4712,4\n", encoding="utf-8")
    code, out, err = keystrip("weather", "foreign.csv")
    assert (code, out, len(err.splitlines())) == (2, "", 1)
    assert "no two lines can be read (line 2: what stands there is no time such as 2013-07-01T14:00)" in err
    assert "TOPSECRET" not in err


@pytest.mark.parametrize("name", ["/proc/kmsg", "/proc/self/environ", "/sys/kernel/notes"])
def test_a_file_that_the_system_makes_up_is_none_of_a_disk(name):
    if not Path(name).exists():
        pytest.skip("this system makes up no such file")
    with pytest.raises(OSError, match="made up by the system"):
        read_text(Path(name), 100)


def test_a_pipe_that_takes_the_place_of_a_file_is_not_waited_for(tmp_path, monkeypatch):
    """As if it had been put there between the look and the reading."""
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "file.toml").write_text("")
    seen = (tmp_path / "file.toml").stat()
    monkeypatch.setattr(Path, "stat", lambda *_, **__: seen)
    said = []

    def read():
        try:
            read_text(tmp_path / "pipe.toml", 100)
        except OSError as error:
            said.append(str(error))

    reader = threading.Thread(target=read, daemon=True)
    reader.start()
    reader.join(5)
    assert said and "is a folder, a pipe or a device" in said[0]
