/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who is shown in a review, and how; the words that its sections share. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "report/grid.h"
#include "report/review_report.h"
#include "report/text_figures.h"
#include "report/utf8.h"
#include "report/words.h"

const char *const ll_review_cautions[] = {
    "Depth separation is a difference of depth. It says nothing of the distance between divers, of sight or of contact.",
    "A clock that is set by matching depth lines takes a lag that stayed the same all through the dive for an error of the "
    "clock. Separation is the least that the uncertainty of the clocks allows.",
    "Recorders differ in place on the body, sensor, sampling and set density. A figure of one is not exactly a figure of "
    "another.",
    "An order of arrival says who came when, not why.",
    NULL,
};

bool ll_review_shows(const ll_review *review, size_t diver)
{
    return review->extract == SIZE_MAX || review->extract == diver;
}

bool ll_review_has(const ll_review *review, size_t diver)
{
    return ll_review_shows(review, diver) && review->diver[diver].main != SIZE_MAX;
}

bool ll_review_shows_plan(const ll_review *review)
{
    for (size_t d = 0; d < review->count; d++)
        for (size_t r = 0; r < review->diver[d].recorders; r++)
            if (!ll_review_shows(review, d) &&
                strcmp(review->diver[d].recorder[r].log->sha256, review->asked->plan->sha256) == 0)
                return false;
    return true;
}

void ll_diver_name_add(ll_text *out, const ll_review *review, size_t diver, const ll_look *look)
{
    if (look->names == 2 || !ll_review_shows(review, diver)) {
        ll_letter_add(out, diver);
        return;
    }
    ll_text name;
    ll_text_open(&name, out->allocator, NULL, NULL);
    if (look->names == 1)
        ll_initials_add(&name, review->diver[diver].name);
    else
        ll_text_puts(&name, review->diver[diver].name);
    const char *words = ll_text_string(&name);
    ll_show(out, words ? words : "");
    out->no_memory = out->no_memory || name.no_memory;
    ll_text_close(&name);
}

ll_look ll_diver_look(const ll_review *review, size_t diver, const ll_look *look, ll_text *name)
{
    ll_look own = *look;
    ll_diver_name_add(name, review, diver, look);
    const char *words = ll_text_string(name);
    own.called = words ? words : "";
    own.place = (unsigned)diver + 1;
    return own;
}

const char *const ll_course_labels[LL_FINDING_KINDS] = {
    [LL_FINDING_CEILING] = "ceiling",
    [LL_FINDING_SURFACED] = "surfacing",
    [LL_FINDING_ASCENT] = "ascent rate",
    [LL_FINDING_OWN_STOP] = "recorder's own stops",
    [LL_FINDING_DEPTH] = "depth",
    [LL_FINDING_STOP_DEPTH] = "depth at stops",
    [LL_FINDING_SWITCH_DEPTH] = "depth of switches",
    [LL_FINDING_RESERVE] = "reserve",
    [LL_FINDING_OXYGEN_HIGH] = "high PO2",
    [LL_FINDING_OXYGEN_LOW] = "low PO2",
    [LL_FINDING_DENSITY] = "gas density",
    [LL_FINDING_NARCOSIS] = "END",
    [LL_FINDING_COUNTERDIFFUSION] = "counterdiffusion",
    [LL_FINDING_CNS] = "CNS",
    [LL_FINDING_OTU] = "OTU",
};

void ll_compared_figure(ll_text *out, const ll_compared *compared, double value, bool with_unit, const ll_look *look)
{
    const ll_conversion shown = ll_conversion_of(compared->unit, look->imperial);
    const int digits = look->imperial && compared->digits > 1 && strcmp(compared->unit, "m") == 0 ? 2 : compared->digits;
    if (strcmp(compared->unit, "s") == 0)
        ll_clock(out, value);
    else if (with_unit || !isfinite(value))
        ll_figure(out, value, compared->unit, digits, look);
    else
        ll_fixed_add(out, value * shown.factor + shown.offset, digits > shown.fewer ? digits - shown.fewer : 0);
}

static void add_label_words(ll_text *out, const char *label, const ll_look *look)
{
    for (const char *brace; (brace = strchr(label, '{')) != NULL; label = strchr(brace, '}') + 1) {
        ll_text_add(out, label, (size_t)(brace - label));
        ll_figure(out, (double)strtol(brace + 1, NULL, 10), "m", 0, look);
    }
    ll_text_puts(out, label);
}

