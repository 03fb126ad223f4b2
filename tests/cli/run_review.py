#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The review as its users meet it: run_review.py TOOL. Whatever is asked for here was planted, or computed by hand."""
import datetime
import json

from review_logs import (HOUR_S, NOON, STAIRS, Recorder, by_name, depth_at, dive, log, near, review, write)
from workplace import expect, expect_end, run, run_scenarios

# --- clocks ----------------------------------------------------------------------------------------------------------

# Ahead of the place by so many seconds, sampling every so many, and the zone fault that it looks like.
PLANTED = [(0, 2, None), (0.4, 2, None), (7.3, 10, None), (-41.6, 10, None), (13.7, 20, None), (-97.25, 20, None),
           (HOUR_S + 12.4, 10, -HOUR_S), (-1800.6, 2, 1800), (5 * HOUR_S, 20, -5 * HOUR_S),
           (11 * HOUR_S + 59 * 60, 10, -12 * HOUR_S), (-11.5 * HOUR_S - 3.3, 20, 11.5 * HOUR_S)]


def planted_offsets_come_back(tool, folder):
    first = write(folder, "eskil", recorder=Recorder(noise_m=0.3, seed=1))
    worst = 0.0
    for i, (ahead_s, every_s, zone_s) in enumerate(PLANTED):
        recorder = Recorder(ahead_s=ahead_s, every_s=every_s, noise_m=0.3, seed=100 + i)
        other = by_name(review(tool, folder, first, write(folder, "idun", recorder=recorder)))["Idun"]
        expect(other["match"]["accepted"] and other["clock_by"] == "matched", f"{ahead_s} s: no match")
        near(f"offset of a clock {ahead_s} s ahead", other["clock_offset_s"], -ahead_s, 2)
        worst = max(worst, abs(other["clock_offset_s"] + ahead_s))
        expect(abs(other["clock_offset_s"] + ahead_s) <= other["clock_uncertainty_s"],
               f"{ahead_s} s: {other['clock_offset_s']} is off by more than its uncertainty "
               f"{other['clock_uncertainty_s']}")
        expect(other["zone_s"] == zone_s, f"{ahead_s} s: zone fault {other['zone_s']}, expected {zone_s}")
    return f"{len(PLANTED)} offsets, off by {worst:.2f} s at most"


def zone_faults_are_named_in_words(tool, folder):
    write(folder, "eskil")
    write(folder, "idun", recorder=Recorder(ahead_s=HOUR_S + 2))
    result = run(tool, ["review", "eskil.uddf", "idun.uddf"], folder)
    expect_end(result, 0)
    words = " ".join(result.stdout.decode().split())
    expect("1 h looks like a time zone" in words, "the text says nothing of a time zone")


def beyond_half_a_day_there_is_no_match(tool, folder):
    write(folder, "eskil")
    write(folder, "idun", recorder=Recorder(ahead_s=13 * HOUR_S))
    write(folder, "ragna")
    answer = by_name(review(tool, folder, "eskil.uddf", "idun.uddf", "ragna.uddf"))
    expect(not answer["Idun"]["match"]["accepted"] and answer["Idun"]["match"]["why_not"], "13 h were taken")
    expect(answer["Ragna"]["match"]["accepted"], "and took somebody along")


def a_given_clock_is_taken(tool, folder):
    write(folder, "eskil")
    write(folder, "idun", recorder=Recorder(ahead_s=30))
    got = by_name(review(tool, folder, "--clock", "Idun=-25.5", "eskil.uddf", "idun.uddf"))["Idun"]
    expect((got["clock_offset_s"], got["clock_by"], got["clock_uncertainty_s"]) == (-25.5, "given", 0),
           f"given -25.5: {got['clock_offset_s']} by {got['clock_by']}")
    got = by_name(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))["Idun"]
    expect((got["clock_offset_s"], got["clock_by"]) == (0, "trusted"), "a trusted clock was moved")


# Behind the others by 75 s from 12 m on, and still so at 9 m and 6 m.
LATE_S = 75
LATE = [k if k[0] <= 1200 else (k[0] + LATE_S, k[1]) for k in STAIRS]


