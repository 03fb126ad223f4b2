#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Outputs of every command and format that cannot be written, and texts that do harm where they are read: run_output.py TOOL.

Disks that are full, pipes whose reader goes, folders, signals; cells that a spreadsheet runs, characters that steer a
terminal. What holds for one command alone stands in run_files.py."""
import contextlib
import csv
import ctypes
import fcntl
import os
import pathlib
import pwd
import re
import resource
import shutil
import signal
import subprocess
import sys
import time

from everything import PAGE, every_output
from workplace import (CALM, ENVIRONMENT, MORNING, expect, expect_end, expect_no_reader, leftovers, log, run,
                       run_scenarios)

OLD = b"what was there before\n"


def words(arguments):
    return " ".join(arguments[:1] + arguments[-2:])


def keep_old(path, mode=0o644):
    """Writes an old file; what it returns says, when called, whether that is untouched."""
    path.write_bytes(OLD)
    path.chmod(mode)
    before = path.stat()

    def check(what):
        after = path.stat()
        same = (before.st_ino, before.st_mtime_ns, before.st_mode) == (after.st_ino, after.st_mtime_ns, after.st_mode)
        expect(same and path.read_bytes() == OLD, f"{what}: the old file was touched")
    return check


# -- disks


CLONE_NEWUSER, CLONE_NEWNS, MS_PRIVATE, MS_REC = 0x10000000, 0x00020000, 1 << 18, 1 << 14


def mount_apart():
    """From here on this process has mounts of its own, which go when it goes. False where that is not allowed."""
    libc = ctypes.CDLL(None, use_errno=True)
    user, group = os.geteuid(), os.getegid()
    if libc.unshare(CLONE_NEWNS) != 0:
        if libc.unshare(CLONE_NEWNS | CLONE_NEWUSER) != 0:
            return False
        for name, text in (("setgroups", "deny"), ("uid_map", f"0 {user} 1"), ("gid_map", f"0 {group} 1")):
            with open(f"/proc/self/{name}", "w", encoding="ascii") as file:
                file.write(text)
    return libc.mount(b"none", b"/", None, MS_PRIVATE | MS_REC, None) == 0


@contextlib.contextmanager
def disk(folder, options):
    """A small disk in the folder; yields where it is. The process must have mounts of its own."""
    place = folder / "disk"
    place.mkdir(exist_ok=True)
    libc = ctypes.CDLL(None, use_errno=True)
    if libc.mount(b"tmpfs", bytes(place), b"tmpfs", 0, options.encode()) != 0:
        raise OSError(ctypes.get_errno(), "tmpfs")
    try:
        yield place
    finally:
        libc.umount2(bytes(place), 0)


def fill(place, left):
    """Leaves so many bytes."""
    with contextlib.suppress(OSError), open(place / "filler", "wb", buffering=0) as file:
        while file.write(bytes(4096)):
            pass
    size = (place / "filler").stat().st_size
    os.truncate(place / "filler", size - left)


def in_a_process_apart(scenario, *arguments):
    """Runs scenario(...) in a child process, where it may change mounts; what it returned, or raises what it raised."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        said = "the scenario ended early"
        try:
            said = scenario(*arguments) or ""
        except BaseException as wrong:  # whatever it is, it is told below
            said = f"!{type(wrong).__name__}: {wrong}"
        os.write(writer, said.encode()[:60000])
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, "rb") as pipe:
        said = pipe.read().decode()
    os.waitpid(child, 0)
    if said.startswith("!"):
        raise AssertionError(said[1:])
    return said


def fill_disks(tool, folder, lefts):
    if not mount_apart():
        return "not run: no disk may be mounted here"
    for left in lefts:
        for arguments in every_output():
            with disk(folder, "size=64k,mode=777") as place:
                untouched = keep_old(place / "old")
                fill(place, left)
                for name in ("old", "new"):
                    result = run(tool, [*arguments, "-o", f"disk/{name}"], folder)
                    fits = left and result.returncode == 0 and (place / name).stat().st_size <= left
                    if fits:
                        break
                    what = f"{words(arguments)}, {left} bytes left"
                    expect_end(result, 4, f"disk/{name}: cannot be written: No space left on device")
                    expect(sorted(os.listdir(place)) == ["filler", "old"], f"{what}: {os.listdir(place)}")
                    untouched(what)
    return None


