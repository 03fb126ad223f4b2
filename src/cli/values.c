/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/values.h"

#include <string.h>

#include "base/number.h"
#include "base/quantity.h"
#include "base/settings.h"
#include "base/time.h"
#include "base/units.h"

/* The place of `value` in a NULL-terminated list of words, or -1. */
static int find(const char *const *words, const char *value)
{
    for (int i = 0; words[i]; i++)
        if (strcmp(words[i], value) == 0)
            return i;
    return -1;
}

static bool read_number(const char *value, double *number)
{
    return ll_number_read(value, strlen(value), number);
}

static bool read_whole(const char *value, size_t length, unsigned *number)
{
    return ll_whole_read(value, length, number) && *number > 0;
}

static bool read_yes(const char *value, bool *yes)
{
    static const char *const words[] = {"no", "yes", NULL};
    int found = find(words, value);
    *yes = found == 1;
    return found >= 0;
}

/* "N" or "N-M" */
static bool read_numbers(const char *value, unsigned *first, unsigned *last)
{
    const char *dash = strchr(value, '-');
    if (!dash) {
        bool is_number = read_whole(value, strlen(value), first);
        *last = *first;
        return is_number;
    }
    return read_whole(value, (size_t)(dash - value), first) && read_whole(dash + 1, strlen(dash + 1), last) &&
           *first <= *last;
}

bool ll_take_dive(ll_options *options, const char *value)
{
    leadline_selection *selection = &options->selection;
    options->has_selection = true;
    *selection = (leadline_selection){.by = LEADLINE_ALL};
    if (strcmp(value, "all") == 0)
        return true;
    selection->by = LEADLINE_DAY;
    if (ll_day_read(value, strlen(value), &selection->day))
        return true;
    selection->by = LEADLINE_NUMBERS;
    return read_numbers(value, &selection->first, &selection->last);
}

bool ll_take_gf(ll_options *options, const char *value)
{
    ll_settings *settings = &options->settings;
    settings->gf_origin = LL_COMMAND_LINE;
    settings->gf_from_log = strcmp(value, "log") == 0;
    if (settings->gf_from_log)
        return true;
    const char *slash = strchr(value, '/');
    return slash && ll_number_read(value, (size_t)(slash - value), &settings->gf_low_percent) &&
           read_number(slash + 1, &settings->gf_high_percent);
}

bool ll_take_model(ll_options *options, const char *value)
{
    options->settings.model_origin = LL_COMMAND_LINE;
    for (int i = 0; i < LL_MODELS; i++) {
        options->settings.model = (ll_model)i;
        if (strcmp(ll_model_table[i].key, value) == 0)
            return true;
    }
    return false;
}

static bool read_water(const char *value, ll_water *water, double *kg_m3)
{
    static const char *const words[] = {"fresh", "sea", "log", NULL};
    static const double densities[] = {LL_WATER_FRESH_KG_M3, LL_WATER_SEA_KG_M3, LL_WATER_EN13319_KG_M3};
    int found = find(words, value);
    *water = found == 2 ? LL_WATER_FROM_LOG : LL_WATER_NUMBER;
    if (found < 0)
        return read_number(value, kg_m3);
    *kg_m3 = densities[found];
    return true;
}

/* The part before the last `mark`, in the arena; NULL if it is empty or memory ran out. */
static const char *name_before(ll_options *options, const char *value, char mark, const char **rest)
{
    const char *at = strrchr(value, mark);
    if (!at || at == value)
        return NULL;
    *rest = at + 1;
    return ll_arena_text_n(options->arena, value, (size_t)(at - value));
}

bool ll_take_water(ll_options *options, const char *value)
{
    ll_settings *settings = &options->settings;
    const char *rest;
    if (strchr(value, '=')) {
        leadline_diver_water *own = &options->water[options->waters];
        own->name = name_before(options, value, '=', &rest);
        enum { LEAST = 900, MOST = 1300 }; /* as for all divers, see ll_settings_check */
        if (!own->name || !read_water(rest, &own->water, &own->kg_m3) || !(own->kg_m3 >= LEAST && own->kg_m3 <= MOST))
            return false;
        options->waters++;
        return true;
    }
    settings->water_origin = LL_COMMAND_LINE;
    return read_water(value, &settings->water, &settings->water_kg_m3);
}

/* Standard input is for logs. */
bool ll_take_plan(ll_options *options, const char *value)
{
    options->plan_path = value;
    return *value != '\0' && strcmp(value, "-") != 0;
}

bool ll_take_clock(ll_options *options, const char *value)
{
    const char *rest;
    if (strcmp(value, "trust") == 0) {
        options->trust_clocks = true;
        return true;
    }
    leadline_clock *clock = &options->clock[options->clocks];
    clock->name = name_before(options, value, '=', &rest);
    if (!clock->name || !read_number(rest, &clock->seconds))
        return false;
    options->clocks++;
    return true;
}