void ll_compared_label_add(ll_text *out, const ll_compared *compared, const ll_look *look)
{
    ll_text label;
    ll_text_open(&label, out->allocator, NULL, NULL);
    add_label_words(&label, compared->label, look);
    const char *words = ll_text_string(&label);
    ll_capital_add(out, words ? words : "");
    out->no_memory = out->no_memory || label.no_memory;
    ll_text_close(&label);
}

/* "Greatest depth, m" */
static void add_label(ll_page *page, const ll_compared *compared)
{
    const char *unit = ll_conversion_of(compared->unit, page->look->imperial).to;
    ll_compared_label_add(&page->words, compared, page->look);
    if (strcmp(unit, "s") != 0)
        ll_text_format(&page->words, ", %s", strcmp(unit, "percent") == 0 ? "%" : unit);
}

const ll_plan_variant *ll_review_variant(const ll_review *review)
{
    return &review->asked->plan->variant[review->variant];
}

/* --- title ---------------------------------------------------------------------------------------------------------- */

static void add_names(ll_page *page, const ll_review *review)
{
    size_t told = 0;
    for (size_t i = 0; i < review->count; i++) {
        if (!ll_is_student(&review->diver[i]))
            continue;
        ll_text_puts(&page->words, told++ ? ", " : "");
        ll_diver_name_add(&page->words, review, i, page->look);
    }
    if (review->lead != SIZE_MAX && review->diver[review->lead].main != SIZE_MAX) {
        ll_text_puts(&page->words, told ? "; lead " : "lead ");
        ll_diver_name_add(&page->words, review, review->lead, page->look);
    }
}

/* Whose record the title tells of: the first log's, in an extract that of its diver; NULL where that has none. */
static const ll_recorder *titled(const ll_review *review)
{
    const ll_diver *diver = &review->diver[review->extract == SIZE_MAX ? 0 : review->extract];
    return diver->main == SIZE_MAX ? NULL : &diver->recorder[diver->main];
}

static void add_dive(ll_page *page, const ll_recorder *recorder)
{
    const ll_dive *dive = recorder->history->entry[recorder->index].dive;
    const char *site = ll_site_name(recorder->log, dive);
    ll_text_puts(&page->words, ": ");
    ll_start_add(&page->words, &dive->start);
    if (site && site[0]) {
        ll_text_puts(&page->words, ", ");
        ll_show(&page->words, site);
    }
}

void ll_review_title_words(ll_page *page, const ll_review *review)
{
    const ll_recorder *recorder = titled(review);
    ll_text_puts(&page->words, "One dive, several divers");
    if (recorder)
        add_dive(page, recorder);
    ll_text_puts(&page->words, ". ");
    if (review->extract != SIZE_MAX) {
        ll_text_puts(&page->words, "Extract for ");
        ll_diver_name_add(&page->words, review, review->extract, page->look);
        ll_text_puts(&page->words, "; the others are letters. ");
    }
    add_names(page, review);
    ll_text_putc(&page->words, '.');
}

/* --- what is put side by side --------------------------------------------------------------------------------------- */

typedef struct columns {
    const ll_review *review;
    size_t count;
    const size_t *diver;
} columns;

/* The divers whose figures are shown; false if memory ran out. */
static bool make_columns(const ll_review *review, ll_arena *arena, columns *shown)
{
    size_t *diver = ll_arena_array(arena, review->count, sizeof *diver);
    *shown = (columns){review, 0, diver};
    for (size_t i = 0; diver && i < review->count; i++)
        if (ll_review_has(review, i))
            diver[shown->count++] = i;
    return diver != NULL;
}

static void add_head(ll_page *page, const columns *shown, size_t column)
{
    ll_diver_name_add(&page->words, shown->review, shown->diver[column - 1], page->look);
    ll_text_puts(&page->words, shown->review->diver[shown->diver[column - 1]].lead ? " (lead)" : "");
}

/* "2 caution, 1 serious", those of one class that count. */
static void add_findings(ll_page *page, const ll_findings *findings, ll_class class)
{
    bool any = false;
    for (int severity = LL_SERIOUS; severity >= LL_NOTE; severity--) {
        if (findings->by_class[class][severity] == 0)
            continue;
        ll_text_format(&page->words, "%s%u %s", any ? ", " : "", findings->by_class[class][severity],
                       ll_severity_names[severity]);
        any = true;
    }
    if (!any)
        ll_text_puts(&page->words, "none");
}