def arrival(answer, level_m, name):
    rows = next(row["arrivals"] for row in answer["team"]["levels"] if row["level_m"] == level_m)
    return next(row["time_s"] for row in rows if row["name"] == name)


def a_late_student_stays_late(tool, folder):
    write(folder, "eskil", recorder=Recorder(noise_m=0.1, seed=5))
    write(folder, "idun", LATE, recorder=Recorder(noise_m=0.1, seed=6))
    for clock in (["--clock", "trust"], []):
        answer = review(tool, folder, *clock, "eskil.uddf", "idun.uddf")
        offset = by_name(answer)["Idun"]["clock_offset_s"]
        expect(offset == 0 if clock else abs(offset) <= 2, f"the lag went into the clock: {offset}")
        for level_m in (9, 6):
            late_s = arrival(answer, level_m, "Idun") - arrival(answer, level_m, "Eskil")
            near(f"late at {level_m} m", late_s, LATE_S, 6)
        order = [row["name"] for row in answer["team"]["surfaced"]]
        expect(order == ["Eskil", "Idun"], f"surfaced {order}")


# --- which dive ------------------------------------------------------------------------------------------------------

def two_of_a_day(folder, name, recorder):
    """The same way twice, three hours apart; the second one 2 m shallower at the bottom."""
    again = [(t, min(d, 38)) for t, d in STAIRS]
    text = log(dive(1, recorder, STAIRS), dive(2, recorder, again, later=datetime.timedelta(hours=3)),
               owner=name.capitalize())
    (folder / f"{name}.uddf").write_text(text, encoding="utf-8")


def look_alikes_of_a_day_are_kept_apart(tool, folder):
    two_of_a_day(folder, "eskil", Recorder(noise_m=0.1, seed=1))
    two_of_a_day(folder, "idun", Recorder(ahead_s=HOUR_S, noise_m=0.1, seed=2))
    for number, start in ((1, NOON), (2, NOON + datetime.timedelta(hours=3))):
        answer = by_name(review(tool, folder, "--dive", str(number), "eskil.uddf", "idun.uddf"))
        for name, ahead_s in (("Eskil", 0), ("Idun", HOUR_S)):
            wanted = (start + datetime.timedelta(seconds=ahead_s - 10)).isoformat()
            expect(answer[name]["dive"]["start"] == wanted,
                   f"dive {number} of {name} starts {answer[name]['dive']['start']}, expected {wanted}")
        near("offset", answer["Idun"]["clock_offset_s"], -HOUR_S, 2)


OTHER = [(0, 0), (60, 12), (1500, 11), (2900, 12), (3000, 0)]


def a_wrong_log_is_named_and_changes_nothing(tool, folder):
    write(folder, "eskil", recorder=Recorder(seed=1, noise_m=0.1))
    write(folder, "idun", recorder=Recorder(seed=2, noise_m=0.1, ahead_s=20))
    write(folder, "solveig", OTHER)
    alone = review(tool, folder, "eskil.uddf", "idun.uddf")
    with_it = review(tool, folder, "eskil.uddf", "idun.uddf", "solveig.uddf")
    wrong = by_name(with_it)["Solveig"]
    expect(not wrong["match"]["accepted"] and "%" in wrong["match"]["why_not"], "it was taken")
    expect([d for d in with_it["divers"] if d["name"] != "Solveig"] == alone["divers"], "other figures changed")
    expect(with_it["team"] == alone["team"], "the team's figures changed")
    text = run(tool, ["review", "eskil.uddf", "idun.uddf", "solveig.uddf"], folder)
    expect_end(text, 0)
    expect(b"Solveig" in text.stdout, "the text does not name it")


def a_log_that_is_none_loses_nobody_else(tool, folder):
    write(folder, "eskil")
    write(folder, "idun")
    answer = review(tool, folder, "eskil.uddf", "words.txt", "idun.uddf", code=3)
    expect(sorted(by_name(answer)) == ["Eskil", "Idun"], f"{sorted(by_name(answer))}")


# --- names -----------------------------------------------------------------------------------------------------------