bool ll_take_pair(ll_options *options, const char *value)
{
    leadline_pair *pair = &options->pair[options->pairs];
    pair->one = name_before(options, value, ',', &pair->other);
    if (!pair->one || *pair->other == '\0')
        return false;
    options->pairs++;
    return true;
}

bool ll_take_lead(ll_options *options, const char *value)
{
    options->lead = value;
    return *value != '\0';
}

bool ll_take_extract(ll_options *options, const char *value)
{
    options->extract = value;
    return *value != '\0';
}

bool ll_take_surface(ll_options *options, const char *value)
{
    options->settings.surface_origin = LL_COMMAND_LINE;
    return read_number(value, &options->settings.surface_bar);
}

bool ll_take_last_stop(ll_options *options, const char *value)
{
    options->settings.last_stop_origin = LL_COMMAND_LINE;
    return read_number(value, &options->settings.last_stop_m);
}

bool ll_take_firm(ll_options *options, const char *value)
{
    return read_yes(value, &options->settings.firm);
}

bool ll_take_narcotic_oxygen(ll_options *options, const char *value)
{
    options->settings.narcotic_origin = LL_COMMAND_LINE;
    return read_yes(value, &options->settings.narcotic_oxygen);
}

bool ll_take_rmv(ll_options *options, const char *value)
{
    options->settings.rmv_origin = LL_COMMAND_LINE;
    return read_number(value, &options->settings.rmv_l_min);
}

bool ll_take_assume_air(ll_options *options, const char *value)
{
    (void)value;
    options->settings.assume_air = true;
    return true;
}

/* Standard input is for logs. */
bool ll_take_standard(ll_options *options, const char *value)
{
    options->standard_path = value;
    return *value != '\0' && strcmp(value, "-") != 0;
}

bool ll_take_as_of(ll_options *options, const char *value)
{
    options->has_as_of = ll_day_read(value, strlen(value), &options->as_of);
    return options->has_as_of;
}

const char *const ll_format_words[LL_FORMATS + 1] = {[LEADLINE_TEXT] = "text", [LEADLINE_JSON] = "json",
                                                     [LEADLINE_CSV] = "csv", [LEADLINE_HTML] = "html"};

bool ll_take_format(ll_options *options, const char *value)
{
    int found = find(ll_format_words, value);
    options->has_format = found >= 0;
    if (found >= 0)
        options->format = (leadline_format)found;
    return found >= 0;
}

bool ll_take_output(ll_options *options, const char *value)
{
    options->output = value;
    return *value != '\0';
}

bool ll_take_units(ll_options *options, const char *value)
{
    static const char *const words[] = {"metric", "imperial", NULL};
    int found = find(words, value);
    options->imperial = found == 1;
    return found >= 0;
}

/* "dive", or a quantity that has one column. */
static bool is_column(const char *key, size_t length)
{
    static const char dive[] = "dive";
    if (length == sizeof dive - 1 && memcmp(key, dive, length) == 0)
        return true;
    ll_quantity quantity = ll_quantity_find(key, length);
    return quantity != LL_QUANTITIES && quantity != LL_TISSUES_N2 && quantity != LL_TISSUES_HE;
}

bool ll_take_columns(ll_options *options, const char *value)
{
    options->columns = value;
    for (;;) {
        size_t length = strcspn(value, ",");
        if (!is_column(value, length))
            return false;
        if (value[length] == '\0')
            return true;
        value += length + 1;
    }
}

bool ll_take_tissues(ll_options *options, const char *value)
{
    (void)value;
    options->tissues = true;
    return true;
}

bool ll_take_each(ll_options *options, const char *value)
{
    (void)value;
    options->each = true;
    return true;
}

bool ll_take_diver(ll_options *options, const char *value)
{
    options->diver = value;
    return *value != '\0';
}

bool ll_take_names(ll_options *options, const char *value)
{
    static const char *const words[] = {"full", "initials", "letters", NULL};
    static const leadline_names names[] = {LEADLINE_NAMES_FULL, LEADLINE_NAMES_INITIALS, LEADLINE_NAMES_LETTERS};
    int found = find(words, value);
    if (found >= 0)
        options->names = names[found];
    return found >= 0;
}

bool ll_take_fail_on(ll_options *options, const char *value)
{
    static const char *const words[] = {"caution", "serious", NULL};
    enum { CAUTION = 2 }; /* as leadline_debrief counts severities */
    int found = find(words, value);
    options->fail_on = CAUTION + found;
    return found >= 0;
}

bool ll_take_jobs(ll_options *options, const char *value)
{
    return read_whole(value, strlen(value), &options->jobs) && options->jobs <= LL_JOBS_MOST;
}

bool ll_take_help(ll_options *options, const char *value)
{
    (void)value;
    options->help = true;
    return true;
}

bool ll_take_version(ll_options *options, const char *value)
{
    (void)value;
    options->version = true;
    return true;
}
