/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Notes on the record, settings, files and cautions of a text debrief. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"
#include "standard/standard.h"

/* --- notes ---------------------------------------------------------------------------------------------------- */

/* "Doubt, line 52, 3 times: ..." */
static void add_note(ll_page *page, const ll_history *history, const ll_note *note)
{
    static const char *const openings[3] = {"Remark", "Doubt", "Loss"};
    ll_text sentence;
    ll_text_open(&sentence, page->out->allocator, NULL, NULL);
    ll_note_sentence(&sentence, history, note, page->look);
    ll_text_puts(&page->words, openings[ll_note_table[note->code].weight]);
    if (note->line > 0)
        ll_text_format(&page->words, ", line %ld", note->line);
    if (note->count > 1)
        ll_text_format(&page->words, ", %zu times", note->count);
    ll_text_puts(&page->words, ": ");
    ll_page_show(page, &sentence);
    ll_text_format(&page->words, " [%s].", ll_note_table[note->code].code);
    ll_page_end(page, 2, 4);
}

void ll_text_notes(ll_page *page, const ll_history *history, const ll_notes *notes)
{
    for (int weight = LL_LOSS; weight >= LL_REMARK; weight--)
        for (size_t i = 0; i < notes->count; i++)
            if (ll_note_table[notes->items[i].code].weight == (ll_weight)weight)
                add_note(page, history, &notes->items[i]);
}

static size_t count_notes(const ll_history *history)
{
    size_t count = history->notes.count;
    for (size_t i = 0; i < history->log_count; i++)
        count += history->logs[i]->notes.count;
    return count;
}

static void add_notes_of_log(ll_page *page, const ll_history *history, const ll_log *log)
{
    if (log->notes.count > 0 && history->log_count > 1) {
        ll_text_puts(&page->words, "In ");
        ll_show(&page->words, log->name);
        ll_text_putc(&page->words, ':');
        ll_page_end(page, 2, 4);
    }
    ll_text_notes(page, history, &log->notes);
}

void ll_text_log_notes(ll_page *page, const ll_history *history)
{
    if (count_notes(history) == 0)
        return;
    ll_page_heading(page, history->log_count == 1 ? "Notes on the log" : "Notes on the logs");
    ll_text_notes(page, history, &history->notes);
    for (size_t i = 0; i < history->log_count; i++)
        add_notes_of_log(page, history, history->logs[i]);
}

/* --- settings and files --------------------------------------------------------------------------------------- */

static void add_origin(ll_page *page, ll_origin origin, const char *behind)
{
    ll_text_format(&page->words, " (%s)%s", ll_origin_names[origin], behind);
}

static void add_model(ll_page *page, const ll_settings *settings)
{
    ll_text_puts(&page->words, ll_model_table[settings->model].name);
    add_origin(page, settings->model_origin, ", ");
}

/* What is left to each log is NaN. */
typedef struct resolved {
    double gf_low, gf_high, water_kg_m3, surface_bar; /* factors as fractions */
    ll_origin gf_origin, water_origin, surface_origin;
} resolved;

static resolved resolved_for_dive(const ll_profile *profile)
{
    return (resolved){profile->gf_low,       profile->gf_high,      profile->water_kg_m3,   profile->surface_bar,
                      profile->gf_origin,    profile->water_origin, profile->surface_origin};
}

static resolved resolved_for_all(const ll_settings *settings)
{
    return (resolved){settings->gf_from_log ? NAN : settings->gf_low_percent / 100,
                      settings->gf_high_percent / 100,
                      settings->water == LL_WATER_FROM_LOG ? NAN : settings->water_kg_m3,
                      settings->surface_bar,
                      settings->gf_origin,
                      settings->water_origin,
                      settings->surface_origin};
}

