#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Which dive a review is of, whose clock it goes by, who is called what: run_review_which.py TOOL."""
import datetime

from review_logs import STAIRS, Recorder, by_name, dive, log, near, review, write
from workplace import expect, expect_end, run, run_scenarios

PLATFORM = [(0, 0), (60, 12), (1500, 11), (2900, 12), (3000, 0)]
SLOPE = [(0, 0), (120, 33), (1400, 22), (2000, 6), (2300, 5), (2360, 0)]


def days(n, hours=0.0):
    return datetime.timedelta(days=n, hours=hours)


def season(folder, name, dives, recorder=None):
    """`dives`: (line, later than the first noon) each."""
    recorder = recorder or Recorder(noise_m=0.1, seed=len(name))
    text = log(*[dive(i + 1, recorder, line, later=later) for i, (line, later) in enumerate(dives)],
               owner=name.capitalize())
    (folder / f"{name}.uddf").write_text(text, encoding="utf-8")
    return f"{name}.uddf"


def dive_of(answer, name):
    return by_name(answer)[name]["dive"]["number"]


def taken(answer):
    return [name for name, diver in by_name(answer).items() if diver["match"]["accepted"]]


# --- which dive ------------------------------------------------------------------------------------------------------

def logs_of_another_dive_choose_nothing(tool, folder):
    season(folder, "eskil", [(STAIRS, days(0)), (SLOPE, days(2))])
    season(folder, "idun", [(STAIRS, days(0))])
    season(folder, "solveig", [(PLATFORM, days(2))])
    season(folder, "torunn", [(PLATFORM, days(2))])
    answer = review(tool, folder, "eskil.uddf", "solveig.uddf", "idun.uddf", "torunn.uddf")
    expect(dive_of(answer, "Eskil") == 1, f"dive {dive_of(answer, 'Eskil')} was chosen by those who do not have it")
    expect(taken(answer) == ["Eskil", "Idun"], f"{taken(answer)}")


def a_shared_dive_far_back_is_found(tool, folder):
    season(folder, "eskil", [(STAIRS if n % 2 else SLOPE, days(n)) for n in range(40)])
    season(folder, "idun", [(STAIRS if n == 5 else PLATFORM, days(n)) for n in range(40)])
    answer = review(tool, folder, "eskil.uddf", "idun.uddf")
    expect((dive_of(answer, "Eskil"), dive_of(answer, "Idun")) == (6, 6), f"dive {dive_of(answer, 'Eskil')}")
    expect(taken(answer) == ["Eskil", "Idun"], f"{taken(answer)}")


def of_a_season_together_it_is_the_latest(tool, folder):
    lines = [(STAIRS if n % 2 else SLOPE, days(n)) for n in range(12)]
    for name in ("eskil", "idun", "torunn"):
        season(folder, name, lines)
    answer = review(tool, folder, "eskil.uddf", "idun.uddf", "torunn.uddf")
    expect([dive_of(answer, name) for name in ("Eskil", "Idun", "Torunn")] == [12] * 3, "not the latest")
    earlier = review(tool, folder, "--dive", "4", "eskil.uddf", "idun.uddf", "torunn.uddf")
    expect([dive_of(earlier, name) for name in ("Eskil", "Idun", "Torunn")] == [4] * 3, "not the one asked for")


def the_one_that_all_have_goes_before_the_latest(tool, folder):
    season(folder, "eskil", [(STAIRS, days(0)), (SLOPE, days(1)), (STAIRS, days(2))])
    season(folder, "idun", [(STAIRS, days(0)), (SLOPE, days(1)), (STAIRS, days(2))])
    season(folder, "torunn", [(STAIRS, days(0)), (SLOPE, days(1))])
    answer = review(tool, folder, "eskil.uddf", "idun.uddf", "torunn.uddf")
    expect(dive_of(answer, "Torunn") == 2 and len(taken(answer)) == 3, f"{taken(answer)}")


def of_look_alikes_the_one_whose_clock_agrees(tool, folder):
    season(folder, "eskil", [(STAIRS, days(0)), (STAIRS, days(0, 3))])
    season(folder, "idun", [(STAIRS, days(0))])
    answer = review(tool, folder, "eskil.uddf", "idun.uddf")
    expect(dive_of(answer, "Eskil") == 1, "the later one won, with a clock three hours off")
    near("offset", by_name(answer)["Idun"]["clock_offset_s"], 0, 2)
    later = review(tool, folder, "--dive", "2", "eskil.uddf", "idun.uddf")
    expect(taken(later) == ["Eskil"], "one dive was taken for two")
    why = by_name(later)["Idun"]["match"]["why_not"]
    expect("rather dive 1 of the first log" in why, why)


def a_dive_that_stands_twice_in_the_first_log_loses_nobody(tool, folder):
    # Two recorders of one diver in one log: some clocks are nearer to the one, some to the other.
    text = log(dive(1, Recorder(seed=1, noise_m=0.1), STAIRS),
               dive(2, Recorder(seed=2, noise_m=0.1, ahead_s=40, every_s=20), STAIRS), owner="Eskil")
    (folder / "eskil.uddf").write_text(text, encoding="utf-8")
    for i, (name, ahead_s) in enumerate((("idun", 0), ("torunn", 40), ("solveig", -30))):
        write(folder, name, recorder=Recorder(seed=10 + i, noise_m=0.1, ahead_s=ahead_s))
    answer = review(tool, folder, "eskil.uddf", "idun.uddf", "torunn.uddf", "solveig.uddf")
    expect(len(taken(answer)) == 4, f"{taken(answer)}")


