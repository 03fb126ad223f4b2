/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "same_logs.h"

#include <string.h>

/* Ends the comparison with the name of what differs. */
#define LOOK(condition, what) \
    do {                      \
        if (!(condition))     \
            return what;      \
    } while (0)

static bool is_same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

/* NaN is the same as NaN. */
static bool is_same(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0 || (a != a && b != b);
}

static bool is_same_column(const double *a, const double *b, size_t count)
{
    for (size_t i = 0; a && b && i < count; i++)
        if (!is_same(a[i], b[i]))
            return false;
    return (a == NULL) == (b == NULL);
}

static bool is_same_series(const ll_series *a, const ll_series *b)
{
    return a->count == b->count && a->tank_use == b->tank_use && is_same_text(a->ref, b->ref) &&
           is_same_column(a->value, b->value, a->count) &&
           (a->count == 0 || memcmp(a->sample, b->sample, a->count * sizeof *a->sample) == 0);
}

static const char *notes_differ(const ll_notes *a, const ll_notes *b)
{
    LOOK(a->count == b->count, "number of notes");
    for (size_t i = 0; i < a->count; i++) {
        LOOK(a->items[i].code == b->items[i].code, "code of a note");
        LOOK(a->items[i].line == b->items[i].line, "line of a note");
        LOOK(a->items[i].count == b->items[i].count, "count of a note");
        LOOK(is_same_text(a->items[i].text, b->items[i].text), "text of a note");
    }
    return NULL;
}

static const char *spans_differ(const ll_dive *a, const ll_dive *b)
{
    LOOK(a->spans == b->spans && a->switches == b->switches, "number of spans or switches");
    for (size_t i = 0; i < a->spans; i++) {
        const ll_span *one = &a->span[i], *other = &b->span[i];
        LOOK(one->first == other->first && one->end == other->end && one->mix == other->mix &&
                 one->circuit == other->circuit && is_same(one->set_point_bar, other->set_point_bar),
             "span");
    }
    for (size_t i = 0; i < a->switches; i++) {
        const ll_switch *one = &a->change[i], *other = &b->change[i];
        LOOK(one->sample == other->sample && one->mix == other->mix && one->line == other->line &&
                 is_same_text(one->ref, other->ref),
             "switch");
    }
    return NULL;
}

static const char *uses_differ(const ll_dive *a, const ll_dive *b)
{
    LOOK(a->tank_uses == b->tank_uses && a->own_stops == b->own_stops && a->alarms == b->alarms,
         "number of tank uses, own stops or alarms");
    for (size_t i = 0; i < a->tank_uses; i++) {
        const ll_tank_use *one = &a->tank_use[i], *other = &b->tank_use[i];
        LOOK(is_same_text(one->id, other->id) && one->tank == other->tank && one->mix == other->mix &&
                 is_same(one->volume_l, other->volume_l) && is_same(one->begin_bar, other->begin_bar) &&
                 is_same(one->end_bar, other->end_bar),
             "tank use");
    }
    for (size_t i = 0; i < a->own_stops; i++) {
        const ll_own_stop *one = &a->own_stop[i], *other = &b->own_stop[i];
        LOOK(one->sample == other->sample && one->mandatory == other->mandatory && is_same(one->depth_m, other->depth_m) &&
                 is_same(one->duration_s, other->duration_s),
             "own stop");
    }
    for (size_t i = 0; i < a->alarms; i++)
        LOOK(a->alarm[i].sample == b->alarm[i].sample && is_same_text(a->alarm[i].text, b->alarm[i].text), "alarm");
    return NULL;
}

static const char *series_differ(const ll_dive *a, const ll_dive *b)
{
    LOOK(a->tank_pressures == b->tank_pressures && a->measured_po2s == b->measured_po2s, "number of series");
    for (size_t i = 0; i < a->tank_pressures; i++)
        LOOK(is_same_series(&a->tank_pressure[i], &b->tank_pressure[i]), "tank pressures");
    for (size_t i = 0; i < a->measured_po2s; i++)
        LOOK(is_same_series(&a->measured_po2[i], &b->measured_po2[i]), "measured PO2");
    LOOK(is_same_series(&a->calculated_po2, &b->calculated_po2), "calculated PO2");
    LOOK(is_same_series(&a->no_stop, &b->no_stop), "no-stop time");
    LOOK(is_same_series(&a->own_gradient, &b->own_gradient), "own gradient");
    LOOK(is_same_series(&a->own_cns, &b->own_cns), "own CNS");
    LOOK(is_same_series(&a->own_otu, &b->own_otu), "own OTU");
    return NULL;
}