static void add_factors(ll_page *page, const ll_settings *settings, const resolved *with)
{
    if (!ll_model_table[settings->model].has_factors) {
        ll_text_puts(&page->words, "which has no gradient factors");
        ll_text_puts(&page->words, settings->gf_origin == LL_FROM_STANDARD ? " (those of the standard are not used), "
                                                                           : ", ");
        return;
    }
    ll_text_puts(&page->words, "gradient factors ");
    if (isnan(with->gf_low)) {
        ll_text_puts(&page->words, "of each log, ");
        return;
    }
    ll_number_add(&page->words, with->gf_low * 100);
    ll_text_putc(&page->words, '/');
    ll_number_add(&page->words, with->gf_high * 100);
    add_origin(page, with->gf_origin, ", ");
}

static void add_water(ll_page *page, const resolved *with)
{
    ll_text_puts(&page->words, "Recorder set to water of ");
    if (isnan(with->water_kg_m3)) {
        ll_text_puts(&page->words, "the density of each log, ");
    } else {
        ll_fixed_add(&page->words, with->water_kg_m3, 1);
        ll_text_puts(&page->words, " kg/m3");
        add_origin(page, with->water_origin, ", ");
    }
    ll_text_puts(&page->words, "surface pressure ");
    if (isnan(with->surface_bar)) {
        ll_text_puts(&page->words, "as each log or its altitude gives it.");
        return;
    }
    ll_fixed_add(&page->words, with->surface_bar, 3);
    ll_text_puts(&page->words, " bar");
    add_origin(page, with->surface_origin, ".");
}

static void add_standard(ll_page *page, const ll_standard *standard)
{
    ll_text_puts(&page->words, "Course standard: ");
    ll_show(&page->words, standard->name);
    ll_text_puts(&page->words, ", file ");
    ll_show(&page->words, standard->file);
    ll_text_puts(&page->words, ", SHA-256 ");
    ll_text_puts(&page->words, standard->sha256);
    ll_page_end(page, 2, 4);
}

static void add_settings(ll_page *page, const ll_settings *settings, const resolved *with)
{
    ll_text_puts(&page->words, "Replayed with ");
    add_model(page, settings);
    add_factors(page, settings, with);
    ll_text_puts(&page->words, "last stop at ");
    ll_limit_figure(&page->words, settings->last_stop_m, "m", page->look);
    add_origin(page, settings->last_stop_origin, ".");
    ll_page_end(page, 2, 4);
    add_water(page, with);
    ll_text_puts(&page->words,
                 settings->narcotic_oxygen ? " Oxygen counts as narcotic" : " Oxygen does not count as narcotic");
    add_origin(page, settings->narcotic_origin, ".");
    ll_page_end(page, 2, 4);
    if (settings->standard)
        add_standard(page, settings->standard);
}

void ll_text_settings(ll_page *page, const ll_debrief *debrief)
{
    if (!debrief->has_profile)
        return;
    const resolved with = resolved_for_dive(&debrief->profile);
    add_settings(page, &debrief->history->settings, &with);
}

void ll_text_history_settings(ll_page *page, const ll_settings *settings)
{
    const resolved with = resolved_for_all(settings);
    add_settings(page, settings, &with);
}

void ll_text_file(ll_page *page, const ll_log *log)
{
    ll_text_puts(&page->words, "File ");
    ll_show(&page->words, log->name);
    if (log->version) {
        ll_text_puts(&page->words, ", UDDF ");
        ll_show(&page->words, log->version);
    }
    ll_text_puts(&page->words, ", SHA-256 ");
    ll_text_puts(&page->words, log->sha256);
    ll_page_end(page, 2, 4);
}

/* --- cautions ------------------------------------------------------------------------------------------------- */

void ll_text_first_caution(ll_page *page)
{
    ll_text_puts(&page->words, ll_caution_first);
    ll_page_end(page, 0, 0);
}

void ll_text_cautions(ll_page *page)
{
    for (size_t i = 0; ll_cautions[i]; i++) {
        ll_text_puts(&page->words, ll_cautions[i]);
        ll_text_putc(&page->words, ' ');
    }
    ll_page_end(page, 0, 0);
}
