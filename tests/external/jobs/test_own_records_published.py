"""Rates from own records, B4 and B5, through `keystrip rates` itself."""

import pytest

from simulation.questions.rates.study import fit_rates
from simulation.scenario import load_scenario

TIMES = ("9", "11", "7", "14", "10", "12", "8", "18")


def fit_of(tmp_path, times):
    file = tmp_path / "hauls.csv"
    file.write_text("job,haul_h\n" + "".join(f"{number},{time}\n" for number, time in enumerate(times)), encoding="utf-8")
    (rates,) = fit_rates([file], load_scenario()).rates
    return rates.fit


def test_the_next_job_follows_the_t_distribution_and_not_the_plug_in(tmp_path):
    fit = fit_of(tmp_path, TIMES)  # B4, R
    assert fit.middle == pytest.approx(10.66720, abs=5e-6)
    assert fit.between.value * (7 / 8) ** 0.5 == pytest.approx(0.28631, abs=5e-6)  # by maximum likelihood, as the source has it
    assert (fit.next_job(0.8), fit.next_job(0.9)) == pytest.approx((14.269, 16.887), abs=6e-4)  # plug-in: 13.801 and 15.791


def test_records_still_under_way_count_as_longer(tmp_path):
    fit = fit_of(tmp_path, (*TIMES[:6], "8+", ">18"))  # B5, R
    assert fit.middle == pytest.approx(11.46903, abs=5e-5)
    assert fit.between.value * (5 / 6) ** 0.5 == pytest.approx(0.31757, abs=5e-5)
    assert fit.still == 2