def trusted_clocks_let_nobody_else_choose(tool, folder):
    season(folder, "eskil", [(STAIRS, days(0)), (SLOPE, days(1))])
    season(folder, "idun", [(STAIRS, days(0))])
    season(folder, "torunn", [(STAIRS, days(0))])
    season(folder, "solveig", [(PLATFORM, days(1))])
    logs = ["eskil.uddf", "solveig.uddf", "idun.uddf", "torunn.uddf"]
    answer = review(tool, folder, "--clock", "trust", *logs)
    expect(dive_of(answer, "Eskil") == 1 and taken(answer) == ["Eskil", "Idun", "Torunn"], f"{taken(answer)}")


def a_wrong_log_named_first_is_told(tool, folder):
    season(folder, "solveig", [(PLATFORM, days(0))])
    write(folder, "eskil")
    write(folder, "idun")
    answer = review(tool, folder, "solveig.uddf", "eskil.uddf", "idun.uddf")
    expect(taken(answer) == ["Solveig"], f"{taken(answer)}")
    result = run(tool, ["review", "solveig.uddf", "eskil.uddf", "idun.uddf"], folder)
    expect_end(result, 0)
    words = " ".join(result.stdout.decode().split())
    expect("No other log agrees with the first one" in words, "nothing says why all others are left out")
    result = run(tool, ["review", "eskil.uddf", "idun.uddf"], folder)
    expect(b"No other log agrees" not in result.stdout, "said where it does not hold")


# --- what strangers send ---------------------------------------------------------------------------------------------

def many_at_once(folder, name, count):
    """So many small dives, all of one shape, one a second."""
    knots = [(0, 0), (60, 20), (200, 18), (260, 0)]
    rows = "".join(f"<waypoint><depth>{d}</depth><divetime>{t}</divetime></waypoint>" for t, d in knots)
    dives = [f"""<dive id="d{n}"><informationbeforedive><datetime>2026-05-03T{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}</datetime>
</informationbeforedive><samples>{rows}</samples></dive>""" for n in range(count)]
    (folder / f"{name}.uddf").write_text(log(*dives, owner=name.capitalize()), encoding="utf-8")


def too_many_pairs_end_with_a_sentence(tool, folder):
    many_at_once(folder, "eskil", 150)
    many_at_once(folder, "idun", 140)  # 21,000 pairs
    result = run(tool, ["review", "eskil.uddf", "idun.uddf"], folder)
    expect_end(result, 3, "more than 20000 pairs would have to be compared")
    many_at_once(folder, "idun", 130)  # 19,500
    expect_end(run(tool, ["review", "--format", "csv", "eskil.uddf", "idun.uddf"], folder), 0)
    many_at_once(folder, "eskil", 2100)
    many_at_once(folder, "idun", 2000)
    result = run(tool, ["review", "eskil.uddf", "idun.uddf"], folder)
    expect_end(result, 3, "at most 4000000 pairs of dives")
    expect(result.stdout == b"", "something was written all the same")


# --- clocks and names ------------------------------------------------------------------------------------------------

def the_first_clock_is_not_to_be_corrected(tool, folder):
    write(folder, "eskil")
    write(folder, "idun")
    result = run(tool, ["review", "--clock", "Eskil=60", "eskil.uddf", "idun.uddf"], folder)
    expect_end(result, 2, "Eskil")
    expect(result.stdout == b"" and b"clock is the team's" in result.stderr, f"{result.stderr}")


def the_last_word_on_a_clock_counts(tool, folder):
    write(folder, "eskil")
    write(folder, "idun", recorder=Recorder(ahead_s=30))
    answer = review(tool, folder, "--clock", "Idun=50", "--clock", "Idun=-30", "eskil.uddf", "idun.uddf")
    expect(by_name(answer)["Idun"]["clock_offset_s"] == -30, f"{by_name(answer)['Idun']['clock_offset_s']}")


def a_given_name_goes_before_that_of_a_file(tool, folder):
    for name in ("ragna", "second", "third"):
        write(folder, name, owner="Owner")
    answer = review(tool, folder, "--lead", "ragna", "ragna.uddf", "ragna=second.uddf", "third.uddf")
    names = [diver["name"] for diver in answer["divers"]]
    expect(names == ["ragna (2)", "ragna", "third"], f"{names}")
    expect([diver["lead"] for diver in answer["divers"]] == [False, True, False], "another leads than was named")


def no_number_makes_two_alike(tool, folder):
    for name in ("a", "b", "c"):
        write(folder, name, owner="Owner")
    answer = review(tool, folder, "Eskil=a.uddf", "Eskil=b.uddf", "Eskil (2)=c.uddf")
    names = [diver["name"] for diver in answer["divers"]]
    expect(names == ["Eskil", "Eskil (3)", "Eskil (2)"], f"{names}")


if __name__ == "__main__":
    raise SystemExit(run_scenarios(globals()))
