/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "standard/plan.h"

#include <string.h>

void ll_plan_free(ll_plan *plan)
{
    if (!plan)
        return;
    ll_arena arena = plan->arena; /* the plan itself lives in it */
    ll_arena_close(&arena);
}

bool ll_plan_looks_like_log(const void *bytes, size_t size)
{
    /* white space, the bytes of byte order marks, and the 0 that fills up UTF-16 */
    static const char passed_over[] = " \t\r\n\xEF\xBB\xBF\xFF\xFE";
    const char *text = bytes;
    size_t at = 0;
    if (size >= 2 && memcmp(text, "\x1F\x8B", 2) == 0)
        return true;
    while (at < size && memchr(passed_over, text[at], sizeof passed_over))
        at++;
    return at < size && text[at] == '<';
}

const ll_plan_point *ll_plan_at(const ll_plan_variant *variant, double run_s)
{
    size_t low = 0, high = variant->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (variant->point[middle].run_s <= run_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low ? &variant->point[low - 1] : NULL;
}

double ll_plan_depth_m(const ll_plan_variant *variant, double run_s)
{
    const ll_plan_point *from = ll_plan_at(variant, run_s);
    if (!from)
        return 0;
    if (from == &variant->point[variant->count - 1])
        return run_s > from->run_s ? 0 : from->depth_m;
    const ll_plan_point *to = from + 1;
    return from->depth_m + (to->depth_m - from->depth_m) * ((run_s - from->run_s) / (to->run_s - from->run_s));
}
