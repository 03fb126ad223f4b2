#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tool has given up by the time it waits for an input, and what still works then: run_confined.py TOOL.

The parts are shown one by one in tests/unit/test_confine.c; here, that the tool makes use of them."""
import contextlib
import ctypes
import os
import pathlib
import subprocess
import time

from workplace import CALM, ENVIRONMENT, MORNING, expect, expect_end, gives_nothing_up, log, run, run_scenarios

FREE = "skipped: nothing is given up by a tool that was built with a sanitizer or to count lines"
OLD_KERNEL = "skipped: this kernel has no Landlock"
LANDLOCK_CREATE_RULESET = 444


def has_landlock():
    return ctypes.CDLL(None).syscall(LANDLOCK_CREATE_RULESET, None, ctypes.c_size_t(0), 1) > 0


def has_filters():
    return "Seccomp:" in pathlib.Path("/proc/self/status").read_text(encoding="ascii")


def state_of(process):
    """Its lines of /proc/PID/status."""
    lines = pathlib.Path(f"/proc/{process.pid}/status").read_text(encoding="utf-8").splitlines()
    return dict(line.split(":", 1) for line in lines)


def open_for(process, pipe):
    """The writing end, once the process has opened the other one."""
    end = time.monotonic() + 60
    while process.poll() is None and time.monotonic() < end:
        with contextlib.suppress(OSError):
            return os.open(pipe, os.O_WRONLY | os.O_NONBLOCK)
        time.sleep(0.005)
    raise AssertionError(f"nobody reads {pipe.name}: {process.poll()}")


def run_paused(tool, arguments, folder, pause):
    """Runs the tool; calls pause(process) while it waits for the bytes of an input, `pipe`."""
    os.mkfifo(folder / "pipe")
    with subprocess.Popen([tool, *arguments], cwd=folder, env=ENVIRONMENT, stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        end = open_for(process, folder / "pipe")
        try:
            pause(process)
            os.write(end, log((MORNING, CALM)).encode())
        finally:
            os.close(end)
            (folder / "pipe").unlink()
        output, errors = process.communicate(timeout=60)
    return subprocess.CompletedProcess(arguments, process.returncode, output, errors)


def expect_given_up(process):
    state = state_of(process)
    expect(state["NoNewPrivs"].strip() == "1", f"{process.args}: NoNewPrivs is {state['NoNewPrivs']}")
    expect(state["Seccomp"].strip() == "2", f"{process.args}: Seccomp is {state['Seccomp']}")


def no_rights_are_gained_and_calls_are_filtered(tool, folder):
    if gives_nothing_up(tool):
        return FREE
    if not has_filters():
        return "skipped: this kernel has no seccomp filters"
    for arguments in (["list"], ["list", "--each"], ["debrief"], ["replay"], ["review"],
                      ["audit", "--standard", "standard-in-house.xml"]):
        run_paused(tool, [*arguments, "pipe"], folder, expect_given_up)
    return None


def another_file_of_the_same_name_stays_closed(tool, folder):
    """The names of the inputs are looked up once, before the first one is read."""
    if gives_nothing_up(tool):
        return FREE
    if not has_landlock():
        return OLD_KERNEL
    result = run_paused(tool, ["list", "--jobs", "1", "pipe", "calm.uddf", "fast.uddf"], folder,
                        lambda process: os.replace(folder / "three.uddf", folder / "calm.uddf"))
    expect_end(result, 3, "calm.uddf: cannot be opened: Permission denied")
    expect(b"fast.uddf" in result.stdout and b"calm.uddf" not in result.stdout, result.stdout.decode())
    return None


# -- what still works


def character_sets_are_loaded(tool, folder):
    for charset, owner in (("KOI8-R", ("Ильва", "Торн")), ("ISO-8859-2", ("Ylvá", "Řezná")), ("SHIFT_JIS", ("イズン", "シ"))):
        text = log((MORNING, CALM), owner=owner).replace("utf-8", charset)
        (folder / "old.uddf").write_bytes(text.encode(charset))
        result = run(tool, ["list", "--format", "json", "old.uddf"], folder)
        expect_end(result, 0)
        for name in owner:
            expect(name in result.stdout.decode(), f"{charset}: {name} is not in {result.stdout.decode()}")


def inputs_by_descriptor(tool, folder):
    text = (folder / "calm.uddf").read_bytes()
    for name, source in (("file", open(folder / "calm.uddf", "rb")), ("pipe", None)):
        if source is None:
            reader, writer = os.pipe()
            os.write(writer, text)
            os.close(writer)
            source = os.fdopen(reader, "rb")
        with source:
            path = f"/dev/fd/{source.fileno()}"
            result = run(tool, ["list", path], folder, pass_fds=[source.fileno()])
        expect_end(result, 0)
        expect(b"1 dive in 1 log" in result.stdout, f"{name}: {result.stdout.decode()}")


def many_inputs(tool, folder):
    """More than may be open at a time."""
    names = [f"many/{number}.uddf" for number in range(1200)]
    (folder / "many").mkdir()
    for number, name in enumerate(names):
        day = f"2026-{number // 28 % 12 + 1:02}-{number % 28 + 1:02}T{number // 336 + 8:02}:00:00"
        (folder / name).write_text(log((day, CALM)), encoding="utf-8")
    result = run(tool, ["list", *names], folder)
    expect_end(result, 0)
    expect(b"1200 dives in 1200 logs" in result.stdout.replace(b"\xe2\x80\xaf", b""), result.stdout[:600].decode())


def the_plan_and_the_standard_are_read(tool, folder):
    result = run(tool, ["review", "--plan", "class/slate-45.txt", "--standard", "standard-in-house.xml", "calm.uddf"],
                 folder)
    expect(result.returncode in (0, 1), result.stderr.decode())
    expect(b"cannot be opened" not in result.stderr, result.stderr.decode())


if __name__ == "__main__":
    raise SystemExit(run_scenarios(globals()))
