"""What people look at: tables on the terminal, pictures, and the files of a report."""

from simulation.report.cautions import CAUTIONS, print_cautions
from simulation.report.folder import as_json, write_report
from simulation.report.forecast_tables import print_forecast
from simulation.report.pictures import Picture, pictures_of, plan_of, s_curve_of
from simulation.report.progress import progress_bar
from simulation.report.run_tables import print_repetition, print_runs, run_record
from simulation.report.scurve import draw_s_curve, save_s_curve
from simulation.report.summary import summary_of
from simulation.report.takeoff_tables import print_take_off, take_off_record

__all__ = [
    "CAUTIONS",
    "Picture",
    "as_json",
    "draw_s_curve",
    "pictures_of",
    "plan_of",
    "print_cautions",
    "print_forecast",
    "print_repetition",
    "print_runs",
    "print_take_off",
    "progress_bar",
    "run_record",
    "s_curve_of",
    "save_s_curve",
    "summary_of",
    "take_off_record",
    "write_report",
]