def five_owners_are_told_apart(tool, folder):
    paths = [write(folder, f"export{i}", owner="Owner", recorder=Recorder(seed=i, noise_m=0.05)) for i in range(5)]
    names = [d["name"] for d in review(tool, folder, *paths)["divers"]]
    expect(names == [f"export{i}" for i in range(5)], f"{names}")
    named = [f"{n}={p}" for n, p in zip(("Ragna", "Eskil", "Idun", "Torunn", "Ragna"), paths)]
    names = [d["name"] for d in review(tool, folder, *named)["divers"]]
    expect(len(set(names)) == 5 and names[:4] == ["Ragna", "Eskil", "Idun", "Torunn"], f"{names}")


def a_second_recorder_is_no_second_diver(tool, folder):
    write(folder, "eskil")
    write(folder, "wrist", owner="Somebody", recorder=Recorder(ahead_s=100, every_s=10))
    write(folder, "idun")
    answer = review(tool, folder, "Eskil=eskil.uddf+wrist.uddf", "idun.uddf")
    expect([d["name"] for d in answer["divers"]] == ["Eskil", "Idun"], "it is one")
    second = answer["divers"][0]["other_recorders"]
    expect(len(second) == 1 and second[0]["match"]["accepted"], f"{second}")
    near("its clock", second[0]["clock_offset_s"], -100, 2)


# --- separation and stops, by hand -----------------------------------------------------------------------------------

# Down in 60 s, 540 s at the bottom, up in 300 s.
def trapeze(metres):
    return [(0, 0), (60, metres), (600, metres), (900, 0)]


def only_pair(answer):
    pairs = answer["team"]["pairs"]
    expect(len(pairs) == 1, f"{len(pairs)} pairs")
    return pairs[0]


# Run times count from the last sample no deeper than 0.5 m: 30 m in a minute are that deep after a second.
LEAVING_S = 1


def separation_is_that_by_hand(tool, folder):
    # 30 and 22 m: apart 8 t/60 m on the way down, over 6 m from 45 s on; 8 (900 - t)/300 on the way up, to 675 s.
    sampled = Recorder(every_s=1, begins_s=0)
    write(folder, "eskil", trapeze(30), sampled)
    write(folder, "idun", trapeze(22), sampled)
    pair = only_pair(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))
    near("greatest separation", pair["greatest_separation_m"], 8.0, 1e-9)
    expect(len(pair["stretches"]) == 1, f"{pair['stretches']}")
    one = pair["stretches"][0]
    near("from", one["from_s"], 45 - LEAVING_S, 0.01)
    near("to", one["to_s"], 675 - LEAVING_S, 0.01)
    near("time apart", pair["time_apart_s"], 630, 0.02)
    expect(one["severity"] == "caution", f"8 m are {one['severity']}")
    # 12 m apart: over 10 m from 50 to 650 s, longer than 120 s.
    write(folder, "idun", trapeze(18), sampled)
    pair = only_pair(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))
    expect([s["severity"] for s in pair["stretches"]] == ["serious"], f"{pair['stretches']}")
    # 5.9 m are within the limit.
    write(folder, "idun", trapeze(24.1), sampled)
    pair = only_pair(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))
    expect(pair["stretches"] == [] and pair["time_apart_s"] == 0, f"{pair['stretches']}")


def without_samples_nobody_is_together(tool, folder):
    # As above, without samples between 200 and 400 s: 45 to 200 and 400 to 675 s remain, 155 + 275 s.
    write(folder, "eskil", trapeze(30), Recorder(every_s=1, begins_s=0))
    write(folder, "idun", trapeze(22), Recorder(every_s=1, begins_s=0, gap=(200, 400)))
    pair = only_pair(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))
    spans = [(s["from_s"] + LEAVING_S, s["to_s"] + LEAVING_S) for s in pair["stretches"]]
    expect(len(spans) == 2, f"{spans}")
    for got, wanted in zip([t for span in spans for t in span], (45, 200, 400, 675)):
        near("a stretch", got, wanted, 0.01)
    near("time apart", pair["time_apart_s"], 430, 0.02)


