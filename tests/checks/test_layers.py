#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Shows that layers.py sees each kind of breach, and nothing where there is none."""
import pathlib
import subprocess
import sys
import tempfile

CHECK = pathlib.Path(__file__).with_name('layers.py')

# file, its text, whether it is a breach
CASES = [
    ('model/a.c', '#include "base/arena.h"\n#include <math.h>\n', False),
    ('model/a.c', '#include "log/log.h"\n', True),
    ('report/a.c', '#include "model/gas.h"\n', True),
    ('report/a.c', '#include "assess/debrief.h"\n', False),
    ('cli/a.c', '#include <leadline/leadline.h>\n#include <unistd.h>\n', False),
    ('cli/a.c', '#include "replay/replay.h"\n', True),
    ('base/a.h', '#include <leadline/status.h>\n', False),
    ('base/a.h', '#include <leadline/leadline.h>\n', True),
    ('log/a.c', '#include <libxml/parser.h>\n#include <zlib.h>\n', False),
    ('report/a.c', '#include <libxml/parser.h>\n', True),
    ('base/other.c', '#include <gsl/gsl_roots.h>\n', True),
    ('base/numeric.c', '#include <gsl/gsl_roots.h>\n', False),
    ('replay/a.c', '#include <pthread.h>\n', True),
    ('replay/a.c', 'void *f(void) { return malloc(4); }\n', True),
    ('replay/a.c', 'void f(x *y) { y->free(y); ll_arena_free(y); }\n', False),
    ('base/arena.c', 'void f(void *x) { free(x); }\n', False),
    ('replay/a.c', '/* malloc(4) exit(1) */ const char *s = "free(x)";\n', False),
    ('assess/a.c', 'void f(void) { exit (1); }\n', True),
    ('report/a.c', 'void f(void) { printf("x"); }\n', True),
    ('report/a.c', 'void f(char *t) { snprintf(t, 4, "%d %%", 1); }\n', False),
    ('report/a.c', 'void f(char *t) { snprintf(t, 4, "%.1f", 1.0); }\n', True),
    ('report/a.c', 'const char *s = "over 100 % at most";\n', False),
    ('standard/a.c', 'double f(const char *t) { return strtod(t, 0); }\n', True),
    ('log/a.c', 'long f(void) { return time(0); }\n', True),
    ('log/a.c', 'long f(void) { return open("x", 0); }\n', True),
    ('cli/a.c', 'long f(void) { return time(0); }\n', False),
    ('log/a.c', '/* a dash \u2013 */\n', True),
    ('lung/a.c', 'int x;\n', True),
]


def is_breach(name, text):
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / name
        path.parent.mkdir()
        path.write_text(text, encoding='utf-8')
        return subprocess.run([sys.executable, CHECK, folder], capture_output=True).returncode != 0


wrong = [case for case in CASES if is_breach(*case[:2]) != case[2]]
print(*wrong, f'{len(CASES)} cases, {len(wrong)} wrong', sep='\n')
sys.exit(1 if wrong else 0)