def full_disk(tool, folder):
    """Nothing more, or one page of it, fits on the disk."""
    expect_end(run(tool, PAGE, folder), 0)
    return in_a_process_apart(fill_disks, tool, folder, (0, 4096))


def take_all_names(tool, folder, options):
    if not mount_apart():
        return "not run: no disk may be mounted here"
    with disk(folder, options) as place:
        untouched = keep_old(place / "old")
        for arguments in every_output():
            expect_end(run(tool, [*arguments, "-o", "disk/old"], folder), 4, "disk/old: cannot be written: No space")
            untouched(words(arguments))
    return None


def disk_that_takes_no_more_files(tool, folder):
    expect_end(run(tool, PAGE, folder), 0)
    return in_a_process_apart(take_all_names, tool, folder, "size=64k,nr_inodes=2,mode=777")


def full_device(tool, folder):
    """With a file that is a device, and as standard output."""
    expect_end(run(tool, PAGE, folder), 0)
    for arguments in every_output():
        with open("/dev/full", "wb") as full:
            expect_end(run(tool, arguments, folder, stdout=full), 4, "standard output: cannot be written: No space")
        expect_end(run(tool, [*arguments, "-o", "/dev/full"], folder), 4, "/dev/full: cannot be written: No space")


def limited(bytes_most, disposition):
    def prepare():
        signal.signal(signal.SIGXFSZ, disposition)
        resource.setrlimit(resource.RLIMIT_FSIZE, (bytes_most, bytes_most))
    return prepare


def file_that_may_not_grow(tool, folder):
    """Whether the caller ignores the signal that comes with it or not."""
    expect_end(run(tool, PAGE, folder), 0)
    untouched = keep_old(folder / "old")
    for disposition in (signal.SIG_DFL, signal.SIG_IGN):
        for arguments in every_output():
            for name in ("old", "new"):
                result = run(tool, [*arguments, "-o", name], folder, preexec_fn=limited(50, disposition),
                             restore_signals=False)
                expect_end(result, 4, f"{name}: cannot be written: File too large")
                expect(not (folder / "new").exists() and not leftovers(folder), f"{words(arguments)} left a file")
            untouched(words(arguments))


# -- pipes


def reader_gone(tool, folder):
    """Before the first byte."""
    expect_end(run(tool, PAGE, folder), 0)
    for arguments in every_output():
        expect_no_reader(tool, folder, arguments)


def reader_takes_one_byte(tool, folder):
    """The rest does not fit in the pipe, so that the tool is still writing when its reader goes."""
    expect_end(run(tool, PAGE, folder), 0)
    seen = 0
    for arguments in every_output():
        whole = len(run(tool, arguments, folder).stdout)
        reader, writer = os.pipe()
        if whole <= fcntl.fcntl(writer, fcntl.F_SETPIPE_SZ, 4096) + 1:
            os.close(reader), os.close(writer)
            continue
        with subprocess.Popen([tool, *arguments], cwd=folder, env=ENVIRONMENT, stdout=writer,
                              stderr=subprocess.PIPE) as child:
            os.close(writer)
            first = os.read(reader, 1)
            os.close(reader)
            said = child.stderr.read().decode()
            code = child.wait(60)
        expect(len(first) == 1 and code == 4 and "standard output: cannot be written: Broken pipe" in said,
               f"{words(arguments)}: {first}, exit code {code}, {said}")
        seen += 1
    expect(seen >= 8, f"only {seen} outputs are larger than a pipe")


