#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Pages and their logs: run_verify.py TOOL."""
import base64
import json
import re
import shutil

from workplace import expect, expect_end, run, run_scenarios

FIGURES = re.compile(rb'(<script type="application/json" id="figures">)(.*?)(</script>)', re.S)
SAMPLES = re.compile(rb'(<script type="application/json" class="samples">)(.*?)(</script>)', re.S)
LOG = "ok-deep-kept.uddf"


def make(tool, folder, *arguments, name="made.html"):
    expect_end(run(tool, ["debrief", "--format", "html", "-o", name, *arguments], folder), 0)
    return folder / name


def verify(tool, folder, page, *logs, code=0):
    """The answer as JSON; the text must end the same way."""
    told = run(tool, ["verify", page.name, *logs], folder)
    expect_end(told, code)
    result = run(tool, ["verify", "--format", "json", page.name, *logs], folder)
    expect_end(result, code)
    answer = json.loads(result.stdout)
    answer["told"] = " ".join(told.stdout.decode().split())
    return answer


def refused(tool, folder, page, *logs):
    result = run(tool, ["verify", page.name, *logs], folder)
    expect(result.returncode == 3 and not result.stdout, f"exit code {result.returncode}, expected 3")
    lines = result.stderr.decode().splitlines()
    expect(len(lines) == 1, f"expected one sentence, got {lines}")
    return lines[0]


def figures_of(page):
    return json.loads(FIGURES.search(page.read_bytes()).group(2))


