/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/strips.h"

#include <math.h>
#include <string.h>

#include "report/strip.h"
#include "report/text_figures.h"
#include "report/text_findings.h"

#define NEAR 0.6   /* a limit is shown from this share of it on */
#define NEXT 1.35 /* and the next ones as far as this over what is shown */

typedef struct strip_row {
    const char *key, *title, *unit;
    int digits;
    double height_px;
    bool down;
    const char *peak_name;
    ll_strip_fill fill;
    ll_kinds limits, kinds; /* whose limits are drawn; whose findings are marked */
} strip_row;

#define NARCOSIS LL_KIND(LL_FINDING_NARCOSIS)
#define OXYGEN (LL_KIND(LL_FINDING_OXYGEN_HIGH) | LL_KIND(LL_FINDING_OXYGEN_LOW))
#define DENSITY LL_KIND(LL_FINDING_DENSITY)
#define ASCENT LL_KIND(LL_FINDING_ASCENT)
#define RESERVE LL_KIND(LL_FINDING_RESERVE)
#define CNS LL_KIND(LL_FINDING_CNS)
#define DEPTH LL_KIND(LL_FINDING_DEPTH)
#define CEILING LL_KIND(LL_FINDING_CEILING)
#define ON_DEPTH (DEPTH | CEILING | LL_KIND(LL_FINDING_SURFACED) | LL_KIND(LL_FINDING_OWN_STOP) | \
                  LL_KIND(LL_FINDING_COUNTERDIFFUSION) | LL_KIND(LL_FINDING_STOP_DEPTH) | \
                  LL_KIND(LL_FINDING_SWITCH_DEPTH))

static const strip_row rows[] = {
    {"depth", "Depth", "m", 1, 240, true, "greatest", ll_fill_depth, DEPTH, ON_DEPTH},
    {"gradient", "Gradient", "percent", 0, 120, false, "greatest", ll_fill_gradient, 0, CEILING},
    {"narcosis", "END", "m", 1, 120, false, "greatest", ll_fill_narcosis, NARCOSIS, NARCOSIS},
    {"po2", "PO2", "atm", 2, 130, false, "greatest", ll_fill_po2, OXYGEN, OXYGEN},
    {"density", "Gas density", "g/L", 1, 120, false, "greatest", ll_fill_density, DENSITY, DENSITY},
    {"rate", "Ascent rate", "m/min", 1, 130, false, "fastest", ll_fill_rate, ASCENT, ASCENT},
    {"cns", "CNS", "percent", 0, 110, false, NULL, ll_fill_cns, CNS, CNS},
    {"tanks", "Tank pressure", "bar", 0, 130, false, NULL, ll_fill_tanks, RESERVE, RESERVE},
};

/* --- limits --------------------------------------------------------------------------------------------------- */

/* All that might be drawn, before it is known what the strip shows. */
typedef struct candidates {
    size_t count;
    ll_strip_limit limit[2 * LL_STRIP_LIMITS];
    bool lower[2 * LL_STRIP_LIMITS];
} candidates;

/* Words in the arena; "" if memory ran out, which the arena's next user finds out. */
static const char *limit_words(const ll_frame *frame, const char *before, double value, const char *unit)
{
    ll_text words;
    ll_text_open(&words, frame->out->allocator, NULL, NULL);
    ll_text_format(&words, "%s ", before);
    ll_limit_figure(&words, value, unit, frame->look);
    const char *copy = words.no_memory ? NULL : ll_arena_text_n(frame->arena, words.bytes, words.size);
    ll_text_close(&words);
    if (!copy)
        frame->out->no_memory = true;
    return copy ? copy : "";
}

static void add_candidate(const ll_frame *frame, candidates *all, const char *class, const char *before, double value,
                          const char *unit, bool lower)
{
    if (isnan(value))
        return;
    all->lower[all->count] = lower;
    all->limit[all->count++] = (ll_strip_limit){.class = class,
                                                .words = limit_words(frame, before, value, unit),
                                                .value = value,
                                                .from_s = frame->time.from_s,
                                                .to_s = frame->time.to_s};
}

static void add_kind(const ll_frame *frame, candidates *all, ll_kind kind)
{
    const ll_limit *limit = ll_limit_of(frame->debrief, kind);
    const ll_limit low = ll_oxygen_low_limit(frame->debrief->limits, &frame->debrief->profile);
    const char *unit = ll_kind_table[kind].unit;
    const bool lower = ll_limit_direction(kind) == LL_LOWER_LIMIT;
    limit = kind == LL_FINDING_OXYGEN_LOW ? &low : limit;
    add_candidate(frame, all, "limit note", "note", limit->note, unit, lower);
    add_candidate(frame, all, "limit caution", "caution", limit->caution, unit, lower);
    add_candidate(frame, all, "limit serious", "serious", limit->serious, unit, lower);
}

