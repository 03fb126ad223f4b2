/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers and dates: what is read is what the C library reads of it, and what is written is read back. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "base/time.h"
#include "target.h"

static void check_number(const char *text, size_t size)
{
    double number, again;
    if (!ll_number_read(text, size, &number))
        return;
    fuzz_check(isfinite(number), "a number is finite");
    char *end;
    fuzz_check(strtod(text, &end) == number, "strtod reads the same");
    ll_text written;
    ll_text_open(&written, NULL, NULL, NULL);
    ll_number_add(&written, number);
    fuzz_check(ll_number_read(written.bytes, written.size, &again), "what is written is a number");
    fuzz_check(fabs(again - number) <= 1e-11 * fabs(number), "12 digits come back");
    ll_text_close(&written);
}

static void check_time(const char *text, size_t size)
{
    ll_instant instant, again;
    int64_t day;
    if (ll_day_read(text, size, &day))
        fuzz_check(ll_date_day(ll_day_date(day)) == day, "a day is its date");
    if (!ll_instant_read(text, size, &instant) || !instant.has_date)
        return;
    ll_text written;
    ll_text_open(&written, NULL, NULL, NULL);
    ll_instant_add(&written, &instant);
    fuzz_check(ll_instant_read(written.bytes, written.size, &again), "what is written is an instant");
    fuzz_check(again.local_s == instant.local_s && again.has_zone == instant.has_zone && again.zone_s == instant.zone_s,
               "the same instant comes back");
    ll_text_close(&written);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    char text[256];
    if (size >= sizeof text)
        return 0;
    memcpy(text, bytes, size);
    text[size] = '\0';
    check_number(text, size);
    check_time(text, size);
    return 0;
}
