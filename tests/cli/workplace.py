# SPDX-License-Identifier: GPL-3.0-or-later
"""A folder to run the tool in: copies of the sample logs, and a few inputs made here.

Every file made here is invented; the diver is of the fictional school Skiferholt.
"""
import contextlib
import gzip
import inspect
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parents[2]

# A clean environment: nothing of the caller's terminal, width or locale.
ENVIRONMENT = {"PATH": os.environ.get("PATH", "/usr/bin:/bin"), "LC_ALL": "C"}
for name in ("ASAN_OPTIONS", "UBSAN_OPTIONS", "LSAN_OPTIONS", "TSAN_OPTIONS"):
    if name in os.environ:
        ENVIRONMENT[name] = os.environ[name]


def _dive(number, start, points):
    rows = "\n".join(
        f"<waypoint><depth>{depth}</depth><divetime>{time}</divetime></waypoint>" for time, depth in points)
    return f"""<dive id="d{number}">
<informationbeforedive><datetime>{start}</datetime></informationbeforedive>
<samples>
{rows}
</samples>
</dive>
"""


def log(*dives, owner=("Solveig", "Rustad")):
    """A small UDDF log of air dives, each a start and its (seconds, metres)."""
    body = "".join(_dive(number, start, points) for number, (start, points) in enumerate(dives, 1))
    return f"""<?xml version="1.0" encoding="utf-8"?>
<uddf version="3.2.0">
<generator><name>Skiferholt</name></generator>
<diver><owner id="o"><personal>
<firstname>{owner[0]}</firstname><lastname>{owner[1]}</lastname>
</personal></owner></diver>
<gasdefinitions><mix id="air"><name>air</name><o2>0.21</o2><he>0</he></mix></gasdefinitions>
<profiledata><repetitiongroup id="g">
{body}</repetitiongroup></profiledata>
</uddf>
"""


CALM = [(0, 0), (120, 12), (900, 12), (1500, 5), (1700, 5), (1900, 0)]
# 30 m in a minute: half as fast again as the rate from which a finding is serious.
FAST = [(0, 0), (120, 30), (600, 30), (610, 25), (620, 20), (630, 15), (640, 10), (650, 5), (660, 0)]


MORNING = "2026-05-03T09:00:00"
THREE = [("2026-05-03T09:00:00", CALM), ("2026-05-03T14:00:00", CALM), ("2026-05-04T09:00:00", CALM)]


def _make_inputs(folder):
    calm = log((MORNING, CALM))
    texts = {
        "calm.uddf": calm,
        "two words.uddf": calm,
        "fast.uddf": log((MORNING, FAST)),
        "three.uddf": log(*THREE),
        "other-owner.uddf": log((MORNING, CALM), owner=("Eirik", "Lunde")),
        "cut.uddf": calm[:700],
        "empty.uddf": "",
        "page.html": "<!DOCTYPE html>\n<html><head><title>404</title></head><body>gone</body></html>\n",
        "words.txt": "this is no log\n",
        "two-limits.xml": """<standard xmlns="urn:leadline:standard:1" name="n">
<limits>
<limit of="depth" unit="m" serious="60"/>
<limit of="depth" unit="m" serious="50"/>
</limits>
</standard>
""",
    }
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "calm.uddf.gz").write_bytes(gzip.compress(calm.encode(), mtime=0))
    (folder / "folder").mkdir()


@contextlib.contextmanager
def workplace():
    """Yields a fresh folder; removes it afterwards."""
    with tempfile.TemporaryDirectory(prefix="leadline-cli-") as name:
        folder = pathlib.Path(name)
        samples = SOURCE / "sample-logs"
        for path in sorted([*samples.glob("*.uddf*"), *samples.glob("standard-*.xml")]):
            shutil.copy(path, folder)
        shutil.copytree(samples / "class", folder / "class")
        _make_inputs(folder)
        yield folder


def tool_named():
    """The tool that the first argument names."""
    path = pathlib.Path(sys.argv[1]).resolve()
    if not path.is_file():
        sys.exit(f"there is no tool {path.name}")
    return str(path)


def run(tool, arguments, folder, *, environment=None, **more):
    """Runs the tool in the folder; bytes of both outputs are captured unless given in `more`."""
    more.setdefault("stdout", subprocess.PIPE)
    more.setdefault("stderr", subprocess.PIPE)
    if "input" not in more:
        more.setdefault("stdin", subprocess.DEVNULL)
    return subprocess.run([tool, *arguments], cwd=folder, env={**ENVIRONMENT, **(environment or {})}, timeout=120,
                          check=False, **more)


def gives_nothing_up(tool):
    """True of a tool that was built with a sanitizer or to count lines: it does not confine itself, and is slow."""
    code = pathlib.Path(tool).read_bytes()
    return any(name in code for name in (b"__asan_init", b"__tsan_init", b"__msan_init", b"__gcov_init"))


def comma_locale(folder):
    """Makes a locale with a decimal comma in the folder; what brings it into the environment, or None."""
    localedef = shutil.which("localedef")
    made = localedef and subprocess.run([localedef, "-i", "de_DE", "-f", "UTF-8", str(folder / "de_DE.UTF-8")],
                                        capture_output=True, check=False).returncode in (0, 1)
    environment = {"LOCPATH": str(folder), "LC_ALL": "de_DE.UTF-8"}
    point = subprocess.run([sys.executable, "-c", "import locale;locale.setlocale(locale.LC_ALL,'');"
                            "print(locale.localeconv()['decimal_point'])"], capture_output=True, text=True, check=False,
                           env={**ENVIRONMENT, **environment})
    return environment if made and point.stdout.strip() == "," else None


def leftovers(folder):
    """Temporary files that the tool left behind."""
    return sorted(str(path) for path in folder.rglob(".leadline-*"))


def expect(condition, sentence):
    if not condition:
        raise AssertionError(sentence)


def expect_end(result, code, words=""):
    stderr = result.stderr.decode() if result.stderr else ""
    expect(result.returncode == code, f"exit code {result.returncode}, expected {code}: {stderr}")
    expect(words in stderr, f"standard error lacks '{words}': {stderr}")


def _is_scenario(value):
    return inspect.isfunction(value) and list(inspect.signature(value).parameters) == ["tool", "folder"]


def _run_scenario(tool, scenario):
    """None, or a sentence about what went wrong."""
    try:
        with workplace() as folder:
            said = scenario(tool, folder)
            expect(not leftovers(folder), f"left behind {leftovers(folder)}")
        if said:
            print(f"{scenario.__name__}: {said}")
    except Exception as wrong:  # whatever it is, the scenario failed
        return f"{scenario.__name__}: {type(wrong).__name__}: {wrong}"
    return None


def expect_no_reader(tool, folder, arguments):
    """Into a pipe whose reader has gone: exit code 4 and a sentence."""
    reader, writer = os.pipe()
    os.close(reader)
    try:
        expect_end(run(tool, arguments, folder, stdout=writer), 4, "standard output: cannot be written: Broken pipe")
    finally:
        os.close(writer)


def run_scenarios(names):
    """Runs every function (tool, folder) of a module, each in a fresh folder; the tool is the first argument.
    A scenario that cannot run here returns a sentence saying so. True if anything failed."""
    tool = tool_named()
    scenarios = [value for value in names.values() if _is_scenario(value)]
    wrong = [sentence for scenario in scenarios if (sentence := _run_scenario(tool, scenario))]
    for sentence in wrong:
        print(sentence)
    print(f"{len(scenarios) - len(wrong)} passed, {len(wrong)} failed")
    return bool(wrong) or not scenarios
