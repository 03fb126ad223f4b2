/* SPDX-License-Identifier: GPL-3.0-or-later */
/* <requirement>: its attributes, and what contradicts itself. */
#include <math.h>
#include <string.h>

#include "standard/reader.h"

#define GREATEST_DEPTH_M 330.0
#define OWED_OF_DECOMPRESSION_S 60u /* a minute or more makes a decompression dive */

const char *const ll_counted_names[LL_COUNTED_WAYS + 1] = {"dives", "hours", "days", NULL};
static const char *const circuit_words[] = {"open", "loop", NULL};

/* The two words of a finding are looked up in the tables of kinds and severities. */
typedef struct {
    ll_requirement is;
    const char *finding, *severity;
} tag_of_requirement;

#define AT(member) offsetof(tag_of_requirement, member)
static const char depth_expected[] = "a depth from 0 to 330 m";
static const char clock_expected[] = "a duration such as PT20M; only days, hours, minutes and seconds";

/* In the order of ll_asked. */
static const ll_attribute_row rows[] = {
    {"id", LL_VALUE_TEXT, AT(is.id), 1, LL_STANDARD_MOST_ID, "a name of 1 to 64 bytes", NULL},
    {"least", LL_VALUE_NUMBER, AT(is.least), 0, 100000, "a number from 0 to 100000", NULL},
    {"most", LL_VALUE_NUMBER, AT(is.most), 0, 100000, "a number from 0 to 100000", NULL},
    {"count", LL_VALUE_WORD, AT(is.counted_in), 0, 0, "dives, hours or days", ll_counted_names},
    {"decompression", LL_VALUE_BOOL, AT(is.decompression), 0, 0, "yes or no", ll_yes_words},
    {"owed", LL_VALUE_CLOCK, AT(is.owed), 0, 0, clock_expected, NULL},
    {"deepest-from", LL_VALUE_NUMBER, AT(is.deepest_from_m), 0, GREATEST_DEPTH_M, depth_expected, NULL},
    {"deepest-to", LL_VALUE_NUMBER, AT(is.deepest_to_m), 0, GREATEST_DEPTH_M, depth_expected, NULL},
    {"within", LL_VALUE_DAYS, AT(is.within), 0, 0, "a duration such as P6M; only years, months, weeks and days", NULL},
    {"among-last", LL_VALUE_WHOLE, AT(is.among_last), 1, 100000, "a whole number from 1 to 100000", NULL},
    {"helium", LL_VALUE_BOOL, AT(is.helium), 0, 0, "yes or no", ll_yes_words},
    {"switches", LL_VALUE_WHOLE, AT(is.switches), 1, 100, "a whole number from 1 to 100", NULL},
    {"circuit", LL_VALUE_BOOL, AT(is.loop), 0, 0, "open or loop", circuit_words},
    {"shortest", LL_VALUE_CLOCK, AT(is.shortest), 0, 0, clock_expected, NULL},
    {"finding", LL_VALUE_TEXT, AT(finding), 1, 100, "a kind of finding", NULL},
    {"severity", LL_VALUE_TEXT, AT(severity), 1, 100, "note, caution or serious", NULL},
};
enum { ROWS = sizeof rows / sizeof *rows };
_Static_assert((int)ROWS == (int)LL_ASKED_ATTRIBUTES, "one row an attribute, in the order of ll_asked");
_Static_assert(sizeof(ll_counted_in) == sizeof(int), "read as an int");

static bool has(const ll_requirement *one, ll_asked attribute)
{
    return one->asked >> attribute & 1;
}

/* --- findings asked for ------------------------------------------------------------------------------------------- */

static bool take_kind(ll_standard_reader *reader, const ll_tag *tag, const char *key, ll_kind *kind)
{
    char shown[LL_QUOTED];
    for (int i = 0; i < LL_FINDING_KINDS; i++)
        if (strcmp(ll_kind_table[i].key, key) == 0) {
            *kind = (ll_kind)i;
            return true;
        }
    return ll_refuse(reader, ll_attribute_line(tag, "finding"), "no kind of finding is called '%s'",
                     ll_quoted(shown, key));
}

static bool take_severity(ll_standard_reader *reader, const ll_tag *tag, const char *name, ll_severity *severity)
{
    char shown[LL_QUOTED];
    for (int i = LL_NOTE; i <= LL_SERIOUS; i++)
        if (strcmp(ll_severity_names[i], name) == 0) {
            *severity = (ll_severity)i;
            return true;
        }
    return ll_refuse(reader, ll_attribute_line(tag, "severity"), "severity=\"%s\": expected note, caution or serious",
                     ll_quoted(shown, name));
}

static bool take_finding(ll_standard_reader *reader, const ll_tag *tag, tag_of_requirement *given)
{
    ll_requirement *one = &given->is;
    if (has(one, LL_ASKED_FINDING) != has(one, LL_ASKED_SEVERITY))
        return ll_refuse(reader, tag->line, "'finding' and 'severity' go together");
    if (!has(one, LL_ASKED_FINDING))
        return true;
    return take_kind(reader, tag, given->finding, &one->finding) &&
           take_severity(reader, tag, given->severity, &one->severity);
}

