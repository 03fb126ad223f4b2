/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/samples.h"

#include <math.h>
#include <stdint.h>

#include "report/html.h"
#include "report/json.h"
#include "report/text_figures.h"

#define HELIUM_EVERY_S 4.0

/* --- base64 (RFC 4648), little end first --------------------------------------------------------------------------- */

typedef struct packing {
    ll_text *out;
    uint32_t bits;
    int held;
} packing;

static void put_digit(ll_text *out, uint32_t six)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    ll_text_putc(out, digits[six & 63]);
}

static void put_byte(packing *to, uint32_t byte)
{
    to->bits = to->bits << 8 | (byte & 0xFF);
    to->held += 8;
    while (to->held >= 6) {
        to->held -= 6;
        put_digit(to->out, to->bits >> to->held);
    }
}

static void put_number(packing *to, int64_t number, int bits)
{
    uint64_t rest = (uint64_t)number;
    for (int i = 0; i < bits / 8; i++, rest >>= 8)
        put_byte(to, (uint32_t)(rest & 0xFF));
}

static void put_end(packing *to)
{
    if (to->held == 0)
        return;
    put_digit(to->out, to->bits << (6 - to->held));
    ll_text_puts(to->out, to->held == 2 ? "==" : "=");
}

/* --- columns ------------------------------------------------------------------------------------------------------ */

/* How a column is stored: value = number times scale. The greatest number (with a sign the least) means missing. */
typedef struct format {
    const char *key, *unit;
    double scale;
    double printed; /* the last digit that a reader sees; 0: any */
    int bits;       /* 8 or 16; 32 where the values need it */
    bool is_signed;
} format;

static int64_t missing_number(const format *as)
{
    return as->is_signed ? -((int64_t)1 << (as->bits - 1)) : ((int64_t)1 << as->bits) - 1;
}

static int64_t greatest_number(const format *as)
{
    return as->is_signed ? ((int64_t)1 << (as->bits - 1)) - 1 : ((int64_t)1 << as->bits) - 2;
}

static bool fits(const format *as, double value)
{
    const double number = round(value / as->scale);
    return fabs(number) < (double)greatest_number(as) && (number >= 0 || as->is_signed);
}

static int bits_for(const format *as, const double *value, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (isfinite(value[i]) && !fits(as, fabs(value[i])))
            return 32;
    return as->bits;
}

/* Half-way between two printed figures a reader would round once more: one step to the side where the value lies, so
 * that the figure of the cursor is that of the words. */
static int64_t off_the_middle(int64_t number, double exact, int64_t steps_a_digit)
{
    if (steps_a_digit < 2)
        return number;
    const int64_t twice = 2 * (number % steps_a_digit);
    if (twice != steps_a_digit && twice != -steps_a_digit)
        return number;
    return number + (exact > (double)number) - (exact < (double)number);
}

/* What was a whole number of steps before it was a double is one again. */
static double in_steps(double value, double scale)
{
    const double whole = round(value / scale);
    return fabs(value / scale - whole) < 1e-9 ? whole : value / scale;
}

static int64_t number_of(const format *as, double value)
{
    if (!isfinite(value) || !fits(as, value))
        return missing_number(as);
    const double exact = in_steps(value, as->scale);
    return off_the_middle(llround(exact), exact, llround(as->printed / as->scale));
}

static void add_column(ll_json *json, const format *asked, const double *value, size_t count)
{
    format as = *asked;
    as.bits = bits_for(asked, value, count);
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "key", as.key);
    ll_json_string(json, "unit", as.unit);
    ll_json_number(json, "scale", as.scale);
    ll_json_number(json, "offset", 0);
    ll_json_whole(json, "bits", (unsigned long)as.bits);
    ll_json_bool(json, "signed", as.is_signed);
    ll_text_puts(json->out, ",\"data\":\"");
    packing to = {json->out, 0, 0};
    for (size_t i = 0; i < count; i++)
        put_number(&to, number_of(&as, value[i]), as.bits);
    put_end(&to);
    ll_text_putc(json->out, '"');
    ll_json_close(json, '}');
}

/* What the read-out shows, each at least five times finer than it prints. */
static const struct {
    ll_quantity quantity;
    double scale;
    int bits;
    bool is_signed;
} stored[] = {
    {LL_DEPTH, 0.01, 16, true},         {LL_PO2, 0.0001, 16, false},    {LL_END_N2, 0.002, 16, false},
    {LL_END_N2O2, 0.002, 16, false},    {LL_DENSITY, 0.001, 16, false}, {LL_ASCENT_RATE, 0.01, 16, true},
    {LL_CEILING, 0.002, 16, false},     {LL_STOP, 0.01, 16, false},     {LL_GRADIENT, 0.1, 16, true},
    {LL_TIME_TO_SURFACE, 1, 16, false}, {LL_CNS, 0.01, 16, false},      {LL_OTU, 0.01, 16, false},
};

/* Times are exact: whole seconds where the record has no other, else milliseconds. */
static void add_times(ll_json *json, const double *time_s, size_t count)
{
    format as = {"time_s", "s", 1, 0, 16, false};
    for (size_t i = 0; i < count; i++)
        if (time_s[i] != floor(time_s[i]))
            as = (format){"time_s", "s", 0.001, 0, 32, false};
    add_column(json, &as, time_s, count);
}

/* --- parts -------------------------------------------------------------------------------------------------------- */

