/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log reader: whatever the bytes, a log whose columns keep their promises, or one sentence; and the same by a crew. */
#include <math.h>
#include <string.h>

#include "log/log.h"
#include "same_logs.h"
#include "target.h"

static void check_dive(const ll_log *log, const ll_dive *dive)
{
    for (size_t i = 0; i < dive->count; i++) {
        fuzz_check(isfinite(dive->time_s[i]) && isfinite(dive->depth_m[i]), "times and depths are finite");
        fuzz_check(dive->depth_m[i] >= 0, "depths are not negative");
        fuzz_check(i == 0 || dive->time_s[i] > dive->time_s[i - 1], "times rise strictly");
    }
    size_t at = 0;
    for (size_t i = 0; i < dive->spans; i++) {
        fuzz_check(dive->span[i].first == at && dive->span[i].end > at, "spans follow each other without gaps");
        fuzz_check(dive->span[i].mix >= LL_MIX_UNKNOWN && dive->span[i].mix < (int)log->mixes, "a span's mix is one");
        at = dive->span[i].end;
    }
    fuzz_check(at == dive->count || dive->spans == 0, "spans cover all samples");
    for (size_t i = 0; i < dive->tank_pressures; i++)
        for (size_t k = 0; k < dive->tank_pressure[i].count; k++)
            fuzz_check(dive->tank_pressure[i].sample[k] < dive->count, "readings lie at samples");
}

static void run_backwards(void *nothing, size_t jobs, size_t count, ll_work work, void *context)
{
    (void)nothing, (void)jobs;
    for (size_t i = count; i-- > 0;)
        work(context, i);
}

/* A crew whose pieces are small reads the same log, or says the same sentence. */
static void check_crew(const uint8_t *bytes, size_t size, const ll_log *alone, const ll_error *error)
{
    const ll_crew crew = {run_backwards, NULL, 3};
    fuzz_bytes from = {bytes, size, 0};
    ll_input_limits limits = ll_input_limits_built_in;
    ll_log *log;
    ll_error own = {LL_OK, 0, ""};
    limits.block_bytes = 300 + size / 5;
    ll_log_read_by("fuzz.uddf", fuzz_read, NULL, &from, &crew, NULL, &limits, &log, &own);
    fuzz_check((log != NULL) == (alone != NULL), "a crew reads what one reads");
    if (log)
        fuzz_check(logs_differ(alone, log) == NULL, "a crew reads the same log");
    else
        fuzz_check(own.status == error->status && own.line == error->line && strcmp(own.text, error->text) == 0,
                   "a crew says the same sentence");
    ll_log_free(log);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    fuzz_bytes from = {bytes, size, 0};
    ll_log *log;
    ll_error error = {LL_OK, 0, ""};
    const ll_status status = ll_log_read("fuzz.uddf", fuzz_read, &from, NULL, NULL, &log, &error);
    fuzz_check((status == LL_OK) == (log != NULL), "a log where the status says so");
    fuzz_check(status == LL_OK || error.text[0] != '\0', "a refusal has a sentence");
    for (size_t i = 0; log && i < log->dives; i++)
        check_dive(log, &log->dive[i]);
    check_crew(bytes, size, log, &error);
    ll_log_free(log);
    return 0;
}
