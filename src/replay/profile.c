/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/profile.h"

#include <math.h>

#include "base/number.h"
#include "base/units.h"
#include "model/water.h"
#include "replay/inert.h"
#include "replay/interval.h"
#include "replay/loop.h"
#include "replay/phases.h"
#include "replay/stated.h"

/* Where notes go; nowhere if `list` is NULL. A figure inside a sentence is rounded to `decimals`. */
typedef struct {
    ll_notes *list;
    ll_arena *arena;
    bool no_memory;
} note_book;

static const char *figure(note_book *book, double value, int decimals)
{
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    ll_fixed_add(&text, value, decimals);
    const char *string = ll_text_string(&text);
    const char *kept = string ? ll_arena_text(book->arena, string) : NULL;
    ll_text_close(&text);
    book->no_memory = book->no_memory || !kept;
    return kept ? kept : "?";
}

static void note(note_book *book, ll_note_code code, long line, const char *value)
{
    if (book->list && !ll_note_add(book->list, book->arena, code, line, value))
        book->no_memory = true;
}

static void note_figure(note_book *book, ll_note_code code, long line, double value, int decimals)
{
    if (book->list)
        note(book, code, line, figure(book, value, decimals));
}

static bool is_pressure(double bar)
{
    return bar >= 0.5 && bar <= 1.1;
}

double ll_surface_pressure_bar(const ll_log *log, const ll_dive *dive, const ll_settings *settings, ll_origin *origin)
{
    double altitude = dive->altitude_m;
    if (isnan(altitude) && dive->site != LL_NONE)
        altitude = log->site[dive->site].altitude_m;
    *origin = LL_FROM_LOG;
    if (!isnan(settings->surface_bar)) {
        *origin = settings->surface_origin;
        return settings->surface_bar;
    }
    if (is_pressure(dive->surface_pressure_bar))
        return dive->surface_pressure_bar;
    if (!isnan(altitude))
        return ll_standard_surface_bar(altitude);
    *origin = LL_BUILT_IN;
    return LL_SURFACE_BAR;
}

static void set_water(ll_profile *profile, const ll_settings *settings, note_book *book)
{
    const ll_dive *dive = profile->dive;
    profile->surface_bar =
        ll_surface_pressure_bar(profile->log, dive, settings, &profile->surface_origin);
    if (!isnan(dive->surface_pressure_bar) && !is_pressure(dive->surface_pressure_bar))
        note_figure(book, LL_NOTE_SURFACE_PRESSURE_UNUSED, dive->line, dive->surface_pressure_bar, 3);

    double density = dive->density_kg_m3;
    bool use = settings->water == LL_WATER_FROM_LOG && density >= 990 && density <= 1250;
    profile->water_kg_m3 = use ? density : settings->water_kg_m3;
    profile->water_origin = use ? LL_FROM_LOG
                                : (settings->water == LL_WATER_FROM_LOG ? LL_BUILT_IN : settings->water_origin);
    if (!isnan(density) && !use)
        note_figure(book, LL_NOTE_DENSITY_UNUSED, dive->line, density, 0);
    profile->bar_per_m = ll_bar_per_metre(profile->water_kg_m3);
}

static void set_factors(ll_profile *profile, const ll_settings *settings, note_book *book)
{
    const ll_log *log = profile->log;
    profile->gf_low = settings->gf_low_percent / 100;
    profile->gf_high = settings->gf_high_percent / 100;
    profile->gf_origin = settings->gf_origin;
    if (!ll_model_table[settings->model].has_factors) {
        profile->gf_low = profile->gf_high = 1;
        profile->gf_origin = LL_BUILT_IN;
        return;
    }
    if (!settings->gf_from_log)
        return;
    double low = log->gf_low_fraction, high = log->gf_high_fraction;
    if (low > 0 && low <= high && high <= 1) {
        profile->gf_low = low;
        profile->gf_high = high;
        profile->gf_origin = LL_FROM_LOG;
        return;
    }
    profile->gf_origin = LL_BUILT_IN;
    note(book, LL_NOTE_GF_NOT_IN_LOG, 0, "");
}

static ll_breathed breathe_span(const ll_log *log, const ll_span *span, const ll_settings *settings)
{
    ll_breathed gas = {
        .first = span->first,
        .end = span->end,
        .mix = span->mix,
        .loop = span->circuit == LL_CLOSED_CIRCUIT || span->circuit == LL_SEMICLOSED_CIRCUIT,
        .set_point_bar = span->set_point_bar,
    };
    if (span->mix != LL_MIX_UNKNOWN) {
        gas.known = true;
        gas.o2 = log->mix[span->mix].o2_fraction;
        gas.he = log->mix[span->mix].he_fraction;
    } else {
        gas.known = settings->assume_air;
        gas.o2 = 0.21;
        gas.he = 0;
    }
    gas.n2 = 1 - gas.o2 - gas.he;
    return gas;
}

