"""`keystrip forecast --pictures`: more pictures beside the S-curve."""

import pytest
from scenarios import SHORT

SAID = ("progress", "stations", "mats", "after_rows", "causes", "use", "losses", "rates")


@pytest.mark.usefixtures("painted")
def test_pictures_are_written_beside_the_s_curve_and_named(keystrip, tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    code, _, err = keystrip("forecast", "short.toml", "--runs", 20, "--workers", 1, "--pictures", "--out", "here")
    assert code == 0
    for name in ("s_curve", *SAID):
        for kind in ("svg", "png"):
            assert (tmp_path / "here" / f"{name}.{kind}").stat().st_size > 1000
            assert f"{name}.{kind}" in err
