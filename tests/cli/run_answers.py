#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""That options and inputs reach the answer: run_answers.py TOOL."""
import csv
import io
import json
import shutil
import subprocess
import sys
import time

from workplace import expect, expect_end, run, run_scenarios


def answer(tool, folder, *arguments, **more):
    result = run(tool, arguments, folder, **more)
    expect_end(result, 0)
    return result.stdout


def debrief(tool, folder, *arguments, **more):
    return json.loads(answer(tool, folder, "debrief", "--format", "json", *arguments, **more))


# -- arguments


def options_stand_anywhere(tool, folder):
    first = answer(tool, folder, "debrief", "--gf", "30/85", "--dive", "1", "calm.uddf")
    for arguments in (["debrief", "calm.uddf", "--dive=1", "--gf=30/85"],
                      ["--dive", "1", "--gf=30/85", "debrief", "calm.uddf"],
                      ["--gf", "10/20", "debrief", "--dive", "1", "--gf", "30/85", "--", "calm.uddf"]):
        expect(answer(tool, folder, *arguments) == first, f"{arguments}: another answer")
    for arguments in (["-o", "out"], ["-oout"], ["--output", "out"], ["--output=out"]):
        answer(tool, folder, "debrief", "--gf", "30/85", *arguments, "--dive", "1", "calm.uddf")
        expect((folder / "out").read_bytes() == first, f"{arguments}: another answer")
        (folder / "out").unlink()


def settings_reach_the_answer(tool, folder):
    wanted = {"model": "zh-l16b", "gf_low": 30.5, "gf_high": 85, "water_kg_m3": 1030, "last_stop_m": 6,
              "narcotic_oxygen": False}
    settings = debrief(tool, folder, "calm.uddf", "--model", "zh-l16b", "--gf", "30.5/85", "--water", "sea",
                       "--last-stop", "6", "--narcotic-oxygen", "no")["settings"]
    for key, value in wanted.items():
        expect(settings[key] == value, f"settings.{key} is {settings[key]}, expected {value}")
    fresh = debrief(tool, folder, "calm.uddf", "--water", "fresh")["settings"]["water_kg_m3"]
    number = debrief(tool, folder, "calm.uddf", "--water", "1012.5")["settings"]["water_kg_m3"]
    expect((fresh, number) == (1000, 1012.5), f"water {fresh} and {number}, expected 1000 and 1012.5")


def surface_pressure_reaches_the_rows(tool, folder):
    rows = csv.DictReader(io.StringIO(answer(tool, folder, "replay", "--surface", "0.9", "calm.uddf").decode()))
    expect(float(next(rows)["ambient_bar"]) == 0.9, "the first row is not at the surface pressure given")


def columns_and_tissues(tool, folder):
    head = answer(tool, folder, "replay", "--columns", "time_s,depth_m,ceiling_m", "calm.uddf").split(b"\n")[0]
    expect(head in (b"time_s,depth_m,ceiling_m", b"dive,time_s,depth_m,ceiling_m"), f"header {head}")
    head = answer(tool, folder, "replay", "--tissues", "calm.uddf").decode().split("\n")[0].split(",")
    tissues = [f"{gas}_{number}_bar" for gas in ("n2", "he") for number in range(1, 17)]
    expect(head[-32:] == tissues and len(head) == 20 + 32, f"header {head}")


def names_and_units(tool, folder):
    expect(b"Solveig Rustad" in answer(tool, folder, "debrief", "calm.uddf"), "full names are the default")
    for names in ("initials", "letters"):
        shown = answer(tool, folder, "debrief", "--names", names, "calm.uddf")
        expect(b"Solveig" not in shown and b"Rustad" not in shown, f"--names {names} shows the name")
    metric = answer(tool, folder, "debrief", "--units", "metric", "calm.uddf")
    imperial = answer(tool, folder, "debrief", "--units", "imperial", "calm.uddf")
    expect(b"12.0 m" in metric and b" ft" in imperial and b"12.0 m" not in imperial, "--units changes nothing")


# -- which dives, whose


def numbers(tool, folder, *arguments):
    rows = csv.DictReader(io.StringIO(answer(tool, folder, "replay", *arguments, "three.uddf").decode()))
    return sorted({int(row["dive"]) for row in rows})


def forms_of_dive(tool, folder):
    for form, wanted in (("2", [2]), ("2-3", [2, 3]), ("1-1", [1]), ("all", [1, 2, 3]), ("2026-05-03", [1, 2]),
                         ("2026-05-04", [3])):
        found = numbers(tool, folder, "--dive", form)
        expect(found == wanted, f"--dive {form}: dives {found}, expected {wanted}")
    expect(numbers(tool, folder) == [1, 2, 3], "replay without --dive does not give all dives")


