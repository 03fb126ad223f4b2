/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/values.h"

#include <math.h>
#include <string.h>

#include "base/number.h"


static bool is_space(char c)
{
    return c <= ' ' && (c == ' ' || c == '\n' || c == '\t' || c == '\r');
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

void ll_trim(const char **text, size_t *length)
{
    while (*length && is_space((*text)[*length - 1]))
        --*length;
    while (*length && is_space(**text)) {
        ++*text;
        --*length;
    }
}

/* Bytes of a control character (C0, C1), line or paragraph separator or change of direction at `text`; 0 if none. */
static size_t unfit(const unsigned char *text, size_t length)
{
    if (text[0] < 0x20 || text[0] == 0x7f)
        return 1;
    if (length >= 2 && text[0] == 0xc2 && text[1] < 0xa0)
        return 2;
    if (length >= 3 && text[0] == 0xe2 && text[1] == 0x80 && text[2] >= 0xa8 && text[2] <= 0xae)
        return 3;
    if (length >= 3 && text[0] == 0xe2 && text[1] == 0x81 && text[2] >= 0xa6 && text[2] <= 0xa9)
        return 3;
    return 0;
}

const char *ll_clean(char *buffer, size_t room, const char *text, size_t length)
{
    size_t most = room - 5, size = 0;
    bool cut = length > most;
    if (cut) {
        length = most;
        while (length && ((unsigned char)text[length] & 0xc0) == 0x80)
            length--;
    }
    for (size_t i = 0; i < length;) {
        size_t skip = unfit((const unsigned char *)text + i, length - i);
        buffer[size++] = skip ? '?' : text[i];
        i += skip ? skip : 1;
    }
    memcpy(buffer + size, cut ? "..." : "", cut ? 4 : 1);
    return buffer;
}

const char *ll_shown(char buffer[LL_SHOWN], const char *text, size_t length)
{
    return ll_clean(buffer, LL_SHOWN, text, length);
}

const char *ll_gathered(const ll_reader *reader, size_t *length)
{
    const char *text = reader->text;
    *length = reader->text_size;
    ll_trim(&text, length);
    return text;
}

/* A comma between digits, the only mark in the number, for its point. */
static bool read_comma(const char *text, size_t length, double *value)
{
    char pointed[LL_SHOWN];
    const char *comma = memchr(text, ',', length);
    if (!comma || length > sizeof pointed)
        return false;
    size_t at = (size_t)(comma - text);
    if (at == 0 || at + 1 == length || !is_digit(text[at - 1]) || !is_digit(text[at + 1]))
        return false;
    memcpy(pointed, text, length);
    pointed[at] = '.';
    return ll_number_read(pointed, length, value);
}

static bool is_within(double value, double least, double most)
{
    return value >= least && value <= most;
}

/* What ll_value makes of a text that is no number within its bounds: with a comma it may be one. */
LL_SELDOM static bool mend(ll_reader *reader, const char *text, size_t length, double least, double most,
                           const char *what, double *value)
{
    char shown[LL_SHOWN];
    *value = NAN;
    if (length == 0)
        return false;
    if (read_comma(text, length, value) &&
        LL_NOTE_HERE(reader, LL_NOTE_DECIMAL_COMMA, ll_line(reader), what, ll_shown(shown, text, length)) &&
        is_within(*value, least, most))
        return true;
    *value = NAN;
    LL_NOTE_HERE(reader, LL_NOTE_VALUE_UNREADABLE, ll_line(reader), what, ll_shown(shown, text, length));
    return false;
}

bool ll_value(ll_reader *reader, const char *text, size_t length, double least, double most, const char *what,
              double *value)
{
    return (ll_number_read(text, length, value) && is_within(*value, least, most)) ||
           mend(reader, text, length, least, most, what, value);
}

bool ll_number_here(ll_reader *reader, double *value)
{
    size_t length;
    const char *text = ll_gathered(reader, &length);
    return ll_value(reader, text, length, 0, LL_ANY_NUMBER, ll_element_table[reader->row].name, value);
}

const char *ll_attribute_of(const ll_reader *reader, ll_attribute attribute, size_t *length)
{
    const void *name = reader->names.attribute[attribute];
    for (int i = 0; i < reader->attribute_count; i++) {
        const unsigned char **one = reader->attributes + 5 * i; /* name, prefix, name space, value, its end */
        if (one[0] == name && !one[1]) {
            *length = (size_t)(one[4] - one[3]);
            return (const char *)one[3];
        }
    }
    *length = 0;
    return NULL;
}

static int checked(ll_reader *reader, int id)
{
    if (id == LL_ID_NO_MEMORY)
        ll_stop_no_memory(reader);
    if (id == LL_ID_TOO_MANY)
        ll_stop(reader, LL_BAD_INPUT, "more than %zu ids and references", reader->limits->ids);
    return id < 0 ? LL_NONE : id;
}

static int id_number(ll_reader *reader, const char *text, size_t length)
{
    return checked(reader, ll_id_number(&reader->ids, &reader->arena, reader->limits->ids, text, length));
}

int ll_attribute_id(ll_reader *reader, ll_attribute attribute)
{
    return ll_attribute_likely_id(reader, attribute, LL_NONE);
}

int ll_attribute_likely_id(ll_reader *reader, ll_attribute attribute, int likely)
{
    size_t length;
    const char *text = ll_attribute_of(reader, attribute, &length);
    if (ll_id_is(&reader->ids, likely, text, length))
        return likely;
    return length ? id_number(reader, text, length) : LL_NONE;
}

void ll_define(ll_reader *reader, int id, ll_id_kind kind, int place)
{
    if (id == LL_NONE)
        return;
    const char *text = ll_id_text(&reader->ids, id);
    size_t whole = strlen(text), length = whole;
    char shown[LL_SHOWN];
    ll_trim(&text, &length);
    if (length && length < whole && id_number(reader, text, length) == LL_NONE)
        return;
    if (!ll_id_name(&reader->ids, id, kind, place))
        LL_NOTE_HERE(reader, LL_NOTE_ID_REPEATED, ll_line(reader), ll_shown(shown, text, length));
}

bool ll_same_word(const char *word, const char *text, size_t length, bool any_case)
{
    for (size_t i = 0; i < length; i++) {
        char c = text[i];
        if (any_case && c >= 'A' && c <= 'Z')
            c = (char)(c - 'A' + 'a');
        if (word[i] != c)
            return false;
    }
    return word[length] == '\0';
}

int ll_keyword(const char *const *words, const char *text, size_t length)
{
    ll_trim(&text, &length);
    for (int any_case = 0; any_case < 2; any_case++)
        for (int i = 0; words[i]; i++)
            if (ll_same_word(words[i], text, length, any_case))
                return i;
    return LL_NONE;
}

void ll_forget_facts(ll_reader *reader, ll_fact first, ll_fact last)
{
    for (int fact = first; fact <= (int)last; fact++) {
        reader->fact[fact] = NAN;
        reader->fact_rank[fact] = 0;
    }
}

double ll_fact_of(const ll_reader *reader, ll_fact fact)
{
    return reader->fact[fact];
}

ll_notes *ll_notes_here(ll_reader *reader)
{
    return reader->in_dive ? &reader->dive.notes : &reader->notes;
}

bool ll_noted(ll_reader *reader, bool added)
{
    if (!added)
        ll_stop_no_memory(reader);
    return added;
}

/* Before the dive counts more than after it, that more than flat in the dive; elsewhere there is but one place. */
static uint8_t rank_of(ll_row row)
{
    for (ll_row up = row; up != LL_ROW_NOWHERE; up = ll_element_table[up].parent) {
        if (up == LL_ROW_BEFORE)
            return 3;
        if (up == LL_ROW_AFTER)
            return 2;
        if (up == LL_ROW_WAYPOINT)
            return 1;
    }
    return 1;
}

uint8_t ll_rank_here(const ll_reader *reader)
{
    return rank_of(reader->row);
}

void ll_note_repeated(ll_reader *reader)
{
    LL_NOTE_HERE(reader, LL_NOTE_VALUE_REPEATED, ll_line(reader), ll_element_table[reader->row].name);
}

void ll_end_number(ll_reader *reader)
{
    const ll_element_row *row = &ll_element_table[reader->row];
    const ll_fact_row *fact = &ll_fact_table[row->kept];
    size_t length;
    const char *text = ll_gathered(reader, &length);
    double value;
    if (!ll_value(reader, text, length, fact->least, fact->most, row->name, &value))
        return;
    uint8_t rank = rank_of(reader->row);
    if (reader->fact_rank[row->kept] == rank)
        ll_note_repeated(reader);
    if (reader->fact_rank[row->kept] >= rank)
        return;
    reader->fact_rank[row->kept] = rank;
    reader->fact[row->kept] = value / fact->divisor;
}

void ll_end_word(ll_reader *reader)
{
    size_t length;
    const char *text = ll_gathered(reader, &length);
    const char **word = &reader->word[ll_element_table[reader->row].kept];
    if (length == 0 || *word)
        return;
    *word = ll_arena_text_n(&reader->arena, text, length);
    if (!*word)
        ll_stop_no_memory(reader);
}