def named_pipe_whose_reader_goes(tool, folder):
    expect_end(run(tool, PAGE, folder), 0)
    os.mkfifo(folder / "fifo")
    arguments = next(every for every in every_output() if every[0] == "review" and every[-1] == "html")
    with subprocess.Popen(["head", "-c", "1", "fifo"], cwd=folder, stdout=subprocess.DEVNULL):
        expect_end(run(tool, [*arguments, "-o", "fifo"], folder), 4, "fifo: cannot be written: Broken pipe")
    expect((folder / "fifo").is_fifo(), "the pipe is none any more")


# -- folders and rights


def no_file_can_be_there(tool, folder):
    expect_end(run(tool, PAGE, folder), 0)
    (folder / "inner").mkdir()
    for arguments in every_output():
        for name, reason in (("inner", "Is a directory"), ("inner/", "Is a directory"), (".", "Is a directory"),
                             ("missing/out", "No such file or directory"), ("missing/", "No such file or directory"),
                             ("calm.uddf/out", "Not a directory"),
                             ("x" * 300, "File name too long")):
            expect_end(run(tool, [*arguments, "-o", name], folder), 4, f"{name}: cannot be written: {reason}")
    expect(not list((folder / "inner").iterdir()) and not (folder / "missing").exists(), "something was made")


def somebody_else(tool, folder, name="nobody"):
    """A copy of the tool and what to call before it, so that it runs without rights; or None."""
    if os.geteuid() != 0:
        return tool, None
    try:
        other = pwd.getpwnam(name)
    except KeyError:
        return None
    (folder / "tool").mkdir()
    for library in pathlib.Path(tool).parent.glob("libleadline.so*"):
        if library.is_file():
            shutil.copy(library, folder / "tool")
    copy = shutil.copy(tool, folder / "tool")
    os.chmod(folder, 0o755)

    def become():
        os.setgroups([])
        os.setgid(other.pw_gid)
        os.setuid(other.pw_uid)
    try:
        works = run(copy, ["--version"], folder, preexec_fn=become).returncode == 0
    except (OSError, subprocess.SubprocessError):
        works = False
    return (copy, become) if works else None


def without_rights(tool, folder):
    expect_end(run(tool, PAGE, folder), 0)
    able = somebody_else(tool, folder)
    if not able:
        return "not run: nobody else can be made to run the tool here"
    copy, become = able
    (folder / "locked").mkdir(mode=0o755)
    untouched = keep_old(folder / "locked" / "kept")
    (folder / "locked").chmod(0o555)
    (folder / "open").mkdir()
    (folder / "open").chmod(0o777)
    read_only = keep_old(folder / "open" / "kept", 0o444)
    for arguments in every_output():
        for name in ("locked/new", "locked/kept", "open/kept"):
            expect_end(run(copy, [*arguments, "-o", name], folder, preexec_fn=become), 4,
                       f"{name}: cannot be written: Permission denied")
        untouched(words(arguments))
        read_only(words(arguments))
        expect(sorted(os.listdir(folder / "open")) == ["kept"], f"{os.listdir(folder / 'open')}")
    (folder / "locked").chmod(0o755)
    return None


# -- signals


SIGNALS = (signal.SIGTERM, signal.SIGINT, signal.SIGHUP)


def long_log(folder):
    """A dive of a sample a second, whose replay takes a while to write."""
    points = [(second, 20 + second % 7) for second in range(1, 7000)]
    (folder / "long.uddf").write_text(log((MORNING, [(0, 0), *points, (7300, 0)])), encoding="utf-8")


def wait_for(child, condition):
    end = time.monotonic() + 60
    while not condition() and child.poll() is None and time.monotonic() < end:
        time.sleep(0.0005)


def end_while_writing(tool, folder, number, delay_s):
    """Sends the signal so long after the output was begun. What became of it: b"old", b"new"."""
    child = subprocess.Popen([tool, "replay", "--tissues", "--jobs", "2", "long.uddf", "-o", "out.csv"], cwd=folder,
                             env=ENVIRONMENT)
    wait_for(child, lambda: leftovers(folder))
    time.sleep(delay_s)
    child.send_signal(number)
    return child.wait(60)