def debrief_takes_the_latest(tool, folder):
    dives = debrief(tool, folder, "three.uddf")["dives"]
    expect([dive["number"] for dive in dives] == [3], f"dives {dives}")


def dives_that_are_not_there(tool, folder):
    for form in ("4", "4-6", "2020-01-01"):
        result = run(tool, ["debrief", "--dive", form, "three.uddf"], folder)
        expect_end(result, 2, "leadline: ")
        expect(not result.stdout, f"--dive {form}: something on standard output")


def diver_keeps_one_owner(tool, folder):
    dives = debrief(tool, folder, "--dive", "all", "--diver", "Eirik Lunde", "calm.uddf", "other-owner.uddf")["dives"]
    expect([dive["file"] for dive in dives] == ["other-owner.uddf"], f"dives {dives}")


# -- inputs


def ways_in_agree(tool, folder):
    plain = answer(tool, folder, "replay", "calm.uddf")
    expect(answer(tool, folder, "replay", "calm.uddf.gz") == plain, "gzip: other rows")
    for name in ("calm.uddf", "calm.uddf.gz"):
        piped = answer(tool, folder, "replay", "-", input=(folder / name).read_bytes())
        expect(piped == plain, f"{name} piped: other rows")
    with subprocess.Popen(["timeout", "30", "sh", "-c", "mkfifo fifo && cat calm.uddf >fifo"], cwd=folder) as writer:
        while not (folder / "fifo").exists():
            time.sleep(0.01)
        expect(answer(tool, folder, "replay", "fifo") == plain, "a named pipe: other rows")
        expect(writer.wait(30) == 0, "the pipe was not read to its end")


# -- several logs


def jobs_change_nothing(tool, folder):
    logs = sorted(path.name for path in folder.glob("*.uddf")) + ["missing.uddf", "page.html", "calm.uddf.gz"]
    for arguments in (["debrief", "--dive", "all", "--format", "json"], ["debrief", "--each"], ["replay"],
                      ["list", "--each", "--format", "json"]):
        one = run(tool, [*arguments, *logs], folder)
        for jobs in ("2", "7", "256"):
            many = run(tool, [*arguments, "--jobs", jobs, *logs], folder)
            expect(many.stdout == one.stdout, f"{arguments}: other bytes with --jobs {jobs}")
            expect(many.stderr == one.stderr, f"{arguments}: other sentences with --jobs {jobs}")
            expect(many.returncode == one.returncode == 3, f"{arguments}: exit code {many.returncode}")


def each_is_a_line_a_log(tool, folder):
    logs = ["fast.uddf", "calm.uddf", "other-owner.uddf"] * 5
    for command in ("debrief", "list"):
        result = run(tool, [command, "--each", "--format", "json", *logs], folder)
        expect_end(result, 0)
        expect(result.stdout.endswith(b"\n"), "the last line has no end")
        lines = result.stdout.decode().splitlines()
        expect(len(lines) == len(logs), f"{len(lines)} lines for {len(logs)} logs")
        for name, line in zip(logs, lines):
            expect(name in json.dumps(json.loads(line)), f"no {name} in its line")


def each_equals_alone(tool, folder):
    alone = [run(tool, ["debrief", name], folder).stdout for name in ("fast.uddf", "calm.uddf")]
    each = run(tool, ["debrief", "--each", "fast.uddf", "calm.uddf"], folder).stdout
    expect(each == b"\n".join(alone), "--each does not give each log's own debrief")


def json_is_one_object(tool, folder):
    for command in ("debrief", "list", "replay"):
        result = run(tool, [command, "--format", "json", "calm.uddf", "fast.uddf"], folder)
        expect_end(result, 0)
        expect(isinstance(json.loads(result.stdout), dict), f"{command}: no object")


def paths_do_not_reach_outputs(tool, folder):
    (folder / "hidden").mkdir()
    shutil.copy(folder / "calm.uddf", folder / "hidden")
    for command in ("debrief", "list", "replay"):
        for form in ("json", "csv"):
            result = run(tool, [command, "--format", form, str(folder / "hidden" / "calm.uddf")], folder)
            expect_end(result, 0)
            expect(b"hidden" not in result.stdout, f"{command} {form} names the folder")


if __name__ == "__main__":
    sys.exit(run_scenarios(globals()))
