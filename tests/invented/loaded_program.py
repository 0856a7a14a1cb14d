"""keystrip in a process that is forked off one which has everything loaded: to start Python anew takes a second or two each time.

To the system it is a process like any other, with a group, signals, files and an exit code of its own, and it begins where
`python -m simulation` does. Only what happens while the program is loaded is not seen here.
"""

import ctypes
import importlib
import json
import os
import runpy
import select
import signal
import subprocess
import sys
import time

#: What a forecast loads.
_LOADED = (
    "pandas",
    "scipy.stats",
    "matplotlib.backends.backend_svg",
    "matplotlib.backends.backend_agg",
    "simulation.cli.questions",
    "simulation.construction.work_begun",
    "simulation.construction.check.warnings",
    "simulation.construction.check.trial_run",
    "simulation.present.renderers.record",
    "simulation.present.renderers.terminal",
    "simulation.questions.forecast.answer",
    "simulation.questions.forecast.command",
    "simulation.questions.forecast.drawn.figures",
    "simulation.questions.studies.command",
    "simulation.replicate.repeating",
    "simulation.scenario.tables.scenario",
    "simulation.study.run_context",
)
#: Namespaces of the kernel, in the order in which a process may enter those of another.
_NAMESPACES = {"user": 0x10000000, "mnt": 0x00020000}


class Loaded:
    """The process that others are forked off; it says on its standard output which have begun and which have ended."""

    def __init__(self):
        self._server = subprocess.Popen([sys.executable, __file__], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        self._codes = {}

    def fork(self, **order):
        """Return a process that does as ordered: see `_obey`."""
        print(json.dumps(order), file=self._server.stdin, flush=True)
        while (said := json.loads(self._server.stdout.readline()))[0] != "begun":
            self._note(*said)
        return Forked(self, said[1])

    def code(self, pid):
        """Return the exit code of a process, as `subprocess` has it, or None while it is there."""
        while pid not in self._codes and select.select([self._server.stdout], [], [], 0.0)[0]:
            self._note(*json.loads(self._server.stdout.readline()))
        return self._codes.get(pid)

    def _note(self, _, pid, code):
        self._codes[pid] = code


class Forked:
    """What tests know of a process, as `subprocess.Popen` has it."""

    def __init__(self, loaded, pid):
        self._loaded, self.pid = loaded, pid

    @property
    def returncode(self):
        return self._loaded.code(self.pid)

    def poll(self):
        return self.returncode

    def wait(self, patience=None):
        """Return the exit code once there is one."""
        end = time.monotonic() + (patience or 1e9)
        while self.returncode is None:
            if time.monotonic() > end:
                raise subprocess.TimeoutExpired("keystrip", patience)
            time.sleep(0.005)
        return self.returncode


def _serve():
    """Fork off a process for each order, and return in it with the order; tell of those that end."""
    awake, wake = os.pipe()
    os.set_blocking(wake, False)
    signal.set_wakeup_fd(wake)
    signal.signal(signal.SIGCHLD, lambda *_: None)
    while True:
        readable, _, _ = select.select([0, awake], [], [])
        if awake in readable:
            os.read(awake, 4096)
            _tell_of_ended()
        if 0 in readable:
            order = sys.stdin.readline()
            if not order:
                os._exit(0)
            pid = os.fork()
            if not pid:
                signal.set_wakeup_fd(-1)
                signal.signal(signal.SIGCHLD, signal.SIG_DFL)
                os.close(awake)
                os.close(wake)
                return json.loads(order)
            print(json.dumps(["begun", pid]), flush=True)


def _tell_of_ended():
    try:
        while (ended := os.waitpid(-1, os.WNOHANG))[0]:
            print(json.dumps(["ended", ended[0], os.waitstatus_to_exitcode(ended[1])]), flush=True)
    except ChildProcessError:
        pass


def _obey(*, words, said, environment, folder, inside=None, script=None):
    """Be keystrip, or the script, given words; `inside` is the process whose mounts are entered."""
    os.setsid()
    if inside is not None:
        spaces = [(os.open(f"/proc/{inside}/ns/{name}", os.O_RDONLY), kind) for name, kind in _NAMESPACES.items()]
        system = ctypes.CDLL(None, use_errno=True)
        for space, kind in spaces:
            if system.setns(space, kind):
                raise OSError(ctypes.get_errno(), "cannot enter the mounts of another process")
            os.close(space)
    os.chdir(folder)
    for number, (file, how) in enumerate([(os.devnull, os.O_RDONLY), *((file, os.O_WRONLY) for file in said)]):
        opened = os.open(file, how)
        os.dup2(opened, number)
        os.close(opened)
    os.environ.clear()
    os.environ.update(environment)
    sys.argv = ["keystrip", *words]
    if script is None:
        runpy.run_module("simulation", run_name="__main__", alter_sys=True)
    else:
        runpy.run_path(script, run_name="__main__")


if __name__ == "__main__":
    for name in _LOADED:
        importlib.import_module(name)
    _obey(**_serve())