typedef struct window {
    const ll_debrief *debrief;
    const ll_track *track;
    size_t first, count;
    double *scratch; /* room for a column */
} window;

static void add_quantities(ll_json *json, const window *of)
{
    add_times(json, of->debrief->profile.time_s + of->first, of->count);
    for (size_t i = 0; i < sizeof stored / sizeof *stored; i++) {
        const double *column = of->track->column[stored[i].quantity];
        const ll_quantity_row *row = &ll_quantity_table[stored[i].quantity];
        const double printed = pow(10, -row->digits);
        const format as = {row->key, row->unit, stored[i].scale, printed, stored[i].bits, stored[i].is_signed};
        if (column)
            add_column(json, &as, column + of->first, of->count);
    }
}

static void add_headroom(ll_json *json, const window *of)
{
    for (int c = 0; c < LL_COMPARTMENTS && of->track->headroom[c]; c++) {
        const format as = {"headroom_bar", "bar", 0.001, 0.01, 16, true};
        add_column(json, &as, of->track->headroom[c] + of->first, of->count);
    }
}

/* How many samples apart the shares of helium are stored: they change slowly, and 4 s are near enough for a dot. */
static size_t helium_stride(const window *of)
{
    const double interval_s = of->debrief->profile.interval_s;
    return interval_s > 0 && interval_s < HELIUM_EVERY_S ? (size_t)(HELIUM_EVERY_S / interval_s) : 1;
}

/* Of each compartment's load the part that is helium; an empty column where there is none in the whole dive. */
static void add_helium(ll_json *json, const window *of)
{
    const size_t stride = helium_stride(of);
    for (int c = 0; c < LL_COMPARTMENTS && of->track->headroom[c] && of->track->he[c]; c++) {
        const double *n2 = of->track->n2[c] + of->first, *he = of->track->he[c] + of->first;
        size_t stored_count = 0;
        bool any = false;
        for (size_t i = 0; i < of->count; i += stride) {
            of->scratch[stored_count] = he[i] / (n2[i] + he[i]);
            any = any || of->scratch[stored_count] > 0;
            stored_count++;
        }
        const format as = {"helium_share", "", 0.004, 0, 8, false};
        add_column(json, &as, of->scratch, any ? stored_count : 0);
    }
}

/* What is breathed, as words; a sample holds the place of its words in the list. */
static void add_gases(ll_json *json, const window *of)
{
    const ll_profile *profile = &of->debrief->profile;
    ll_json_open(json, "gases", '[');
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        ll_text words;
        ll_text_open(&words, json->out->allocator, NULL, NULL);
        ll_text_puts(&words, gas->loop ? "loop, diluent " : "");
        ll_mix_add(&words, of->debrief->entry->log, gas->mix);
        ll_json_open(json, NULL, '{');
        ll_json_number(json, "from_s", profile->time_s[gas->first]);
        ll_json_scratch(json, "words", &words);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_tanks(ll_json *json, const window *of)
{
    static const format pressures = {"pressure_bar", "bar", 0.05, 1, 16, false};
    const ll_dive *dive = of->debrief->entry->dive;
    ll_json_open(json, "tanks", '[');
    for (size_t t = 0; t < dive->tank_pressures; t++) {
        const ll_series *series = &dive->tank_pressure[t];
        for (size_t i = 0; i < series->count; i++)
            of->scratch[i] = dive->time_s[series->sample[i]];
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "name", ll_tank_name(of->debrief->entry->log, dive, series));
        ll_json_open(json, "columns", '[');
        add_times(json, of->scratch, series->count);
        add_column(json, &pressures, series->value, series->count);
        ll_json_close(json, ']');
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_all(ll_text *out, const window *of)
{
    const ll_profile *profile = &of->debrief->profile;
    ll_json json = {out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_whole(&json, "count", of->count);
    ll_json_number(&json, "from_s", profile->time_s[of->first]);
    ll_json_number(&json, "to_s", profile->time_s[of->first + of->count - 1]);
    add_gases(&json, of);
    add_tanks(&json, of);
    ll_json_open(&json, "columns", '[');
    add_quantities(&json, of);
    ll_json_close(&json, ']');
    ll_json_open(&json, "headroom", '[');
    add_headroom(&json, of);
    ll_json_close(&json, ']');
    ll_json_whole(&json, "helium_every", helium_stride(of));
    ll_json_open(&json, "helium", '[');
    add_helium(&json, of);
    ll_json_close(&json, ']');
    ll_json_close(&json, '}');
}

void ll_html_samples(ll_text *out, const ll_debrief *debrief, const ll_track *track)
{
    const ll_profile *profile = &debrief->profile;
    if (!profile->has_run_time)
        return;
    ll_text json;
    ll_arena arena;
    ll_text_open(&json, out->allocator, NULL, NULL);
    ll_arena_open(&arena, out->allocator);
    const window of = {debrief, track, profile->leaving, profile->surfacing - profile->leaving + 1,
                       ll_arena_array(&arena, profile->count, sizeof(double))};
    if (of.scratch) {
        add_all(&json, &of);
        ll_text_puts(out, "<script type=\"application/json\" class=\"samples\">");
        ll_html_json(out, &json);
        ll_text_puts(out, "</script>\n");
    }
    out->no_memory = out->no_memory || !of.scratch || json.no_memory;
    ll_arena_close(&arena);
    ll_text_close(&json);
}