def separation_is_the_least_that_the_clocks_allow(tool, folder):
    # One line, the other 10 s later: by trusted clocks apart on the way; a matched clock takes that away.
    write(folder, "eskil", trapeze(40), Recorder(every_s=2))
    write(folder, "idun", [(0, 0), *[(t + 10, d) for t, d in trapeze(40)]], Recorder(every_s=2))
    trusted = only_pair(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))
    # 40 m in 60 s: 10 s are 6 2/3 m.
    near("by trusted clocks", trusted["greatest_separation_m"], 40 / 6, 0.05)
    matched = only_pair(review(tool, folder, "eskil.uddf", "idun.uddf"))
    near("by matched clocks", matched["greatest_separation_m"], 0, 0.05)


def within_the_clocks_uncertainty_it_is_the_least(tool, folder):
    # 60 and 50 m, every 20 s. With the other's clock moved by o and sure within u, t s down are t m against 50 (t - o)/60 and
    # up to 50 u/60 more, but not more than 50: over 6 m from 56 s on, where clocks that agree would say 36 s. On the way up
    # the least apart is (10 (900 - t) - 50 o - 50 u)/300 m.
    write(folder, "eskil", trapeze(60), Recorder(every_s=20, begins_s=0))
    write(folder, "idun", trapeze(50), Recorder(every_s=20, begins_s=0))
    answer = review(tool, folder, "eskil.uddf", "idun.uddf")
    o, u = (by_name(answer)["Idun"][key] for key in ("clock_offset_s", "clock_uncertainty_s"))
    expect(u >= 5, f"a clock known within {u} s from samples every 20 s")
    pair = only_pair(answer)
    near("greatest separation", pair["greatest_separation_m"], 10.0, 1e-9)
    expect([one["severity"] for one in pair["stretches"]] == ["caution"], f"{pair['stretches']}")
    near("from", pair["stretches"][0]["from_s"], 56, 0.02)
    near("to", pair["stretches"][0]["to_s"], 900 - (1800 + 50 * o + 50 * u) / 10, 0.02)


def stops_are_those_by_hand(tool, folder):
    # 9.3 m for 240 s and 5.8 m for 300 s, straight, with steps of a second on either side: off 3 m steps by
    # (240*0.3 + 300*0.2)/540 m, spread 0.
    line = [(0, 0), (100, 36), (600, 36), (700, 9.3), (940, 9.3), (945, 5.8), (1245, 5.8), (1260, 0)]
    write(folder, "eskil", line, Recorder(every_s=1, begins_s=0))
    write(folder, "idun", line, Recorder(every_s=1, begins_s=0))
    stops = by_name(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))["Eskil"]["stops"]
    expect(stops["levels"] == 2, f"{stops}")
    near("off 3 m steps", stops["mean_off_m"], (240 * 0.3 + 300 * 0.2) / 540, 0.01)
    near("spread", stops["spread_m"], 0, 0.1)


# --- water -----------------------------------------------------------------------------------------------------------

def depths_compare_in_pressure(tool, folder):
    write(folder, "eskil", recorder=Recorder(begins_s=0))
    write(folder, "idun", recorder=Recorder(begins_s=0, kg_m3=1000))
    as_shown = only_pair(review(tool, folder, "--clock", "trust", "eskil.uddf", "idun.uddf"))
    answer = review(tool, folder, "--clock", "trust", "--water", "Idun=fresh", "eskil.uddf", "idun.uddf")
    # 40 m of 10 to the bar are 40.79 m of fresh water.
    near("as shown", as_shown["greatest_separation_m"], 40 * (1.0197162 - 1), 0.01)
    near("in pressure", only_pair(answer)["greatest_separation_m"], 0, 0.01)
    deepest = [d["beside"]["greatest_depth_m"] for d in answer["divers"]]
    near("greatest depths", deepest[1] - deepest[0], 0, 0.01)


# --- the lead, pairs, extracts ---------------------------------------------------------------------------------------