def signals_while_writing(tool, folder):
    """At many moments: the old file or the new one, nothing else, and death by that signal unless all was done."""
    long_log(folder)
    whole = run(tool, ["replay", "--tissues", "long.uddf"], folder).stdout
    begun = time.monotonic()
    expect_end(run(tool, ["replay", "--tissues", "long.uddf", "-o", "out.csv"], folder), 0)
    took_s = time.monotonic() - begun
    killed = 0
    for number in SIGNALS:
        for step in range(8):
            (folder / "out.csv").write_bytes(OLD)
            code = end_while_writing(tool, folder, number, took_s * step / 8)
            left = (folder / "out.csv").read_bytes()
            expect(not leftovers(folder), f"{number.name}, step {step}: left {leftovers(folder)}")
            expect(code in (0, -number), f"{number.name}, step {step}: ended with {code}")
            expect(left in (OLD, whole), f"{number.name}, step {step}: {len(left)} bytes are neither old nor new")
            expect(left == whole or code != 0, f"{number.name}, step {step}: exit code 0 and the old file")
            killed += left == OLD
    expect(killed >= 3, f"only {killed} runs were cut short")


def signals_while_reading(tool, folder):
    """Every command, while it waits for an input that is a pipe."""
    expect_end(run(tool, PAGE, folder), 0)
    os.mkfifo(folder / "pipe")
    untouched = keep_old(folder / "out")
    for arguments in every_output():
        for number in SIGNALS:
            child = subprocess.Popen([tool, *arguments, "-o", "out", "pipe"], cwd=folder, env=ENVIRONMENT)
            with open(folder / "pipe", "wb"):  # returns once the tool has opened the other end
                child.send_signal(number)
                code = child.wait(60)
            expect(code == -number, f"{words(arguments)}: {number.name}: ended with {code}")
            expect(not leftovers(folder), f"{words(arguments)}: {number.name} left {leftovers(folder)}")
            untouched(words(arguments))


# -- cells that a spreadsheet runs


FORMULAS = ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "=cmd|'/C calc'!A1", '="a",1']
NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?(e[+-]?[0-9]+)?$")


def hostile_log(text, start=MORNING):
    """Puts the text wherever a log has words: owner, site, writer, mixes, ids, what a recorder says."""
    whole = log((start, [(0, 0), (300, 30), (900, 30), (1000, 10), (1900, 0)]), owner=(text, text))
    whole = whole.replace("<name>Skiferholt</name>", f"<name>{text}</name>")
    whole = whole.replace('<mix id="air"><name>air</name>', f'<mix id="{text}"><name>{text}</name>')
    whole = whole.replace("<gasdefinitions>", f'<divesite><site id="s{text}"><name>{text}</name></site></divesite>'
                          "<gasdefinitions>")
    whole = whole.replace("<informationbeforedive>", f'<informationbeforedive><link ref="s{text}"/>'
                          f'<link ref="no{text}"/><altitude>{text}</altitude><surfacepressure>{text}</surfacepressure>')
    whole = whole.replace("<depth>0</depth>", f'<depth>0</depth><switchmix ref="{text}"/>', 1)
    whole = whole.replace("<depth>10</depth>", f'<depth>10</depth><switchmix ref="{text}9"/><divemode type="{text}"/>'
                          f"<alarm>{text}</alarm><temperature>{text}</temperature>", 1)
    whole = whole.replace("<depth>30</depth>", f'<depth>30</depth><tankpressure ref="{text}">2e7</tankpressure>', 1)
    return whole.replace("<waypoint>", f"<waypoint><nodecotime>{text}</nodecotime><gradientfactor>{text}</gradientfactor>"
                         f"<decostop kind=\"{text}\" decodepth=\"{text}\" duration=\"{text}\"/>", 1)


STANDARD = """<standard xmlns="urn:leadline:standard:1" name="{0}"><limits><limit of="depth" unit="m" caution="20"/></limits>
<entry><requirement id="{1}" least="3">{0}</requirement></entry></standard>
"""


def attribute(text):
    return text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")


