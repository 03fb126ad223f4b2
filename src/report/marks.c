/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/marks.h"

/* `surfaced`, where a ceiling stretch runs into the surfacing. */
bool ll_mark_is_shared(const ll_debrief *debrief, size_t finding)
{
    const ll_findings *findings = &debrief->findings;
    if (findings->items[finding].kind != LL_FINDING_SURFACED)
        return false;
    for (size_t i = 0; i < findings->count; i++)
        if (findings->items[i].told_with_surfaced && i != finding)
            return true;
    return false;
}

/* The one that a finding is told with; itself where it has a row of its own. */
static size_t told_by(const ll_debrief *debrief, size_t finding)
{
    if (!ll_mark_is_shared(debrief, finding))
        return finding;
    for (size_t i = 0; i < debrief->findings.count; i++)
        if (debrief->findings.items[i].told_with_surfaced && i != finding)
            return i;
    return finding;
}

unsigned ll_mark_of_finding(const ll_debrief *debrief, size_t finding)
{
    size_t told = told_by(debrief, finding);
    unsigned mark = 1;
    for (size_t i = 0; i < told; i++)
        mark += !ll_mark_is_shared(debrief, i);
    return mark;
}

const char *ll_mark_of_switch(size_t index, char letters[LL_MARK_LETTERS])
{
    size_t at = LL_MARK_LETTERS - 1;
    letters[at] = '\0';
    for (size_t rest = index + 1; rest > 0 && at > 0; rest = (rest - 1) / 26)
        letters[--at] = (char)('a' + (rest - 1) % 26);
    return letters + at;
}