/* --- contradictions ----------------------------------------------------------------------------------------------- */

static bool check_count(ll_standard_reader *reader, const ll_tag *tag, const ll_requirement *one)
{
    bool whole = one->counted_in == LL_COUNTED_HOURS;
    if (isnan(one->least) && isnan(one->most))
        return ll_refuse(reader, tag->line, "<requirement> needs 'least' or 'most'");
    if (one->least > one->most)
        return ll_refuse(reader, ll_attribute_line(tag, "most"), "'least' is more than 'most'");
    if (!whole && !isnan(one->least) && one->least != floor(one->least))
        return ll_refuse(reader, ll_attribute_line(tag, "least"), "dives and days are counted in whole numbers");
    if (!whole && !isnan(one->most) && one->most != floor(one->most))
        return ll_refuse(reader, ll_attribute_line(tag, "most"), "dives and days are counted in whole numbers");
    return true;
}

static bool check_attributes(ll_standard_reader *reader, const ll_tag *tag, const ll_requirement *one)
{
    if (has(one, LL_ASKED_DEEPEST_FROM) && has(one, LL_ASKED_DEEPEST_TO) && one->deepest_from_m > one->deepest_to_m)
        return ll_refuse(reader, ll_attribute_line(tag, "deepest-to"), "'deepest-from' is more than 'deepest-to'");
    bool none_owed = has(one, LL_ASKED_DECOMPRESSION) && !one->decompression;
    if (none_owed && (one->owed.days > 0 || one->owed.seconds >= OWED_OF_DECOMPRESSION_S))
        return ll_refuse(reader, ll_attribute_line(tag, "owed"),
                         "a dive that owes a minute or more is a decompression dive, "
                         "and decompression=\"no\" asks for none");
    return true;
}

static bool check_id(ll_standard_reader *reader, const ll_tag *tag, const ll_requirement *one)
{
    char shown[LL_QUOTED];
    if (!has(one, LL_ASKED_ID))
        return ll_refuse(reader, tag->line, "<requirement> needs the attribute 'id'");
    for (size_t i = 0; i < reader->standard->requirements; i++)
        if (strcmp(reader->requirement[i].id, one->id) == 0)
            return ll_refuse(reader, ll_attribute_line(tag, "id"), "a second requirement with the id '%s'",
                             ll_quoted(shown, one->id));
    return true;
}

bool ll_take_requirement_tag(ll_standard_reader *reader, const ll_tag *tag)
{
    tag_of_requirement given = {.is = {.line = tag->line, .least = NAN, .most = NAN}};
    ll_requirement *one = &given.is;
    if (reader->standard->requirements == LL_STANDARD_MOST_REQUIREMENTS)
        return ll_refuse(reader, tag->line, "more than %d requirements", LL_STANDARD_MOST_REQUIREMENTS);
    if (!ll_attributes_take(reader, tag, rows, ROWS, &given, &one->asked))
        return false;
    if (!check_id(reader, tag, one) || !check_count(reader, tag, one) || !check_attributes(reader, tag, one) ||
        !take_finding(reader, tag, &given))
        return false;
    reader->requirement[reader->standard->requirements++] = *one;
    return true;
}

/* --- text and whole ----------------------------------------------------------------------------------------------- */

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

bool ll_take_requirement_text(ll_standard_reader *reader, const char *text, size_t length)
{
    ll_requirement *one = &reader->requirement[reader->standard->requirements - 1];
    char *words = ll_arena_alloc(&reader->standard->arena, length + 1);
    size_t size = 0;
    if (!words)
        return ll_refuse_no_memory(reader);
    for (size_t i = 0; i < length; i++)
        if (!is_blank(text[i]))
            words[size++] = text[i];
        else if (size > 0 && words[size - 1] != ' ')
            words[size++] = ' ';
    while (size > 0 && words[size - 1] == ' ')
        words[--size] = '\0';
    one->text = words;
    return size > 0 || ll_refuse(reader, one->line, "<requirement> needs a text that says it in words");
}

static bool has_limit(const ll_limit *limit)
{
    return !isnan(limit->note) || !isnan(limit->caution) || !isnan(limit->serious);
}

/* A kind without limits finds nothing, so a requirement on it would be met by everyone or by nobody. */
bool ll_check_standard(ll_standard_reader *reader)
{
    const ll_standard *standard = reader->standard;
    for (size_t i = 0; i < standard->requirements; i++) {
        const ll_requirement *one = &reader->requirement[i];
        const ll_standard_limit *own = &standard->of[one->finding];
        const ll_limit *limit = own->given ? &own->limit : &ll_kind_table[one->finding].limit;
        if (has(one, LL_ASKED_FINDING) && !has_limit(limit))
            return ll_refuse(reader, one->line, "requirement '%s' asks for findings of '%s', which has no limit",
                             one->id, ll_kind_table[one->finding].key);
    }
    return true;
}