def the_lead_stays_out_of_the_students_figures(tool, folder):
    write(folder, "ragna", [(t, d * 0.7) for t, d in STAIRS], Recorder(begins_s=0))
    for name in ("eskil", "idun"):
        write(folder, name, recorder=Recorder(begins_s=0))
    logs = ["ragna.uddf", "eskil.uddf", "idun.uddf"]
    everybody = review(tool, folder, "--clock", "trust", *logs)
    students = review(tool, folder, "--clock", "trust", "--lead", "Ragna", *logs)
    near("with the instructor", everybody["team"]["greatest_separation_m"], 12, 0.05)
    near("of the students", students["team"]["greatest_separation_m"], 0, 1e-6)
    expect([d["lead"] for d in students["divers"]] == [True, False, False], "who leads")
    expect(all("Ragna" not in (row["least_by"], row["greatest_by"]) for row in students["differences"]),
           "the lead among the differences")


def a_pair_is_told(tool, folder):
    for name in ("eskil", "idun", "torunn"):
        write(folder, name)
    logs = ["eskil.uddf", "idun.uddf", "torunn.uddf"]
    pairs = review(tool, folder, "--pair", "Torunn,Eskil", *logs)["team"]["pairs"]
    buddies = [sorted(p["between"]) for p in pairs if p["buddies"]]
    expect(len(pairs) == 3 and buddies == [["Eskil", "Torunn"]], f"{pairs}")


def an_extract_holds_nobody_else(tool, folder):
    for name, line in (("eskil", STAIRS), ("idun", LATE), ("torunn", STAIRS)):
        text = log(dive(1, Recorder(seed=len(name), noise_m=0.05), line, switch_s=1030),
                   owner=f"{name.capitalize()} {name.capitalize()}sdatter", serial=f"wrist-{name}")
        (folder / f"{name}.uddf").write_text(text, encoding="utf-8")
    logs = ["eskil.uddf", "idun.uddf", "torunn.uddf"]
    whole = run(tool, ["review", "--format", "json", *logs], folder)
    hashes = {i["name"]: i["sha256"].encode() for i in json.loads(whole.stdout)["inputs"]}
    for form in ("text", "json", "csv", "html"):
        result = run(tool, ["review", "--format", form, "--extract", "Idun Idunsdatter", *logs], folder)
        expect_end(result, 0)
        expect(b"Idun" in result.stdout, f"{form}: where is Idun?")
        for other in ("eskil", "torunn"):
            expect(other.encode() not in result.stdout.lower(), f"{form}: {other} is in it")
            expect(hashes[f"{other}.uddf"] not in result.stdout, f"{form}: the hash of {other} is in it")


def an_extract_tells_of_its_own_dive(tool, folder):
    for name, site, ahead_s in (("eskil", "North wall", HOUR_S), ("idun", "Crane", 0)):
        text = log(dive(1, Recorder(ahead_s=ahead_s), STAIRS), owner=name.capitalize())
        text = text.replace("<profiledata>", f'<divesite><site id="s"><name>{site}</name></site></divesite><profiledata>')
        text = text.replace("<informationbeforedive>", '<informationbeforedive><link ref="s"/>')
        (folder / f"{name}.uddf").write_text(text, encoding="utf-8")
    for form in ("text", "html"):
        words = {}
        for asked in ([], ["--extract", "Idun"], ["--extract", "Eskil"]):
            result = run(tool, ["review", "--format", form, *asked, "eskil.uddf", "idun.uddf"], folder)
            expect_end(result, 0)
            words[tuple(asked)] = " ".join(result.stdout.decode().split())
        expect("2026-05-03 12:59, North wall." in words[()], f"{form}: the title is not that of the first log")
        expect("2026-05-03 11:59, Crane." in words["--extract", "Idun"], f"{form}: the title is not Idun's")
        expect("North wall" not in words["--extract", "Idun"], f"{form}: where Eskil's recorder was")
        expect("Crane" not in words["--extract", "Eskil"], f"{form}: where Idun's recorder was")
        expect("Nobody was above it" not in words["--extract", "Idun"], f"{form}: tells of all having looked at one")