/* True if a loop span has samples for which neither a PO2 nor a set point is at hand. */
static bool lacks_po2(const ll_profile *profile, const ll_breathed *gas)
{
    if (!gas->loop || !gas->known || !isnan(gas->set_point_bar))
        return false;
    for (size_t i = gas->first; i < gas->end; i++)
        if (!(profile->measured_bar && !isnan(profile->measured_bar[i])) &&
            !(profile->calculated_bar && !isnan(profile->calculated_bar[i])))
            return true;
    return false;
}

static void note_gases(const ll_profile *profile, note_book *book)
{
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        double from_s = profile->time_s[gas->first];
        if (gas->mix == LL_MIX_UNKNOWN && gas->known)
            note(book, LL_NOTE_AIR_FOR_UNKNOWN, 0, "");
        else if (!gas->known)
            note_figure(book, LL_NOTE_GAS_UNKNOWN, 0, from_s, 0);
        if (!lacks_po2(profile, gas))
            continue;
        if (profile->dive->span[s].circuit == LL_SEMICLOSED_CIRCUIT)
            note(book, LL_NOTE_SEMICLOSED, 0, "");
        else
            note_figure(book, LL_NOTE_LOOP_WITHOUT_PO2, 0, from_s, 0);
    }
}

static bool set_gases(ll_profile *profile, const ll_settings *settings, ll_arena *arena)
{
    const ll_dive *dive = profile->dive;
    ll_breathed *breathed = ll_arena_array(arena, dive->spans, sizeof *breathed);
    if (!breathed)
        return false;
    for (size_t s = 0; s < dive->spans; s++)
        breathed[s] = breathe_span(profile->log, &dive->span[s], settings);
    profile->breathed = breathed;
    profile->breathed_count = dive->spans;
    return ll_loop_readings(profile, arena);
}

static void note_uncovered(const ll_profile *profile, const ll_breathed *gas, ll_model model, note_book *book)
{
    const char *label = gas->mix == LL_MIX_UNKNOWN ? "air" : profile->log->mix[gas->mix].label;
    if (!ll_note_add(book->list, book->arena, LL_NOTE_MODEL_DOES_NOT_COVER, 0, ll_model_table[model].name,
                     ll_inert_table[model]->covers, label, gas->loop ? " on a loop" : ""))
        book->no_memory = true;
}

static void note_stated(const ll_profile *profile, note_book *book)
{
    ll_disagreement found[LL_STATED_FIGURES];
    size_t count = ll_stated_disagreements(profile, found);
    for (size_t i = 0; i < count; i++) {
        const char *stated = figure(book, found[i].stated, 1), *sampled = figure(book, found[i].sampled, 1);
        const char *factor = figure(book, found[i].factor, found[i].factor == floor(found[i].factor) ? 0 : 2);
        if (!ll_note_add(book->list, book->arena, found[i].code, profile->dive->line, stated, sampled, factor))
            book->no_memory = true;
    }
}

static void note_phases(const ll_profile *profile, note_book *book)
{
    double last_m = profile->depth_m[profile->count - 1];
    if (profile->depth_m[0] > LL_BEGINS_BELOW_M)
        note_figure(book, LL_NOTE_STARTS_BELOW, profile->dive->line, profile->depth_m[0], 1);
    if (!profile->has_run_time) {
        note(book, LL_NOTE_ALL_SURFACE, 0, "");
        return;
    }
    if (!profile->has_surfacing)
        note_figure(book, LL_NOTE_ENDS_BELOW, profile->dive->line, last_m, 1);
    if (ll_seconds_deeper(profile, 3) < 180)
        note(book, LL_NOTE_NO_DIVE, 0, "");
    if (profile->interval_s >= 20)
        note_figure(book, LL_NOTE_COARSE_SAMPLING, 0, profile->interval_s, 0);
}

ll_status ll_profile_make(const ll_log *log, const ll_dive *dive, const ll_settings *settings, ll_arena *arena,
                          ll_notes *notes, ll_profile *profile, ll_error *error)
{
    note_book book = {notes, arena, false};
    *profile = (ll_profile){
        .log = log, .dive = dive, .count = dive->count, .time_s = dive->time_s, .depth_m = dive->depth_m};
    set_water(profile, settings, &book);
    set_factors(profile, settings, &book);
    if (!set_gases(profile, settings, arena))
        return ll_fail_memory(error);
    ll_phases_find(profile);
    const ll_breathed *uncovered = ll_inert_uncovered(settings->model, profile);
    profile->uncovered = uncovered != NULL;
    if (notes && uncovered)
        note_uncovered(profile, uncovered, settings->model, &book);
    if (notes) {
        if (!ll_interval_find(profile, arena))
            return ll_fail_memory(error);
        note_gases(profile, &book);
        note_phases(profile, &book);
        note_stated(profile, &book);
    }
    return book.no_memory ? ll_fail_memory(error) : LL_OK;
}