static const char *facts_differ(const ll_dive *a, const ll_dive *b)
{
    LOOK(is_same_text(a->id, b->id), "id of a dive");
    LOOK(a->line == b->line, "line of a dive");
    LOOK(a->start.has_date == b->start.has_date && a->start.has_time == b->start.has_time &&
             a->start.has_zone == b->start.has_zone && a->start.local_s == b->start.local_s &&
             a->start.zone_s == b->start.zone_s && is_same_text(a->start_text, b->start_text),
         "start of a dive");
    LOOK(a->site == b->site && a->stated_number == b->stated_number && a->interval == b->interval &&
             is_same(a->interval_s, b->interval_s),
         "site, number or interval");
    LOOK(is_same(a->surface_pressure_bar, b->surface_pressure_bar) && is_same(a->altitude_m, b->altitude_m) &&
             is_same(a->density_kg_m3, b->density_kg_m3) && is_same(a->stated_greatest_m, b->stated_greatest_m) &&
             is_same(a->stated_average_m, b->stated_average_m) && is_same(a->stated_duration_s, b->stated_duration_s) &&
             is_same(a->stated_lowest_c, b->stated_lowest_c),
         "stated figures");
    return NULL;
}

static const char *dives_differ(const ll_dive *a, const ll_dive *b)
{
    const char *what = facts_differ(a, b);
    LOOK(!what, what);
    LOOK(a->count == b->count, "number of samples");
    LOOK(is_same_column(a->time_s, b->time_s, a->count), "times");
    LOOK(is_same_column(a->depth_m, b->depth_m, a->count), "depths");
    LOOK(is_same_column(a->temperature_c, b->temperature_c, a->count), "temperatures");
    what = spans_differ(a, b);
    what = what ? what : uses_differ(a, b);
    what = what ? what : series_differ(a, b);
    return what ? what : notes_differ(&a->notes, &b->notes);
}

static const char *lists_differ(const ll_log *a, const ll_log *b)
{
    LOOK(a->mixes == b->mixes && a->sites == b->sites && a->tanks == b->tanks && a->dives == b->dives,
         "number of mixes, sites, tanks or dives");
    for (size_t i = 0; i < a->mixes; i++) {
        const ll_mix *one = &a->mix[i], *other = &b->mix[i];
        LOOK(is_same_text(one->id, other->id) && is_same_text(one->name, other->name) &&
                 is_same_text(one->label, other->label) && is_same(one->o2_fraction, other->o2_fraction) &&
                 is_same(one->he_fraction, other->he_fraction) && is_same(one->maximum_po2_bar, other->maximum_po2_bar) &&
                 is_same(one->maximum_depth_m, other->maximum_depth_m) && one->usable == other->usable,
             "mix");
    }
    for (size_t i = 0; i < a->sites; i++) {
        const ll_site *one = &a->site[i], *other = &b->site[i];
        LOOK(is_same_text(one->id, other->id) && is_same_text(one->name, other->name) &&
                 is_same(one->altitude_m, other->altitude_m) && is_same(one->density_kg_m3, other->density_kg_m3),
             "site");
    }
    for (size_t i = 0; i < a->tanks; i++)
        LOOK(is_same_text(a->tank[i].id, b->tank[i].id) && is_same_text(a->tank[i].name, b->tank[i].name) &&
                 is_same(a->tank[i].volume_l, b->tank[i].volume_l),
             "tank");
    return NULL;
}

const char *logs_differ(const ll_log *a, const ll_log *b)
{
    LOOK(strcmp(a->sha256, b->sha256) == 0, "digest");
    LOOK(is_same_text(a->version, b->version) && is_same_text(a->writer, b->writer) && is_same_text(a->owner, b->owner),
         "version, writer or owner");
    LOOK(is_same(a->gf_low_fraction, b->gf_low_fraction) && is_same(a->gf_high_fraction, b->gf_high_fraction),
         "gradient factors");
    const char *what = lists_differ(a, b);
    for (size_t i = 0; !what && i < a->dives; i++)
        what = dives_differ(&a->dive[i], &b->dive[i]);
    return what ? what : notes_differ(&a->notes, &b->notes);
}
