/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/words.h"

#include <string.h>

#include "report/utf8.h"

const char *const ll_version = LL_VERSION;

const char *const ll_caution_first =
    "Unwell after this dive, however well it went? Oxygen, the local emergency line, a diving physician, before "
    "reading on. A replay can neither show nor exclude decompression illness.";

const char *const ll_cautions[] = {
    "The figures are arithmetic on what a recorder stored. It did not see cold, work, the gas really breathed, or "
    "earlier dives that are not listed here.",
    "A dive within a model's limits is not free of risk, and a dive beyond them is not an injury.",
    "Every limit stands with where it comes from. Where that is common practice, no data stand behind it.",
    "Oxygen percentages are bookkeeping against agreed tables. They measure nothing in a diver.",
    "Firm speaks of the recorder's error, not of the model and not of the diver.",
    "Nothing here is for planning, for setting a computer, for the next dive or for flying.",
    "Training standards, local rules and licensed practice come first.",
    NULL,
};

/* --- people --------------------------------------------------------------------------------------------------- */

void ll_initials_add(ll_text *out, const char *name)
{
    bool at_start = true, first = true;
    while (*name) {
        uint32_t point;
        size_t size = ll_utf8_read(name, &point);
        bool gap = size == 0 || point <= ' ' || point == '.';
        if (!gap && at_start) {
            if (!first)
                ll_text_putc(out, ' ');
            ll_text_add(out, name, size);
            ll_text_putc(out, '.');
            first = false;
        }
        at_start = gap;
        name += size ? size : 1;
    }
}

/* Whether logs before `index` name the same owner. */
static bool is_named_before(const ll_history *history, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (history->logs[i]->owner && strcmp(history->logs[i]->owner, history->logs[index]->owner) == 0)
            return true;
    return false;
}

/* How many other owners are named before this one. */
static size_t owner_rank(const ll_history *history, const char *owner)
{
    size_t rank = 0;
    for (size_t i = 0; i < history->log_count; i++) {
        const char *other = history->logs[i]->owner;
        if (other && strcmp(other, owner) == 0)
            break;
        if (other && !is_named_before(history, i))
            rank++;
    }
    return rank;
}

void ll_letter_add(ll_text *out, size_t rank)
{
    ll_text_putc(out, (char)('A' + rank % 26));
    if (rank >= 26)
        ll_text_format(out, "%zu", rank / 26 + 1);
}

bool ll_owner_add(ll_text *out, const ll_history *history, const ll_log *log, const ll_look *look)
{
    if (look->called) {
        ll_text_puts(out, look->called);
        return true;
    }
    if (!log->owner || !log->owner[0])
        return false;
    if (look->names == 2)
        ll_letter_add(out, owner_rank(history, log->owner));
    else if (look->names == 1)
        ll_initials_add(out, log->owner);
    else
        ll_text_puts(out, log->owner);
    return true;
}

static void add_owners(ll_text *out, const ll_history *history, const ll_look *look)
{
    bool first = true;
    for (size_t i = 0; i < history->log_count; i++) {
        const ll_log *log = history->logs[i];
        if (!log->owner || !log->owner[0] || is_named_before(history, i))
            continue;
        if (!first)
            ll_text_puts(out, ", ");
        ll_owner_add(out, history, log, look);
        first = false;
    }
}

/* --- sites and notes ------------------------------------------------------------------------------------------ */

const char *ll_site_name(const ll_log *log, const ll_dive *dive)
{
    return dive->site == LL_NONE ? NULL : log->site[dive->site].name;
}

void ll_note_sentence(ll_text *out, const ll_history *history, const ll_note *note, const ll_look *look)
{
    if (note->code == LL_NOTE_OWNERS_DIFFER && look->names != 0) {
        ll_text_puts(out, "the logs name different owners: ");
        add_owners(out, history, look);
        return;
    }
    ll_text_puts(out, note->text);
}

size_t ll_notes_of_weight(const ll_notes *notes, ll_weight weight)
{
    size_t count = 0;
    for (size_t i = 0; i < notes->count; i++)
        count += ll_note_table[notes->items[i].code].weight == weight;
    return count;
}

void ll_capital_add(ll_text *out, const char *text)
{
    bool is_small = text[0] >= 'a' && text[0] <= 'z';
    if (is_small)
        ll_text_putc(out, (char)(text[0] - 'a' + 'A'));
    ll_text_puts(out, is_small ? text + 1 : text);
}

void ll_counted(ll_text *out, size_t count, const char *noun)
{
    const char *ending = strcmp(noun, "loss") == 0 ? "es" : "s";
    ll_text_format(out, "%zu %s%s", count, noun, count == 1 ? "" : ending);
}