def run_everything(tool, folder, names, divers, formats):
    """Every command on these logs, in these formats, under odd.xml: arguments and result."""
    for command, more in (("debrief", ["--dive", "all", *names]), ("audit", ["--as-of", "2026-11-25", *names]),
                          ("replay", names), ("list", names), ("list", ["--dive", "1", *names]),
                          ("review", ["--plan", "plan.txt", *divers]), ("review", divers)):
        for name in formats:
            if (command, name) in (("replay", "text"), ("replay", "html"), ("list", "html")):
                continue
            arguments = [command, "--standard", "odd.xml", *more, "--format", name]
            yield arguments, run(tool, arguments, folder)


PLAN = "0 0 air\n5 30\n15 30\n32 0\nvariant {}\n0 0 air\n5 30\n15 30\n32 0\n"


def cells_are_no_formulas(tool, folder):
    seen = set()
    for text in FORMULAS:
        names = [f"{text.replace('/', '_')}.uddf", "second.uddf"]
        for day, name in enumerate(names):
            start = f"2026-05-0{day + 3}T09:00:00"
            (folder / name).write_text(hostile_log(attribute(text), start), encoding="utf-8")
        (folder / "plan.txt").write_text(PLAN.format(text), encoding="utf-8")
        (folder / "odd.xml").write_text(STANDARD.format(attribute(text), "logged"), encoding="utf-8")
        shutil.copy(folder / names[0], folder / "@first.uddf")
        divers = ["Ylva=./@first.uddf", "second.uddf", "@Idun=second.uddf"]
        given = [f"./{name}" for name in names]
        for arguments, result in run_everything(tool, folder, given, divers, ["csv"]):
            expect_end(result, 0)
            for row in csv.reader(result.stdout.decode().splitlines()):
                for cell in row:
                    harmless = not cell or cell[0] not in "=+-@\t\r" or NUMBER.match(cell)
                    expect(harmless, f"{arguments}: the cell {cell!r}")
                    if cell.startswith("'"):
                        seen.add((arguments[0], text))
    expect({command for command, _ in seen} == {"audit", "list", "review"}, f"{seen}")
    expect({text for _, text in seen} == set(FORMULAS), f"{seen}")


# -- characters that steer a terminal


# C1 controls, changes of direction, separators of lines and paragraphs, a mark of byte order: what XML lets through.
STEERING = ["\x7f", "\x80", "\x84", "\x85", "\x8d", "\x90", "\x9b", "\x9b31m", "\x9d0;t\x9c", "\x9f", "\u061c", "\u200e",
            "\u200f", "\u202a", "\u202b", "\u202d", "\u202e", "\u2066", "\u2067", "\u2068", "\u2069", "\u2028", "\u2029",
            "\ufeff"]
# And what it does not let through.
RAW = ["\x1b[31m", "\x1b]0;t\x07", "\x07", "\x08", "\r", "\x0e", "\x01"]
STEERS = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]")


# On a page the figures are also there as JSON, for machines.
JSON = re.compile(rb"<script type=\"application/json\".*?</script>", re.DOTALL)


def expect_calm(what, output):
    text = output.decode("utf-8")  # and not an exception
    found = STEERS.search(text)
    expect(not found, f"{what}: {found and text[max(0, found.start() - 40):found.end() + 20]!r}")


def texts_of_a_log(tool, folder):
    """In the text and the page of every command, and in every sentence."""
    mixed = "".join(f"q{character}" for character in STEERING)
    for text in (mixed, *STEERING):
        for number, name in enumerate(("one.uddf", "two.uddf")):
            start = f"2026-05-0{number + 3}T09:00:00"
            (folder / name).write_text(hostile_log(f"Ylva{text}.", start), encoding="utf-8")
        (folder / "plan.txt").write_text(PLAN.format("deeper"), encoding="utf-8")
        (folder / "odd.xml").write_text(STANDARD.format(f"First{text}.", "logged"), encoding="utf-8")
        formats = ["text", "json", "csv", "html"] if text == mixed else ["text"]
        for arguments, result in run_everything(tool, folder, ["one.uddf", "two.uddf"], ["one.uddf", "two.uddf"], formats):
            expect_end(result, 0)
            expect_calm(f"{arguments}, {text!r}, standard error", result.stderr)
            if arguments[-1] in ("text", "html"):
                expect_calm(f"{arguments}, {text!r}", JSON.sub(b"", result.stdout))
                shown = b"Ylva" in result.stdout or b"First" in result.stdout
                expect(shown or arguments[0] == "list", f"{arguments} shows none of it")