def an_extract_does_not_name_a_plan_that_is_anothers_log(tool, folder):
    for name in ("eskil", "idun"):
        write(folder, name)
    (folder / "slate.txt").write_text(slate(STAIRS), encoding="utf-8")
    logs = ["Eskil=eskil.uddf", "Idun=idun.uddf"]
    hashed = {i["name"]: i["sha256"] for i in review(tool, folder, *logs)["inputs"]}["eskil.uddf"].encode()
    for plan, named in (("eskil.uddf", False), ("idun.uddf", True), ("slate.txt", True)):
        for form in ("text", "json", "csv", "html"):
            result = run(tool, ["review", "--plan", plan, "--extract", "Idun", "--format", form, *logs], folder)
            expect_end(result, 0)
            expect(b"eskil.uddf" not in result.stdout and hashed not in result.stdout, f"{form}: Eskil's log with {plan}")
            if form == "text":
                expect((f"Plan {plan}".encode() in result.stdout) == named, f"{plan}: named or not")
    result = run(tool, ["review", "--plan", "eskil.uddf", *logs], folder)
    expect(b"Plan eskil.uddf" in result.stdout, "the whole review names it")


def a_pair_that_stood_apart_is_told_beside_buddies(tool, folder):
    for name, metres in (("eskil", 30), ("idun", 30), ("torunn", 22)):
        write(folder, name, trapeze(metres))
    result = run(tool, ["review", "--clock", "trust", "--pair", "Eskil,Idun", "eskil.uddf", "idun.uddf", "torunn.uddf"],
                 folder)
    expect_end(result, 0)
    words = " ".join(result.stdout.decode().split())
    expect("Eskil and Idun (buddies): greatest 0.0 m" in words, "where are the buddies?")
    for name in ("Eskil", "Idun"):
        expect(f"{name} and Torunn: greatest 8.0 m" in words, f"{name} and Torunn stood apart, unnamed")
    expect("The other pairs" not in words, "there are none")


# --- plan, course, usage ---------------------------------------------------------------------------------------------

def slate(line, mix="18/45"):
    return "\n".join(f"{t / 60:g} {d:g} {mix if i == 0 else ''}".rstrip() for i, (t, d) in enumerate(line)) + "\n"


def the_variant_that_was_dived_fits_best(tool, folder):
    deeper = [(t, d + 4 if d >= 39 else d) for t, d in STAIRS]
    (folder / "slate.txt").write_text(f"{slate(STAIRS)}\nvariant deeper\n{slate(deeper)}", encoding="utf-8")
    write(folder, "eskil", STAIRS, Recorder(begins_s=0, every_s=1))
    write(folder, "idun", deeper, Recorder(begins_s=0, every_s=1))
    plan = review(tool, folder, "--plan", "slate.txt", "--clock", "trust", "eskil.uddf", "idun.uddf")["plan"]
    rows = {row["name"]: row for row in plan["divers"]}
    expect(rows["Idun"]["best_variant"] == "deeper" and rows["Eskil"]["best_variant"] != "deeper",
           f"{[(n, r['best_variant']) for n, r in rows.items()]}")
    for name, row in rows.items():
        near(f"{name} off the own variant", row["variants"][row["best_variant"]], 0, 0.05)
    off_m = sum(abs(depth_at(deeper, t) - depth_at(STAIRS, t)) for t in range(2221)) / 2221
    near("Idun off the other one", rows["Idun"]["variants"]["as planned"], off_m, 0.05)


def a_log_may_be_the_plan(tool, folder):
    write(folder, "planned", recorder=Recorder(begins_s=0))
    write(folder, "eskil", [(t, d + 1 if 150 <= t <= 900 else d) for t, d in STAIRS], Recorder(begins_s=0))
    write(folder, "idun", recorder=Recorder(begins_s=0))
    plan = review(tool, folder, "--plan", "planned.uddf", "--clock", "trust", "eskil.uddf", "idun.uddf")["plan"]
    rows = {row["name"]: row for row in plan["divers"]}
    near("a metre deeper", rows["Eskil"]["largest_off_m"], 1, 0.1)
    # Surfaced is who is no deeper than 0.5 m; the plan is there a little later.
    near("as planned", rows["Idun"]["largest_off_m"], 0, 0.5)
    near("on the whole", rows["Idun"]["mean_off_m"], 0, 0.01)


