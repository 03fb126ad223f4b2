/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reader of plans. */
#include <math.h>

#include "standard/plan.h"
#include "target.h"

static void check_variant(const ll_plan_variant *variant)
{
    fuzz_check(variant->count >= 2, "a variant has two lines");
    for (size_t i = 0; i < variant->count; i++) {
        const ll_plan_point *point = &variant->point[i];
        fuzz_check(point->depth_m >= 0 && point->depth_m <= LL_PLAN_DEEPEST_M, "depths lie within their bounds");
        fuzz_check(point->o2 > 0 && point->he >= 0 && point->o2 + point->he <= 1 + 1e-9, "mixes are gases");
        fuzz_check(i == 0 || point->run_s >= variant->point[i - 1].run_s, "run times do not fall");
        fuzz_check(isfinite(ll_plan_depth_m(variant, point->run_s)), "a planned depth is finite");
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    fuzz_bytes from = {bytes, size, 0};
    ll_plan *plan;
    ll_error error = {LL_OK, 0, ""};
    ll_plan_looks_like_log(bytes, size);
    const ll_status status = ll_plan_read("fuzz.txt", fuzz_read, &from, NULL, &plan, &error);
    fuzz_check((status == LL_OK) == (plan != NULL), "a plan where the status says so");
    fuzz_check(status == LL_OK || error.text[0] != '\0', "a refusal has a sentence");
    for (size_t i = 0; plan && i < plan->count; i++)
        check_variant(&plan->variant[i]);
    ll_plan_free(plan);
    return 0;
}
