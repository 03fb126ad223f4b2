#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What a line of cases.txt cannot say: run_files.py TOOL.

Outputs whole or not at all, closed pipes, full disks, signals, terminals, locales.
"""
import fcntl
import os
import pty
import re
import resource
import signal
import stat
import struct
import subprocess
import sys
import termios
import threading
import time

from workplace import ENVIRONMENT, comma_locale, expect, expect_end, expect_no_reader, leftovers, run, run_scenarios

OLD = "what was there before\n"


def limit_file_size():
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))


# -- outputs that take only part of it, or nothing


def full_disk_on_standard_output(tool, folder):
    for arguments in (["debrief", "calm.uddf"], ["replay", "calm.uddf"], ["list", "--each", "calm.uddf"], ["--help"]):
        with open("/dev/full", "wb") as full:
            expect_end(run(tool, arguments, folder, stdout=full), 4, "standard output: cannot be written: No space")


def closed_pipe(tool, folder):
    for arguments in (["debrief", "calm.uddf"], ["list", "--each", "calm.uddf", "fast.uddf"], ["--version"]):
        expect_no_reader(tool, folder, arguments)


def closed_standard_output(tool, folder):
    result = run(tool, ["debrief", "calm.uddf"], folder, stdout=None, preexec_fn=lambda: os.close(1))
    expect_end(result, 4, "standard output: cannot be written")


def closed_standard_error(tool, folder):
    result = run(tool, ["debrief", "missing.uddf", "calm.uddf", "-o", "out.txt"], folder, stderr=None,
                 preexec_fn=lambda: os.close(2))
    expect(result.returncode == 3, f"exit code {result.returncode}")
    expect(b"missing.uddf: there is no such file" not in (folder / "out.txt").read_bytes(),
           "a sentence of standard error stands in the output")


def devices_stay(tool, folder):
    for device in ("/dev/full", "/dev/null"):
        run(tool, ["debrief", "calm.uddf", "-o", device], folder)
        expect(stat.S_ISCHR(os.stat(device).st_mode), f"{device} is no device any more")


# -- whole or not at all


def new_file_is_whole(tool, folder):
    expect_end(run(tool, ["debrief", "calm.uddf", "-o", "out.txt"], folder), 0)
    shown = run(tool, ["debrief", "calm.uddf"], folder).stdout
    expect((folder / "out.txt").read_bytes() == shown, "the file differs from what standard output shows")


def new_file_follows_umask(tool, folder):
    for mask, mode in ((0o022, 0o644), (0o027, 0o640), (0o077, 0o600)):
        result = run(tool, ["list", "calm.uddf", "-o", f"out-{mask:o}"], folder, preexec_fn=lambda m=mask: os.umask(m))
        expect_end(result, 0)
        found = stat.S_IMODE((folder / f"out-{mask:o}").stat().st_mode)
        expect(found == mode, f"permissions {found:o}, expected {mode:o}")


def failed_run_leaves_no_file(tool, folder):
    for arguments, code in ((["debrief", "missing.uddf"], 3), (["debrief", "--dive", "9", "calm.uddf"], 2),
                            (["list", "--each", "empty.uddf"], 3)):
        expect_end(run(tool, [*arguments, "-o", "out.txt"], folder), code)
        expect(not (folder / "out.txt").exists(), f"{arguments} left a file")


def failed_run_leaves_the_old_file(tool, folder):
    out = folder / "out.txt"
    out.write_text(OLD)
    before = out.stat()
    for arguments, code in ((["debrief", "missing.uddf"], 3), (["debrief", "--dive", "9", "calm.uddf"], 2)):
        expect_end(run(tool, [*arguments, "-o", "out.txt"], folder), code)
    for arguments in (["debrief", "calm.uddf"], ["replay", "calm.uddf"], ["debrief", "--each", "calm.uddf"]):
        result = run(tool, [*arguments, "-o", "out.txt"], folder, preexec_fn=limit_file_size)
        expect_end(result, 4, "out.txt: cannot be written")
    expect(out.read_text() == OLD and out.stat().st_ino == before.st_ino, "the old file was touched")


def too_large_a_file_leaves_nothing(tool, folder):
    result = run(tool, ["replay", "calm.uddf", "-o", "out.csv"], folder, preexec_fn=limit_file_size)
    expect_end(result, 4, "out.csv: cannot be written: File too large")
    expect(not (folder / "out.csv").exists(), "a part of the output exists")


def good_run_replaces_and_keeps_permissions(tool, folder):
    out = folder / "out.txt"
    out.write_text(OLD)
    out.chmod(0o604)
    expect_end(run(tool, ["debrief", "calm.uddf", "-o", "out.txt"], folder), 0)
    expect(OLD not in out.read_text(), "the old content is still there")
    expect(stat.S_IMODE(out.stat().st_mode) == 0o604, "the permissions changed")


def links_are_followed(tool, folder):
    (folder / "folder" / "real.txt").write_text(OLD)
    (folder / "link").symlink_to("folder/real.txt")
    (folder / "link-to-link").symlink_to(folder / "link")
    (folder / "dangling").symlink_to("folder/new.txt")
    for link, real in (("link-to-link", "real.txt"), ("dangling", "new.txt")):
        expect_end(run(tool, ["list", "calm.uddf", "-o", link], folder), 0)
        expect((folder / link).is_symlink(), f"{link} is no link any more")
        expect("calm.uddf" in (folder / "folder" / real).read_text(), f"{real} does not hold the output")


def link_loop_is_refused(tool, folder):
    (folder / "loop").symlink_to("pool")
    (folder / "pool").symlink_to("loop")
    expect_end(run(tool, ["list", "calm.uddf", "-o", "loop"], folder), 4, "loop: cannot be written")


def folder_that_may_not_be_written(tool, folder):
    if os.geteuid() == 0:
        return "not run: the superuser may write everywhere"
    (folder / "folder").chmod(0o555)
    expect_end(run(tool, ["list", "calm.uddf", "-o", "folder/out.txt"], folder), 4, "folder/out.txt: cannot be written")
    (folder / "folder").chmod(0o755)
    (folder / "kept.txt").write_text(OLD)
    (folder / "kept.txt").chmod(0o444)
    expect_end(run(tool, ["list", "calm.uddf", "-o", "kept.txt"], folder), 4, "kept.txt: cannot be written")
    return None


def the_log_is_not_written_over(tool, folder):
    before = (folder / "calm.uddf").read_bytes()
    (folder / "same").symlink_to("calm.uddf")
    expect_end(run(tool, ["list", "calm.uddf", "-o", "same"], folder), 2, "is one of the logs")
    expect((folder / "calm.uddf").read_bytes() == before, "the log was touched")


def pipe_as_output(tool, folder):
    os.mkfifo(folder / "fifo")
    with subprocess.Popen(["timeout", "30", "cat", "fifo"], cwd=folder, stdout=subprocess.PIPE) as reader:
        expect_end(run(tool, ["list", "calm.uddf", "-o", "fifo"], folder), 0)
        expect(b"calm.uddf" in reader.stdout.read(), "nothing came through the pipe")
    expect((folder / "fifo").is_fifo(), "the pipe is none any more")


def waiting_tool(tool, folder, prepare):
    """With --each and one job the output is open while the tool waits for its last log on standard input."""
    child = subprocess.Popen([tool, "list", "--each", "--jobs", "1", "-o", "out.txt", *["calm.uddf"] * 4, "-"],
                             cwd=folder, env=ENVIRONMENT, stdin=subprocess.PIPE, preexec_fn=prepare)
    end = time.monotonic() + 30
    while not leftovers(folder) and time.monotonic() < end:
        time.sleep(0.01)
    return child


DEADLY = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT)


def deadly_without_core():
    """A shell lets what it runs in the background ignore some signals; here they count."""
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    for number in DEADLY:
        signal.signal(number, signal.SIG_DFL)


def signal_removes_the_temporary_file(tool, folder):
    for number in DEADLY:
        (folder / "out.txt").write_text(OLD)
        with waiting_tool(tool, folder, deadly_without_core) as child:
            opened = leftovers(folder)
            child.send_signal(number)
            code = child.wait(30)
        expect(opened, "the output was never opened")
        expect(code == -number, f"ended with {code}, not by {number.name}")
        expect(not leftovers(folder), f"{number.name} left {leftovers(folder)}")
        expect((folder / "out.txt").read_text() == OLD, "the old file was touched")


def ignored_signal_stays_ignored(tool, folder):
    with waiting_tool(tool, folder, lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN)) as child:
        child.send_signal(signal.SIGHUP)
        child.stdin.write((folder / "fast.uddf").read_bytes())
        child.stdin.close()
        code = child.wait(30)
    expect(code == 0 and (folder / "out.txt").exists(), f"exit code {code}")


# -- surroundings


def comma_locale_changes_nothing(tool, folder):
    environment = comma_locale(folder)
    if not environment:
        return "not run: no locale with a decimal comma can be made here"
    for arguments in (["debrief", "fast.uddf"], ["replay", "--tissues", "--gf", "30.5/80.5", "fast.uddf"],
                      ["debrief", "--format", "json", "--surface", "0.95", "fast.uddf"], ["list", "fast.uddf"]):
        plain, comma = run(tool, arguments, folder), run(tool, arguments, folder, environment=environment)
        expect_end(comma, 0)
        expect(plain.stdout == comma.stdout, f"{arguments}: the locale shows")
    return None


def on_terminal(tool, folder, arguments, columns, environment, stream="stdout"):
    """What the tool writes to a terminal of so many columns, by one of its streams."""
    leader, follower = pty.openpty()
    fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    streams = {"stdout": subprocess.DEVNULL if stream == "stderr" else None, stream: follower}
    with subprocess.Popen([tool, *arguments], cwd=folder, env={**ENVIRONMENT, **environment}, stdin=subprocess.DEVNULL,
                          **streams) as child:
        os.close(follower)
        written = b""
        while True:
            try:
                chunk = os.read(leader, 65536)
            except OSError:
                break
            if not chunk:
                break
            written += chunk
        child.wait(60)
    os.close(leader)
    return written.decode().replace("\r\n", "\n")


def widest(text):
    return max(len(line) for line in re.sub("\x1b\\[[0-9;]*m", "", text).splitlines())


def width_follows_the_terminal(tool, folder):
    arguments = ["debrief", "fast.uddf"]
    narrow = on_terminal(tool, folder, arguments, 60, {"TERM": "xterm"})
    wide = on_terminal(tool, folder, arguments, 120, {"TERM": "xterm"})
    expect(widest(narrow) <= 60, f"{widest(narrow)} columns on a terminal of 60")
    expect(60 < widest(wide) <= 120, f"{widest(wide)} columns on a terminal of 120")
    asked = run(tool, arguments, folder, environment={"COLUMNS": "60"}).stdout.decode()
    expect(widest(asked) <= 60, f"{widest(asked)} columns with COLUMNS=60")
    plain = run(tool, arguments, folder).stdout.decode()
    expect(60 < widest(plain) <= 80, f"{widest(plain)} columns without a terminal")


def what_is_read_shows_on_a_terminal(tool, folder):
    """A pipe that takes longer than a second beside a file of some megabytes; what is drawn is wiped away."""
    text = (folder / "calm.uddf").read_text()
    dive = re.search("<dive[ >].*?</dive>", text, re.DOTALL)[0]
    (folder / "long.uddf").write_text(text.replace(dive, (dive + "\n") * (3000000 // len(dive)), 1))
    os.mkfifo(folder / "slow.uddf")

    def write_slowly():
        with open(folder / "slow.uddf", "w", encoding="utf-8") as pipe:
            for part in (text[:500], text[500:]):
                pipe.write(part)
                pipe.flush()
                time.sleep(1.3)

    writer = threading.Thread(target=write_slowly)
    writer.start()
    slow = on_terminal(tool, folder, ["list", "slow.uddf", "long.uddf"], 80, {"TERM": "xterm"}, "stderr")
    writer.join()
    expect(re.fullmatch(r"(\r[#.]{32} [0-3] of [23] MB read)+\r\x1b\[K", slow), f"on a terminal: {slow!r}")
    quick = on_terminal(tool, folder, ["list", "long.uddf"], 80, {"TERM": "xterm"}, "stderr")
    expect(quick == "", f"drawn at once: {quick!r}")


def colour_only_on_a_terminal(tool, folder):
    arguments = ["debrief", "fast.uddf"]
    expect("\x1b[" in on_terminal(tool, folder, arguments, 80, {"TERM": "xterm"}), "no colour on a terminal")
    for environment in ({"TERM": "xterm", "NO_COLOR": "1"}, {"TERM": "dumb"}, {}):
        expect("\x1b" not in on_terminal(tool, folder, arguments, 80, environment), f"colour with {environment}")
    unasked = on_terminal(tool, folder, arguments, 80, {"TERM": "xterm", "NO_COLOR": ""})
    expect("\x1b[" in unasked, "an empty NO_COLOR counts")
    expect(b"\x1b" not in run(tool, arguments, folder, environment={"TERM": "xterm"}).stdout, "colour in a pipe")
    on_terminal(tool, folder, [*arguments, "-o", "out.txt"], 80, {"TERM": "xterm"})
    expect("\x1b" not in (folder / "out.txt").read_text(), "colour in a file")


def sentences_carry_no_control_characters(tool, folder):
    result = run(tool, ["debrief", "a\x1b[31m\nb\u009bc.uddf"], folder)
    expect_end(result, 3, "a?[31m?b??c.uddf: there is no such file")
    result = run(tool, ["debrief", b"a\xe2\x80\xaeb\x9bc.uddf"], folder)  # written from right to left; no UTF-8
    expect_end(result, 3, "a???b?c.uddf: there is no such file")


if __name__ == "__main__":
    sys.exit(run_scenarios(globals()))
