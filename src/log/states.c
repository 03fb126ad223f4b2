/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What holds from a sample on: set points, mixes, modes; and what a recorder says there: its stops and alarms. */
#include <math.h>

#include "log/units.h"
#include "log/values.h"

/* A keyword of an attribute and what it means. Of several for one meaning the first is the format's own. */
typedef struct keyword {
    const char *word;
    int meaning;
} keyword;

static void add_event(ll_reader *reader, ll_list *list, const void *event, size_t size)
{
    if (!ll_list_append(list, reader->allocator, event, 1, size))
        ll_stop_no_memory(reader);
}

static const char *word_of(const keyword *words, int meaning)
{
    while (words->meaning != meaning)
        words++;
    return words->word;
}

/* Notes a keyword that stands for `word`, or for nothing. */
static void note_keyword(ll_reader *reader, ll_note_code code, const char *text, size_t length, const char *word)
{
    char shown[LL_SHOWN];
    const char *element = ll_element_table[reader->row].name;
    LL_NOTE_HERE(reader, code, ll_line(reader), element, ll_shown(shown, text, length), word);
}

/* What the keyword of an attribute means: written exactly so, else without regard to case, with a note; LL_NONE if
 * there is none, or, with a note, none of these. */
static int keyword_here(ll_reader *reader, ll_attribute attribute, const keyword *words)
{
    size_t length;
    const char *text = ll_attribute_of(reader, attribute, &length);
    if (text)
        ll_trim(&text, &length);
    if (!length)
        return LL_NONE;
    for (int any_case = 0; any_case < 2; any_case++)
        for (const keyword *row = words; row->word; row++) {
            if (!ll_same_word(row->word, text, length, any_case))
                continue;
            const char *own = word_of(words, row->meaning);
            if (any_case || own != row->word)
                note_keyword(reader, LL_NOTE_KEYWORD_SPELLING, text, length, own);
            return row->meaning;
        }
    note_keyword(reader, LL_NOTE_KEYWORD_UNKNOWN, text, length, "");
    return LL_NONE;
}

/* Without `setby` (before 3.1) it is the user's. */
void ll_begin_set_point(ll_reader *reader)
{
    static const keyword by[] = {{"user", 0}, {"computer", 1}, {NULL, LL_NONE}};
    reader->by_computer = keyword_here(reader, LL_ATTRIBUTE_SETBY, by) == 1;
}

void ll_end_set_point(ll_reader *reader)
{
    double value;
    if (!ll_number_here(reader, &value))
        return;
    ll_raw_set_point event = {ll_sample_here(reader), (uint32_t)ll_line(reader), value, reader->by_computer};
    ll_extent_add(&reader->extent[LL_WRITTEN_SET_POINT], value, ll_line(reader));
    add_event(reader, &reader->set_points, &event, sizeof event);
}

void ll_begin_switch(ll_reader *reader)
{
    ll_raw_switch event = {ll_sample_here(reader), ll_attribute_id(reader, LL_ATTRIBUTE_REF), ll_line(reader)};
    if (event.id != LL_NONE)
        add_event(reader, &reader->switches, &event, sizeof event);
}

void ll_begin_mode(ll_reader *reader)
{
    static const keyword types[] = {{"opencircuit", LL_OPEN_CIRCUIT},
                                    {"closedcircuit", LL_CLOSED_CIRCUIT},
                                    {"semiclosedcircuit", LL_SEMICLOSED_CIRCUIT},
                                    {"apnoe", LL_APNOE},
                                    {"apnea", LL_APNOE},
                                    {NULL, LL_NONE}};
    int type = keyword_here(reader, LL_ATTRIBUTE_TYPE, types);
    if (type == LL_NONE)
        return;
    ll_raw_mode event = {ll_sample_here(reader), (ll_circuit)type};
    add_event(reader, &reader->modes, &event, sizeof event);
}

static double number_of(ll_reader *reader, ll_attribute attribute)
{
    size_t length;
    double value;
    const char *text = ll_attribute_of(reader, attribute, &length);
    if (text)
        ll_trim(&text, &length);
    ll_value(reader, text, length, 0, LL_ANY_NUMBER, ll_attribute_names[attribute], &value);
    return value;
}

/* Depth and duration as they are, 0 and the sentinels of recorders too. */
void ll_begin_own_stop(ll_reader *reader)
{
    static const keyword kinds[] = {{"safety", 0}, {"mandatory", 1}, {NULL, LL_NONE}};
    bool mandatory = keyword_here(reader, LL_ATTRIBUTE_KIND, kinds) == 1;
    ll_own_stop event = {ll_sample_here(reader), mandatory, number_of(reader, LL_ATTRIBUTE_DECODEPTH),
                         number_of(reader, LL_ATTRIBUTE_DURATION)};
    if (isnan(event.depth_m))
        LL_NOTE_HERE(reader, LL_NOTE_STOP_WITHOUT_DEPTH, ll_line(reader));
    else
        add_event(reader, &reader->own_stops, &event, sizeof event);
}

/* Of any words: kept as written. */
void ll_end_alarm(ll_reader *reader)
{
    size_t length;
    const char *text = ll_gathered(reader, &length);
    if (!length)
        return;
    ll_alarm event = {ll_sample_here(reader), ll_arena_text_n(&reader->arena, text, length)};
    if (!event.text)
        ll_stop_no_memory(reader);
    else
        add_event(reader, &reader->alarms, &event, sizeof event);
}
