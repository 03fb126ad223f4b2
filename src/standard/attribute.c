/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values of attributes, by their type. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "standard/reader.h"

const char *const ll_yes_words[3] = {"no", "yes", NULL};

/* --- what is wrong ------------------------------------------------------------------------------------------------ */

bool ll_refuse(ll_standard_reader *reader, long line, const char *format, ...)
{
    char sentence[sizeof reader->error.text];
    if (reader->error.status != LL_OK)
        return false;
    va_list values;
    va_start(values, format);
    vsnprintf(sentence, sizeof sentence, format, values);
    va_end(values);
    ll_fail(&reader->error, LL_BAD_INPUT, line, "%s", sentence);
    return false;
}

bool ll_refuse_no_memory(ll_standard_reader *reader)
{
    if (reader->error.status == LL_OK)
        ll_fail_memory(&reader->error);
    return false;
}

/* How many bytes at `at` are a control character: C0 and DEL, and C1 as UTF-8 writes them. */
static size_t control_bytes(const unsigned char *at)
{
    if (at[0] == 0xc2 && at[1] >= 0x80 && at[1] <= 0x9f)
        return 2;
    return at[0] < 0x20 || at[0] == 0x7f;
}

const char *ll_quoted(char buffer[LL_QUOTED], const char *text)
{
    const size_t most = LL_QUOTED - sizeof "...";
    size_t length = strlen(text), kept = length > most ? most : length;
    while (kept < length && kept > 0 && ((unsigned char)text[kept] & 0xc0) == 0x80)
        kept--;
    memcpy(buffer, text, kept);
    buffer[kept] = '\0';
    for (size_t i = 0; i < kept; i++) {
        size_t bytes = control_bytes((const unsigned char *)buffer + i);
        memset(buffer + i, '?', bytes);
    }
    strcpy(buffer + kept, kept < length ? "..." : "");
    return buffer;
}

/* --- values ------------------------------------------------------------------------------------------------------- */

static bool take_text(ll_standard_reader *reader, const ll_attribute_row *row, const char *value, void *member)
{
    static const char blanks[] = " \t\r\n";
    value += strspn(value, blanks);
    size_t length = strlen(value);
    while (length > 0 && strchr(blanks, value[length - 1]))
        length--;
    if (length == 0 || (double)length > row->most)
        return false;
    char *text = ll_arena_text_n(&reader->standard->arena, value, length);
    memcpy(member, &text, sizeof text);
    return text || ll_refuse_no_memory(reader);
}

/* Digits and a point: no sign, no exponent. */
static bool take_number(const ll_attribute_row *row, const char *value, void *member)
{
    double number;
    size_t length = strlen(value);
    bool is_plain = strspn(value, "0123456789.") == length;
    if (!is_plain || !ll_number_read(value, length, &number) || !(number >= row->least && number <= row->most))
        return false;
    memcpy(member, &number, sizeof number);
    return true;
}

static bool take_whole(const ll_attribute_row *row, const char *value, void *member)
{
    unsigned number;
    if (!ll_whole_read(value, strlen(value), &number) || number < row->least || number > row->most)
        return false;
    memcpy(member, &number, sizeof number);
    return true;
}

static int find_word(const ll_attribute_row *row, const char *value)
{
    for (int i = 0; row->words[i]; i++)
        if (strcmp(row->words[i], value) == 0)
            return i;
    return -1;
}

static bool take_word(const ll_attribute_row *row, const char *value, void *member)
{
    int found = find_word(row, value);
    bool is_second = found == 1;
    if (row->type == LL_VALUE_BOOL)
        memcpy(member, &is_second, sizeof is_second);
    else
        memcpy(member, &found, sizeof found);
    return found >= 0;
}

/* Days before a day have no hours, and the time under water has no months. */
static bool take_period(const ll_attribute_row *row, const char *value, void *member)
{
    ll_period period;
    size_t length = strlen(value), clock = strcspn(value, "T");
    if (!ll_period_read(value, length, &period))
        return false;
    memcpy(member, &period, sizeof period);
    bool fits = row->type == LL_VALUE_DAYS ? clock == length : strcspn(value, "YM") >= clock;
    return fits && (period.years || period.months || period.days || period.seconds);
}

static bool take_value(ll_standard_reader *reader, const ll_attribute_row *row, const char *value, void *member)
{
    switch (row->type) {
    case LL_VALUE_TEXT:
        return take_text(reader, row, value, member);
    case LL_VALUE_NUMBER:
        return take_number(row, value, member);
    case LL_VALUE_WHOLE:
        return take_whole(row, value, member);
    case LL_VALUE_BOOL:
    case LL_VALUE_WORD:
        return take_word(row, value, member);
    case LL_VALUE_DAYS:
    case LL_VALUE_CLOCK:
        break;
    }
    return take_period(row, value, member);
}

/* --- tags --------------------------------------------------------------------------------------------------------- */

static size_t find_row(const ll_attribute_row *rows, size_t count, const char *name)
{
    size_t i = 0;
    while (i < count && strcmp(rows[i].name, name) != 0)
        i++;
    return i;
}

bool ll_attributes_take(ll_standard_reader *reader, const ll_tag *tag, const ll_attribute_row *rows, size_t count,
                        void *target, unsigned *given)
{
    char shown[LL_QUOTED];
    *given = 0;
    for (size_t i = 0; i < tag->count; i++) {
        const ll_given *one = &tag->given[i];
        size_t row = find_row(rows, count, one->name);
        if (row == count)
            return ll_refuse(reader, one->line, "<%s> takes no attribute '%s'", tag->element,
                             ll_quoted(shown, one->name));
        if (!take_value(reader, &rows[row], one->value, (char *)target + rows[row].member))
            return ll_refuse(reader, one->line, "%s=\"%s\": expected %s", rows[row].name, ll_quoted(shown, one->value),
                             rows[row].expects);
        *given |= 1u << row;
    }
    return true;
}

long ll_attribute_line(const ll_tag *tag, const char *name)
{
    for (size_t i = 0; i < tag->count; i++)
        if (strcmp(tag->given[i].name, name) == 0)
            return tag->given[i].line;
    return tag->line;
}
