/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reader of course standards. */
#include "standard/standard.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    fuzz_bytes from = {bytes, size, 0};
    ll_standard *standard;
    ll_error error = {LL_OK, 0, ""};
    const ll_status status = ll_standard_read("fuzz.xml", fuzz_read, &from, NULL, &standard, &error);
    fuzz_check((status == LL_OK) == (standard != NULL), "a standard where the status says so");
    fuzz_check(status == LL_OK || error.text[0] != '\0', "a refusal has a sentence");
    if (standard) {
        ll_settings settings;
        ll_limits limits;
        ll_settings_built_in(&settings);
        ll_limits_built_in(&limits);
        ll_standard_apply(standard, &settings, &limits);
        fuzz_check(ll_settings_check(&settings, &error) == LL_OK, "a standard gives settings that may be replayed with");
    }
    ll_standard_free(standard);
    return 0;
}