def lines_of_a_log(tool, folder):
    """A text with line breaks cannot add a line: what is written is what blanks in their place would give."""
    said = []
    for text in ("Ylva&#10;&#13;Rud", "Ylva  Rud"):
        (folder / "one.uddf").write_text(log((MORNING, CALM), owner=(text, "Dal")).replace("Skiferholt", text),
                                         encoding="utf-8")
        (folder / "odd.xml").write_text(STANDARD.format(text, "logged"), encoding="utf-8")
        said.append([])
        for arguments, result in run_everything(tool, folder, ["one.uddf"], ["one.uddf"], ["text"]):
            if "--plan" not in arguments:
                expect_end(result, 0)
                said[-1].append(re.sub(rb"[0-9a-f]{64}", b"SHA", result.stdout))
    for one, other in zip(*said):
        differ = [pair for pair in zip(one.decode().splitlines(), other.decode().splitlines()) if pair[0] != pair[1]]
        expect(one == other, f"{differ[:1]}")


def texts_of_a_plan(tool, folder):
    """A variant's name stands in the review; what is refused is quoted in a sentence."""
    arguments = ["review", "--plan", "plan.txt", "calm.uddf"]
    for text in STEERING + RAW:
        for plan in (PLAN.format(f"deep{text}er"), f"0 0 air\n5 3{text}0\n", f"0 0 a{text}ir\n", f"vari{text}ant\n"):
            (folder / "plan.txt").write_bytes(plan.encode())
            result = run(tool, arguments, folder)
            expect(result.returncode in (0, 3), f"{text!r}: {result}")
            expect_calm(f"{plan!r}", result.stdout)
            expect_calm(f"{plan!r}", result.stderr)


def sentences_about_inputs(tool, folder):
    """Logs and standards that are refused, with such characters where the sentence may quote them."""
    for text in STEERING + RAW:
        for broken in (f"<uddf><q{text}></uddf>", f"<q{text}/>", f"<uddf{text} version='3.2.0'/>", f"{text}",
                       f"<uddf version='{text}'><a></b{text}></uddf>", f"<uddf>&q{text};</uddf>", f"<!DOCTYPE q{text}>",
                       f"<?xml version='1.0' encoding='q{text}'?><uddf/>", f"<standard name='{text}'/>",
                       f"<standard xmlns='urn:leadline:standard:1' name='n'><limits><limit of='q{text}'/></limits></standard>",
                       f"<standard xmlns='urn:leadline:standard:1' name='n' q='{text}'/>",
                       f"<standard xmlns='urn:leadline:standard:1' name='n'>{text}q</standard>",
                       STANDARD.format("n", f"q{text}") + "<q/>"):
            (folder / "broken").write_bytes(broken.encode())
            for arguments in (["list", "broken"], ["audit", "--standard", "broken", "calm.uddf"]):
                result = run(tool, arguments, folder)
                expect(result.returncode in (0, 3), f"{text!r}: {result}")
                expect_calm(f"{arguments[0]} {broken!r}", result.stderr)
                expect_calm(f"{arguments[0]} {broken!r}", result.stdout)