/* Rows: names, the table of what is compared, switches, findings of each class. */
static void add_cell(ll_page *page, const void *context, size_t row, size_t column)
{
    const columns *shown = context;
    const size_t findings_from = ll_compared_count + 1;
    if (row == 0 && column == 0)
        return;
    if (row == 0) {
        add_head(page, shown, column);
        return;
    }
    if (column == 0) {
        if (row < findings_from) {
            add_label(page, &ll_compared_table[row - 1]);
        } else {
            ll_text_puts(&page->words, "Findings, ");
            ll_text_puts(&page->words, ll_class_names[row - findings_from]);
        }
        return;
    }
    const ll_diver *diver = &shown->review->diver[shown->diver[column - 1]];
    if (row < findings_from)
        ll_compared_figure(&page->words, &ll_compared_table[row - 1], ll_compared_table[row - 1].value(diver), false,
                           page->look);
    else
        add_findings(page, &diver->debrief.findings, (ll_class)(row - findings_from));
}

static void set_grid(ll_page *page, const ll_review *review, size_t rows, const char *class,
                     void (*cell)(ll_page *, const void *, size_t, size_t))
{
    ll_arena arena;
    columns shown;
    ll_arena_open(&arena, page->out->allocator);
    if (make_columns(review, &arena, &shown)) {
        const ll_grid grid = {rows, shown.count + 1, class, cell, &shown};
        if (shown.count > 0)
            ll_grid_set(page, &grid);
    } else {
        page->out->no_memory = true;
    }
    ll_arena_close(&arena);
}

void ll_review_table(ll_page *page, const ll_review *review)
{
    ll_page_heading(page, "Side by side");
    ll_text_puts(&page->words, "Depths are compared as pressure, in metres of the same water (10 m a bar). Times are minutes "
                               "and seconds.");
    ll_page_end(page, 2, 2);
    set_grid(page, review, 1 + ll_compared_count + LL_CLASSES, "figures beside", add_cell);
}

/* --- the course ----------------------------------------------------------------------------------------------------- */

/* Kinds that anybody has a limit for, in the order of the table. */
static size_t kind_of_row(const ll_review *review, size_t row)
{
    for (size_t kind = 0; kind < LL_FINDING_KINDS; kind++) {
        bool any = false;
        for (size_t i = 0; i < review->count; i++)
            any |= ll_review_has(review, i) && review->diver[i].course[kind].course != LL_COURSE_NO_LIMIT;
        if (any && row-- == 0)
            return kind;
    }
    return LL_FINDING_KINDS;
}

static void add_course(ll_page *page, const ll_course_cell *cell, bool firm_asked)
{
    static const char *const words[] = {[LL_COURSE_NO_LIMIT] = "\xE2\x80\x93", [LL_COURSE_UNKNOWN] = "not shown",
                                        [LL_COURSE_KEPT] = "kept"};
    if (cell->course != LL_COURSE_BEYOND) {
        ll_text_puts(&page->words, words[cell->course]);
        return;
    }
    ll_text_puts(&page->words, ll_severity_names[cell->worst]);
    if (firm_asked)
        ll_text_puts(&page->words, cell->firm_worst == cell->worst ? ", firm" : ", marginal");
}

static void add_course_cell(ll_page *page, const void *context, size_t row, size_t column)
{
    const columns *shown = context;
    const size_t kind = row ? kind_of_row(shown->review, row - 1) : 0;
    if (row == 0 && column > 0)
        add_head(page, shown, column);
    else if (row > 0 && column == 0)
        ll_capital_add(&page->words, ll_course_labels[kind]);
    else if (row > 0)
        add_course(page, &shown->review->diver[shown->diver[column - 1]].course[kind],
                   shown->review->asked->settings->firm);
}

void ll_review_course_table(ll_page *page, const ll_review *review)
{
    size_t rows = 1;
    while (kind_of_row(review, rows - 1) != LL_FINDING_KINDS)
        rows++;
    ll_page_heading(page, review->asked->settings->standard ? "Against the course" : "Against the built-in limits");
    ll_text_puts(&page->words, "Kept, or how far beyond at the most. Marginal: recorder error alone could account for it, or "
                               "for its weight. Not shown: this record cannot tell.");
    ll_page_end(page, 2, 2);
    set_grid(page, review, rows, "figures course", add_course_cell);
}