def put_figures(page, figures):
    text = json.dumps(figures, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c").encode()
    page.write_bytes(FIGURES.sub(lambda match: match[1] + text + match[3], page.read_bytes()))


def paths(answer):
    return [difference["path"] for difference in answer["differences"]]


# -- pages that hold


def holds(tool, folder, page, *logs):
    answer = verify(tool, folder, page, *logs)
    expect(answer["belongs"] is True and answer["same"] is True and answer["byte_for_byte"] is True,
           f"{logs}: {answer['told']}")
    expect(answer["compared"]["differing"] == 0 and answer["differences"] == [], f"{logs}: {answer['differences']}")
    expect(answer["compared"]["figures"] > 100, f"{logs}: only {answer['compared']} were compared")
    return answer


def a_page_of_each_kind_holds(tool, folder):
    for arguments in ([LOG], ["--gf", "30/85", "--firm", "no", LOG], ["--model", "zh-l16a", "--water", "sea", LOG],
                      ["--gf", "log", "--water", "log", "--last-stop", "6", LOG],
                      ["--surface", "0.987", "--rmv", "22.5", "--narcotic-oxygen", "no", LOG],
                      ["--gf", "33.3/66.7", "--water", "1012.345", LOG],
                      ["--assume-air", "note-undefined-mix.uddf"], ["note-undefined-mix.uddf"],
                      ["--names", "letters", "--units", "imperial", "ok-loop.uddf"],
                      ["--names", "initials", "calm.uddf"],
                      ["--standard", "standard-in-house.xml", LOG],
                      ["--standard", "standard-first-helium.xml", "--gf", "40/70", LOG],
                      ["--dive", "2", "ok-three-dives.uddf"], ["--dive", "1-2", "ok-three-dives.uddf"],
                      ["--dive", "all", "ok-three-dives.uddf"], ["--dive", "2026-05-04", "three.uddf"],
                      ["note-ends-below.uddf"]):
        holds(tool, folder, make(tool, folder, *arguments), arguments[-1])


def further_models_hold(tool, folder):
    for model in ("vval-18", "mn90"):
        if run(tool, ["list", "--model", model, "ok-air-45.uddf"], folder).returncode == 0:
            holds(tool, folder, make(tool, folder, "--model", model, "ok-air-45.uddf"), "ok-air-45.uddf")


def samples_are_compared(tool, folder):
    answer = holds(tool, folder, make(tool, folder, LOG), LOG)
    expect(answer["compared"]["samples"] > 1000, f"{answer['compared']['samples']} samples were compared")


def several_logs_in_any_order(tool, folder):
    logs = ["three.uddf", "calm.uddf.gz", "fast.uddf"]
    page = make(tool, folder, "--dive", "all", *logs)
    holds(tool, folder, page, *logs)
    holds(tool, folder, page, *reversed(logs))


def only_the_logs_of_one_diver(tool, folder):
    page = make(tool, folder, "--diver", "Solveig Rustad", "--dive", "all", "calm.uddf", "other-owner.uddf")
    holds(tool, folder, page, "calm.uddf")
    expect(verify(tool, folder, page, "calm.uddf", "other-owner.uddf", code=1)["belongs"] is False,
           "a log that the page does not name belongs to it")


def a_renamed_log_belongs(tool, folder):
    page = make(tool, folder, LOG)
    shutil.copy(folder / LOG, folder / "other name.uddf")
    answer = holds(tool, folder, page, "other name.uddf")
    expect(answer["inputs"][0]["name_on_page"] == LOG, f"{answer['inputs']}")
    expect(f"on the page its name is {LOG}" in answer["told"], answer["told"])


def a_log_given_twice(tool, folder):
    page = make(tool, folder, "--dive", "all", "calm.uddf", "two words.uddf")
    holds(tool, folder, page, "two words.uddf", "calm.uddf")


def a_page_from_elsewhere(tool, folder):
    page = make(tool, folder, LOG)
    with open(page, "rb") as file:
        expect_end(run(tool, ["verify", "-", LOG], folder, stdin=file), 0)


def remarks_change_nothing_but_the_bytes(tool, folder):
    page = make(tool, folder, LOG)
    text = page.read_bytes()
    expect(b"</textarea>" in text, "the page has no room for remarks")
    page.write_bytes(text.replace(b"</textarea>", b"kept well &lt;3</textarea>"))
    answer = verify(tool, folder, page, LOG)
    expect(answer["belongs"] and answer["same"] and not answer["byte_for_byte"], answer["told"])
    expect("not its words and pictures." in answer["told"] and "byte for byte" not in answer["told"], answer["told"])


# -- pages that do not


def another_log(tool, folder):
    page = make(tool, folder, LOG)
    answer = verify(tool, folder, page, "calm.uddf", code=1)
    expect(answer["belongs"] is False and answer["same"] is None, f"{answer}")
    expect([log["name"] for log in answer["not_given"]] == [LOG], f"{answer['not_given']}")
    expect(re.search(r"does not belong to this log: the page names SHA-256 [0-9a-f]{64}, this log has [0-9a-f]{64}\.",
                     answer["told"]), answer["told"])
    expect(verify(tool, folder, page, LOG, "calm.uddf", code=1)["inputs"][1]["named"] is False, "calm.uddf is named")
    page = make(tool, folder, "--dive", "all", LOG, "calm.uddf")
    expect("calm.uddf" in verify(tool, folder, page, LOG, code=1)["told"], "what was not given is not told")


def a_changed_byte_of_the_log(tool, folder):
    page = make(tool, folder, "calm.uddf")
    log = folder / "calm.uddf"
    log.write_bytes(log.read_bytes().replace(b"<depth>12</depth>", b"<depth>13</depth>", 1))
    expect(verify(tool, folder, page, "calm.uddf", code=1)["belongs"] is False, "a changed log belongs to the page")


def differs(tool, folder, change, *expected):
    """The page with changed figures; the paths that are told."""
    page = make(tool, folder, LOG)
    figures = figures_of(page)
    change(figures)
    put_figures(page, figures)
    answer = verify(tool, folder, page, LOG, code=1)
    expect(answer["belongs"] is True and answer["same"] is False and not answer["byte_for_byte"], answer["told"])
    expect(paths(answer)[:len(expected)] == list(expected), f"{paths(answer)}, expected {expected}")
    for path in paths(answer):
        expect(" ".join(path.split()) in answer["told"], f"{path} is not told")
    return answer


def a_changed_figure(tool, folder):
    def change(figures):
        figures["dives"][0]["surfacing"]["gradient_percent"] *= 1 + 1e-8
    answer = differs(tool, folder, change, "dive 1, surfacing.gradient_percent")
    expect(answer["compared"]["differing"] == 1, f"{answer['compared']}")
    expect(re.search(r"gradient_percent: [\d.]+ on the page, [\d.]+ today\.", answer["told"]), answer["told"])


def a_changed_sentence(tool, folder):
    def change(figures):
        figures["cautions"][1] = "All was well."
    differs(tool, folder, change, "cautions[2]")


def what_is_left_out(tool, folder):
    def drop(figures):
        del figures["dives"][0]["otu"]["day"]
    def add(figures):
        figures["dives"][0]["otu"]["week"] = None
    def shorten(figures):
        figures["dives"][0]["mixes"].pop()
    expect(differs(tool, folder, drop, "dive 1, otu.day")["differences"][0]["page"] is None, "it is on the page")
    expect(differs(tool, folder, add, "dive 1, otu.week")["differences"][0]["today"] is None, "it is there today")
    counts = differs(tool, folder, shorten, "dive 1, mixes")["differences"][0]
    expect(counts["page"] != counts["today"], f"{counts}")


def another_kind_of_value(tool, folder):
    def change(figures):
        figures["dives"][0]["decompression"]["required"] = "no"
    differs(tool, folder, change, "dive 1, decompression.required")


def another_setting(tool, folder):
    def change(figures):
        figures["settings"]["gf_high"] = 95
    answer = differs(tool, folder, change, "built-in settings, gf_high")
    expect(answer["compared"]["differing"] > 10 and len(answer["differences"]) == 10, f"{answer['compared']}")
    expect("The first 10:" in answer["told"], answer["told"])

    def confess(figures):
        change(figures)
        figures["settings"]["origins"]["gf"] = "command line"
    expect(all("built-in" not in path for path in paths(differs(tool, folder, confess))), "gf_high is called built in")


def another_limit(tool, folder):
    kinds = [limit["kind"] for limit in figures_of(make(tool, folder, LOG))["limits"]]
    at = kinds.index("density")

    def change(figures):
        figures["limits"][at]["caution"] = 9.5
    differs(tool, folder, change, "built-in limits, density.caution")

    def disguise(figures):
        figures["limits"][at]["source"] = "nobody knows"
    differs(tool, folder, disguise, f"limits[{at + 1} density].source")


def dives_that_are_not_there(tool, folder):
    def change(figures):
        figures["dives"] += [{"number": number} for number in range(2, 2000)]
    differs(tool, folder, change, "dives")


def changed_samples(tool, folder):
    page = make(tool, folder, LOG)
    samples = json.loads(SAMPLES.search(page.read_bytes()).group(2))
    columns = [column for column in samples["columns"] if column["key"] == "depth_m"]
    packed = bytearray(base64.b64decode(columns[0]["data"]))
    for at in (50, 80):
        packed[at] ^= 0x10
    columns[0]["data"] = base64.b64encode(packed).decode()
    text = json.dumps(samples, separators=(",", ":")).encode()
    page.write_bytes(SAMPLES.sub(lambda match: match[1] + text + match[3], page.read_bytes()))
    answer = verify(tool, folder, page, LOG, code=1)
    expect(answer["compared"]["differing"] == 1, f"{answer['differences']}")
    told = answer["differences"][0]
    expect("depth_m" in told["path"] and told["values"] == 2, f"{told}")
    expect(told["first_sample"] == 50 // (columns[0]["bits"] // 8) + 1, f"{told}")


def samples_that_are_missing(tool, folder):
    page = make(tool, folder, LOG)
    page.write_bytes(SAMPLES.sub(b"", page.read_bytes()))
    expect(paths(verify(tool, folder, page, LOG, code=1)) == ["samples"], "missing samples are not told")


def another_version(tool, folder):
    page = make(tool, folder, LOG)
    figures = figures_of(page)
    figures["version"] = "0.0.9"
    figures["cautions"].pop()
    del figures["dives"][0]["otu"]["day"]
    put_figures(page, figures)
    answer = verify(tool, folder, page, LOG)
    expect(answer["same"] and answer["page"]["version"] == "0.0.9", f"{answer['differences']}")
    expect("The version is another one" in answer["told"], answer["told"])
    figures["dives"][0]["run_time_s"] += 1
    put_figures(page, figures)
    expect(paths(verify(tool, folder, page, LOG, code=1)) == ["dive 1, run_time_s"], "another run time is not told")


# -- pages that cannot be looked at


def no_page(tool, folder):
    expect("no figures" in refused(tool, folder, folder / "page.html", "calm.uddf"), "another page is taken")
    expect("no figures" in refused(tool, folder, folder / "calm.uddf", "calm.uddf"), "a log is taken for a page")
    expect("no figures" in refused(tool, folder, folder / "empty.uddf", "calm.uddf"), "an empty page is taken")
    expect("there is no such file" in refused(tool, folder, folder / "none.html", "calm.uddf"), "no file is taken")
    expect("directory" in refused(tool, folder, folder / "folder", "calm.uddf"), "a directory is taken")
    page = make(tool, folder, "calm.uddf")
    expect("none.uddf: there is no such file" in refused(tool, folder, page, "none.uddf"), "no log is taken")
    expect("empty.uddf" in refused(tool, folder, page, "calm.uddf", "empty.uddf"), "an unusable log is passed over")


def pages_of_other_commands(tool, folder):
    expect_end(run(tool, ["review", "--format", "html", "-o", "review.html", LOG], folder), 0)
    expect_end(run(tool, ["audit", "--standard", "standard-in-house.xml", "--as-of", "2026-11-26", "--format", "html", "-o",
                          "audit.html", LOG], folder), 0)
    for name in ("review.html", "audit.html"):
        sentence = refused(tool, folder, folder / name, LOG)
        expect("the page of a review or an audit cannot be verified yet" in sentence, sentence)


def a_page_cut_short(tool, folder):
    page = make(tool, folder, "calm.uddf")
    whole = page.read_bytes()
    start = whole.index(b'id="figures"')
    for size in (start - 1, start + 20, start + 1000, whole.index(b"</script", start)):
        page.write_bytes(whole[:size])
        refused(tool, folder, page, "calm.uddf")


def hostile(tool, folder, *changes):
    page = make(tool, folder, "calm.uddf")
    whole = page.read_bytes()
    for change, words in changes:
        text = change(FIGURES.search(whole).group(2))
        page.write_bytes(FIGURES.sub(lambda match: match[1] + text + match[3], whole))
        sentence = refused(tool, folder, page, "calm.uddf")
        expect(words in sentence, f"'{sentence}' lacks '{words}'")


def figures_that_cannot_be_read(tool, folder):
    hostile(tool, folder,
            (lambda text: text[:-9], "expected"),
            (lambda text: b"[" * 100000 + b"]" * 100000, "expected fewer open brackets"),
            (lambda text: b'{"x":' * 40 + b"1" + b"}" * 40, "expected fewer open brackets"),
            (lambda text: b'{"x":"\\u0000"}', "expected a text"),
            (lambda text: b'{"x":"\\ud800"}', "expected a text"),
            (lambda text: b'{"x":1e999}', "expected a number"),
            (lambda text: text + b"1", "expected nothing behind"),
            (lambda text: b"", "expected a value"),
            (lambda text: b"[]", "expected an object"),
            (lambda text: b"{}", "does not name the version"),
            (lambda text: text.replace(b"leadline-debrief-1", b"leadline-debrief-7"), "leadline-debrief-1"),
            (lambda text: text.replace(b'"zh-l16c"', b'"zh-l17"', 1), "a model that this program knows"),
            (lambda text: text.replace(b'"gf_low":50', b'"gf_low":"50"'), "gf_low: expected a number"),
            (lambda text: text.replace(b'"gf_low":50', b'"gf_low":-50'), "the page's settings: gradient factors"),
            (lambda text: text.replace(b'"rmv_l_min":30', b'"rmv_l_min":0'), "the page's settings: rate"),
            (lambda text: text.replace(b'"number":1,', b'"number":-1,'), "number: expected a whole number"),
            (lambda text: re.sub(rb'"sha256":"[0-9a-f]*"', b'"sha256":null', text, count=1), "SHA-256"))


def figures_twice(tool, folder):
    page = make(tool, folder, "calm.uddf")
    whole = page.read_bytes()
    page.write_bytes(whole + FIGURES.search(whole).group(0))
    expect("twice" in refused(tool, folder, page, "calm.uddf"), "figures that stand there twice are taken")


def texts_that_steer_a_terminal(tool, folder):
    page = make(tool, folder, "calm.uddf")
    figures = figures_of(page)
    figures["inputs"][0]["name"] = "\x1b[31mred\n\x07"
    figures["dives"][0]["\x1b[2Jkey"] = "\x1b]0;title\x07"
    figures["version"] = "\x1b[1m9"
    put_figures(page, figures)
    result = run(tool, ["verify", page.name, "calm.uddf"], folder)
    expect(result.returncode == 1, f"exit code {result.returncode}, expected 1")
    expect(all(byte >= 0x20 or byte == 0x0A for byte in result.stdout), f"{result.stdout}")


def many_keys_end(tool, folder):
    page = make(tool, folder, "calm.uddf")
    figures = figures_of(page)
    figures["dives"][0].update({f"key{number}": number for number in range(200000)})
    put_figures(page, figures)
    answer = verify(tool, folder, page, "calm.uddf", code=1)
    expect(answer["compared"]["differing"] == 1000, f"{answer['compared']}")
    expect("1000 differences or more" in answer["told"], answer["told"])


def usage(tool, folder):
    page = make(tool, folder, "calm.uddf")
    for arguments, words in (([], "a page and at least one log"), ([page.name], "a page and at least one log"),
                             (["--gf", "30/85", page.name, "calm.uddf"], "--gf does not go with verify"),
                             (["--format", "csv", page.name, "calm.uddf"], "verify does not write csv"),
                             (["-o", page.name, page.name, "calm.uddf"], "is the page, and is not written over"),
                             (["-o", "calm.uddf", page.name, "calm.uddf"], "is one of the logs"),
                             (["-", "-"], "standard input can be read only once")):
        result = run(tool, ["verify", *arguments], folder)
        expect(result.returncode == 2 and words in result.stderr.decode(), f"{arguments}: {result.stderr}")


if __name__ == "__main__":
    raise SystemExit(run_scenarios(globals()))
