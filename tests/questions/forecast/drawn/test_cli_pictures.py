"""`keystrip forecast --pictures`: more pictures beside the S-curve."""

import pytest
from scenarios import SHORT

SAID = ("progress", "stations", "mats", "after_rows", "causes", "use", "losses", "laying_rates")


@pytest.mark.usefixtures("painted")
def test_pictures_are_written_beside_the_s_curve_and_named_in_the_form_that_is_asked_for(keystrip, tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    asked, folder = ("forecast", "short.toml", "--runs", 20, "--workers", 1, "--out", "here"), tmp_path / "here"
    assert keystrip(*asked, "--pictures")[0] == 0
    pixels = {f"{name}.png" for name in ("s_curve", *SAID)}
    assert {file.name for file in folder.glob("*.*g")} == pixels
    assert all((folder / name).stat().st_size > 1000 for name in pixels)
    code, _, err = keystrip(*asked, "--svg")
    assert code == 0
    assert "s_curve.svg" in err and ".png" not in err
    assert (folder / "s_curve.svg").read_text(encoding="utf-8").startswith("<?xml")
    assert {file.name for file in folder.glob("*.*g")} == {*pixels, "s_curve.svg"}