static void add_bottom_phase(const ll_frame *frame, candidates *all)
{
    const ll_profile *profile = &frame->debrief->profile;
    const size_t before = all->count;
    add_candidate(frame, all, "limit caution", "bottom phase: caution", frame->debrief->limits->bottom_oxygen.caution,
                  "atm", false);
    if (all->count > before)
        all->limit[before].to_s = profile->time_s[profile->bottom_end];
}

/* Where the model has factors; they are no limits that findings are held against. */
static void add_factors(const ll_frame *frame, candidates *all)
{
    const ll_profile *profile = &frame->debrief->profile;
    if (ll_model_table[frame->debrief->history->settings.model].has_factors) {
        if (profile->gf_low < profile->gf_high)
            add_candidate(frame, all, "limit note", "low factor", profile->gf_low * 100, "percent", false);
        add_candidate(frame, all, "limit caution", "high factor", profile->gf_high * 100, "percent", false);
    }
    if (profile->gf_high < 1)
        add_candidate(frame, all, "limit serious", "", 100, "percent", false);
}

static void list_candidates(const ll_frame *frame, const strip_row *row, candidates *all)
{
    all->count = 0;
    if (row->fill == ll_fill_po2)
        add_bottom_phase(frame, all);
    if (row->fill == ll_fill_gradient)
        add_factors(frame, all);
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        if (row->limits & LL_KIND(kind))
            add_kind(frame, all, (ll_kind)kind);
}

/* --- range ---------------------------------------------------------------------------------------------------- */

static void range_of(const ll_strip *strip, double *least, double *greatest)
{
    *least = *greatest = NAN;
    for (size_t i = 0; i < strip->curves; i++) {
        double low, high;
        ll_points_range(&strip->curve[i].points, -INFINITY, INFINITY, &low, &high);
        *least = fmin(*least, low);
        *greatest = fmax(*greatest, high);
    }
}

/* Upwards to the first limit once the dive comes near it, and to those right above. */
static double reach(const candidates *all, double greatest)
{
    double first = INFINITY;
    for (size_t i = 0; i < all->count; i++)
        if (!all->lower[i])
            first = fmin(first, all->limit[i].value);
    if (greatest < NEAR * first)
        return greatest;
    double top = fmax(greatest, first), next = top;
    for (size_t i = 0; i < all->count; i++)
        if (!all->lower[i] && all->limit[i].value <= NEXT * top)
            next = fmax(next, all->limit[i].value);
    return next;
}

static void choose_limits(const candidates *all, double least, ll_strip *strip)
{
    for (size_t i = 0; i < all->count && strip->limits < LL_STRIP_LIMITS; i++) {
        double value = all->limit[i].value;
        bool shown = all->lower[i] ? value >= NEAR * least : value <= strip->scale.greatest;
        if (shown && value >= strip->scale.least)
            strip->limit[strip->limits++] = all->limit[i];
    }
}

/* --- strips --------------------------------------------------------------------------------------------------- */

static bool fill(const ll_frame *frame, const strip_row *row, candidates *all, ll_strip *strip)
{
    double values[2 * LL_STRIP_LIMITS];
    list_candidates(frame, row, all);
    for (size_t i = 0; i < all->count; i++)
        values[i] = all->limit[i].value;
    return row->fill(frame, strip, values, all->count);
}

static void draw_row(const ll_frame *frame, const strip_row *row)
{
    candidates all;
    double least, greatest;
    ll_strip strip = {.key = row->key,
                      .title = row->title,
                      .unit = row->unit,
                      .digits = row->digits,
                      .peak_name = row->peak_name,
                      .peak = {NAN, NAN}};
    bool filled = fill(frame, row, &all, &strip);
    if (filled && strip.curves == 0)
        return;
    if (filled) {
        range_of(&strip, &least, &greatest);
        bool from_zero = least > 0 || row->fill != ll_fill_rate;
        strip.scale = ll_scale_make(from_zero ? 0 : least, reach(&all, fmax(greatest, 0)), row->unit, frame->look,
                                    row->height_px, row->down);
        choose_limits(&all, least, &strip);
        filled = ll_strip_find_beyond(frame, &strip, row->kinds);
    }
    if (filled)
        ll_strip_draw(frame, &strip);
    else
        frame->out->no_memory = true;
}

void ll_html_strips(ll_text *out, const ll_debrief *debrief, const ll_track *track, const ll_look *look)
{
    ll_arena arena;
    ll_frame frame = {.out = out, .debrief = debrief, .track = track, .look = look, .arena = &arena};
    if (!debrief->has_profile || !ll_time_scale_make(&debrief->profile, &frame.time))
        return;
    ll_arena_open(&arena, out->allocator);
    ll_strip_axis(&frame);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        ll_arena_reset(&arena);
        draw_row(&frame, &rows[i]);
    }
    ll_arena_close(&arena);
}