def a_plan_is_not_compared_across_a_gap(tool, folder):
    # Without samples from 1000 to 1300 s the way from 25 m up to 12 m is not known; what the record shows was as planned.
    (folder / "slate.txt").write_text(slate(STAIRS), encoding="utf-8")
    write(folder, "eskil", recorder=Recorder(begins_s=0, every_s=1))
    write(folder, "idun", recorder=Recorder(begins_s=0, every_s=1, gap=(1000, 1300)))
    plan = review(tool, folder, "--plan", "slate.txt", "--clock", "trust", "eskil.uddf", "idun.uddf")["plan"]
    rows = {row["name"]: row for row in plan["divers"]}
    for name, row in rows.items():
        near(f"{name} at most", abs(row["largest_off_m"]), 0, 0.5)
        near(f"{name} on average", row["mean_off_m"], 0, 0.05)  # up to 2 s late from the surface
    lines = {name: {round(line["run_s"]): line for line in row["lines"]} for name, row in rows.items()}
    for run_s in (1020, 1140, 1200):  # comes to 21 m, leaves it, comes to 12 m
        expect(lines["Idun"][run_s]["off_m"] is None and lines["Idun"][run_s]["late_s"] is None,
               f"{run_s} s lies in the gap: {lines['Idun'][run_s]}")
        near(f"Eskil at {run_s} s", lines["Eskil"][run_s]["late_s"], 0, 5)
    near("Idun leaves 12 m", lines["Idun"][1380]["late_s"], 0, 6)


def a_broken_slate_is_refused_with_its_line(tool, folder):
    write(folder, "eskil")
    (folder / "slate.txt").write_text("0 0 air\n3 30\nfive 30\n", encoding="utf-8")
    result = run(tool, ["review", "--plan", "slate.txt", "eskil.uddf"], folder)
    expect_end(result, 3, "slate.txt:3")
    expect(result.stdout == b"", "something was written all the same")


def a_course_gets_one_table(tool, folder):
    write(folder, "eskil", trapeze(30))
    write(folder, "idun", trapeze(30))
    (folder / "course.xml").write_text("""<standard xmlns="urn:leadline:standard:1" name="n"><limits>
<limit of="depth" unit="m" serious="25"/></limits></standard>""", encoding="utf-8")
    course = review(tool, folder, "--standard", "course.xml", "eskil.uddf", "idun.uddf")["divers"][0]["course"]
    expect(course["depth"]["severity"] == "serious" and course["ascent"]["answer"] == "kept", f"{course['depth']}")


def bands_follow_the_units(tool, folder):
    write(folder, "eskil")
    write(folder, "idun")
    for units, wanted, other in (("metric", b"Fastest 21 m to 6 m, m/min", b" ft"), ("imperial", b"Fastest 69 ft to 20 ft, ft/min", b"21 m")):
        result = run(tool, ["review", "--units", units, "eskil.uddf", "idun.uddf"], folder)
        expect_end(result, 0)
        table = result.stdout[result.stdout.index(b"Fastest"):result.stdout.index(b"Findings, ")]
        expect(wanted in table and other not in table, f"{units}: {table.decode()}")


def usage_is_told(tool, folder):
    write(folder, "eskil")
    write(folder, "idun")
    for arguments in (["--clock", "Nobody=3"], ["--clock", "Eskil=x"], ["--pair", "Eskil"], ["--pair", "Eskil,Nobody"],
                      ["--lead", "Nobody"], ["--extract", "Nobody"], ["--water", "Nobody=fresh"], ["--plan"]):
        result = run(tool, ["review", "eskil.uddf", "idun.uddf", *arguments], folder)
        expect_end(result, 2)
        expect(result.stdout == b"" and result.stderr.startswith(b"leadline: "), f"{arguments}: {result.stderr}")


def any_number_of_jobs_gives_the_same(tool, folder):
    logs = [write(folder, name, recorder=Recorder(seed=i, noise_m=0.2, ahead_s=7.5 * i))
            for i, name in enumerate(("eskil", "idun", "ragna", "torunn"))]
    for form in ("text", "json", "csv", "html"):
        outputs = {run(tool, ["review", "--format", form, "--jobs", str(jobs), *logs], folder).stdout
                   for jobs in (1, 2, 7)}
        expect(len(outputs) == 1 and outputs != {b""}, f"{form} differs by the number of jobs")


if __name__ == "__main__":
    raise SystemExit(run_scenarios(globals()))
