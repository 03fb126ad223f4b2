/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replayed rows, as CSV and as JSON (schema leadline-replay-1). */
#include "base/number.h"
#include "report/json_parts.h"

typedef struct column {
    ll_quantity quantity;
    unsigned compartment; /* from 1, with the tissues */
    const double *value; /* NULL: missing in every row */
} column;

typedef struct columns {
    size_t count;
    column item[LL_QUANTITIES + 2 * LL_COMPARTMENTS];
} columns;

/* The columns wanted, in order; without values where `track` is NULL. */
static void find_columns(columns *found, ll_quantities wanted, const ll_track *track)
{
    found->count = 0;
    for (int q = 0; q < LL_TISSUES_N2; q++)
        if (wanted & LL_SET(q))
            found->item[found->count++] = (column){(ll_quantity)q, 0, track ? track->column[q] : NULL};
    for (int q = LL_TISSUES_N2; q <= LL_TISSUES_HE; q++) {
        if (!(wanted & LL_SET(q)))
            continue;
        const double *const *tissues = track ? (q == LL_TISSUES_N2 ? track->n2 : track->he) : NULL;
        for (unsigned c = 0; c < LL_COMPARTMENTS; c++)
            found->item[found->count++] = (column){(ll_quantity)q, c + 1, tissues ? tissues[c] : NULL};
    }
}

static void add_key(ll_text *out, const column *of)
{
    if (of->compartment)
        ll_text_format(out, of->quantity == LL_TISSUES_N2 ? "n2_%u_bar" : "he_%u_bar", of->compartment);
    else
        ll_text_puts(out, ll_quantity_table[of->quantity].key);
}

/* --- CSV ------------------------------------------------------------------------------------------------------ */

void ll_csv_track_head(ll_text *out, ll_quantities wanted)
{
    columns head;
    find_columns(&head, wanted, NULL);
    ll_text_puts(out, "dive");
    for (size_t c = 0; c < head.count; c++) {
        ll_text_putc(out, ',');
        add_key(out, &head.item[c]);
    }
    ll_text_putc(out, '\n');
}

void ll_csv_track(ll_text *out, unsigned number, const ll_track *track, ll_quantities wanted)
{
    columns shown;
    find_columns(&shown, wanted, track);
    ll_text opening;
    ll_text_open(&opening, out->allocator, NULL, NULL);
    ll_text_format(&opening, "%u", number);
    for (size_t row = 0; row < track->count; row++) {
        ll_text_add(out, opening.bytes, opening.size);
        for (size_t c = 0; c < shown.count; c++) {
            ll_text_putc(out, ',');
            if (shown.item[c].value)
                ll_number_add(out, shown.item[c].value[row]);
        }
        ll_text_putc(out, '\n');
    }
    out->no_memory = out->no_memory || opening.no_memory;
    ll_text_close(&opening);
}

/* --- JSON ----------------------------------------------------------------------------------------------------- */

static void add_keys(ll_json *json, ll_quantities wanted)
{
    columns head;
    find_columns(&head, wanted, NULL);
    ll_json_open(json, "columns", '[');
    for (size_t c = 0; c < head.count; c++) {
        ll_text key;
        ll_text_open(&key, json->out->allocator, NULL, NULL);
        add_key(&key, &head.item[c]);
        ll_json_scratch(json, NULL, &key);
    }
    ll_json_close(json, ']');
}

void ll_json_track_head(ll_text *out, const ll_history *history, ll_quantities wanted, const ll_look *look)
{
    ll_json json = {out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_schema(&json, "leadline-replay-1");
    ll_json_settings(&json, &history->settings);
    ll_json_inputs(&json, history, look);
    add_keys(&json, wanted);
    ll_json_open(&json, "dives", '[');
}

static void add_row(ll_json *json, const columns *shown, size_t row)
{
    ll_json_open(json, NULL, '[');
    for (size_t c = 0; c < shown->count; c++) {
        if (shown->item[c].value)
            ll_json_number(json, NULL, shown->item[c].value[row]);
        else
            ll_json_null(json, NULL);
    }
    ll_json_close(json, ']');
}

void ll_json_track(ll_text *out, unsigned number, const ll_track *track, ll_quantities wanted, bool first)
{
    columns shown;
    find_columns(&shown, wanted, track);
    ll_json json = {out, false};
    ll_json_next(&json, first, false);
    ll_json_open(&json, NULL, '{');
    ll_json_whole(&json, "number", number);
    ll_json_open(&json, "rows", '[');
    for (size_t row = 0; row < track->count; row++) {
        ll_json_next(&json, row == 0, false);
        add_row(&json, &shown, row);
    }
    ll_json_close(&json, ']');
    ll_json_close(&json, '}');
}

void ll_json_track_foot(ll_text *out)
{
    ll_json json = {out, true};
    ll_json_close(&json, ']');
    ll_json_cautions(&json);
    ll_json_close(&json, '}');
    ll_text_putc(out, '\n');
}