def sentences_about_arguments(tool, folder):
    """Names of files, values and options as they were typed; and bytes that are no UTF-8."""
    for text in [*(one.encode() for one in STEERING + RAW), b"\x9b31m", b"\xff", b"\xe2\x80", b"\xc2", b"a\nb"]:
        name = b"q" + text + b"q"
        for arguments in ([b"list", name], [b"list", b"calm.uddf", b"-o", b"missing/" + name], [name],
                          [b"list", b"--" + name], [b"list", b"-" + text], [b"debrief", b"--gf", name, b"calm.uddf"],
                          [b"audit", b"--standard", name, b"calm.uddf"], [b"list", b"--diver", name, b"calm.uddf"],
                          [b"review", b"--plan", name, b"calm.uddf"], [b"review", b"--lead", name, b"calm.uddf"],
                          [b"replay", b"--columns", name, b"calm.uddf"], [b"verify", name, name],
                          [b"review", name + b"=" + name], [b"list", b"--dive", name, b"calm.uddf"]):
            result = run(tool, arguments, folder)
            expect(result.returncode in (2, 3, 4), f"{arguments}: {result}")
            lines = result.stderr.decode("utf-8").splitlines()
            expect(lines and all(line.startswith("leadline: ") for line in lines), f"{arguments}: {lines}")
            expect_calm(f"{arguments}", result.stderr)
            expect_calm(f"{arguments}", result.stdout)


def names_of_files_and_divers(tool, folder):
    """Where a log can be used, its name and that of its diver stand in the text."""
    (folder / "plan.txt").write_text(PLAN.format("deeper"), encoding="utf-8")
    for text in STEERING + RAW + ["a\nb"]:
        name = f"q{text.replace('/', '_')}.uddf"
        shutil.copy(folder / "fast.uddf", folder / name)
        for arguments in (["list", name], ["list", "--each", name, "calm.uddf"], ["debrief", name], ["review", name],
                          ["audit", "--standard", "standard-in-house.xml", name], ["review", f"Eli{text}={name}", name],
                          ["review", "--extract", f"Eli{text}", f"Eli{text}={name}", "calm.uddf"]):
            result = run(tool, arguments, folder)
            expect_end(result, 0)
            expect_calm(f"{arguments}", result.stdout)
            expect_calm(f"{arguments}", result.stderr)


def texts_of_a_page(tool, folder):
    """What a page says of itself, where `verify` repeats it."""
    expect_end(run(tool, ["debrief", "--format", "html", "-o", "page.html", "calm.uddf"], folder), 0)
    page = (folder / "page.html").read_text(encoding="utf-8")
    seen = 0
    for written in ("\\u001b[31m", "\\u009b31m", "\\u202e", "\u202e", "\x9b31m", "\\n\\r", "\\u0007", "\\u2028", "\\u007f"):
        for old, new in (('"Skiferholt"', f'"q{written}q"'), ("Solveig", f"q{written}q"), ("calm.uddf", f"q{written}q"),
                         ('"name":"air"', f'"name":"q{written}"'), ('"version":"', f'"version":"q{written}'),
                         ('"label":"', f'"label":"q{written}'), ('"sha256":"', f'"sha256":"q{written}'),
                         ('"text":"', f'"text":"q{written}'), ('"severity":"', f'"severity":"q{written}'),
                         ('"schema":"', f'"schema":"q{written}'), ('"dives":[{"', f'"dives":[{{"q{written}":1,"'),
                         ('"code":"', f'"code":"q{written}'), ('"model":"', f'"model":"q{written}'),
                         ('"source":"', f'"source":"q{written}'), ('"from":"', f'"from":"q{written}')):
            if old not in page:
                continue
            (folder / "changed.html").write_text(page.replace(old, new), encoding="utf-8")
            for name in ("text", "json"):
                result = run(tool, ["verify", "--format", name, "changed.html", "calm.uddf"], folder)
                expect(result.returncode in (0, 1, 3), f"{old} {written}: {result}")
                expect_calm(f"{old} {written!r}, standard error", result.stderr)
                if name == "text":
                    expect_calm(f"{old} {written!r}", result.stdout)
                seen += b"q" in result.stdout + result.stderr
    expect(seen > 50, f"only {seen} texts came back")


if __name__ == "__main__":
    sys.exit(run_scenarios(globals()))
