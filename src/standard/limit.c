/* SPDX-License-Identifier: GPL-3.0-or-later */
/* <limit>: what may be limited, in which unit, and which values contradict each other. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "standard/reader.h"

const char *const ll_kept_limit_names[LL_KEPT_LIMITS] = {"separation"};
static const char kept_unit[] = "m";

/* The greatest value that a limit may have, by its unit: far beyond what anyone would teach. */
static const struct {
    const char *unit;
    double most;
} most_by_unit[] = {{"m", 330}, {"m/min", 120}, {"atm", 5}, {"g/L", 50}, {"bar", 400}, {"percent", 1000}, {"fraction", 1}};
#define MOST_OF_OTHER_UNITS 1000.0

typedef struct {
    const char *of, *unit;
    double note, caution, serious;
} tag_of_limit;

static const ll_attribute_row rows[] = {
    {"of", LL_VALUE_TEXT, offsetof(tag_of_limit, of), 1, 100, "what is limited", NULL},
    {"unit", LL_VALUE_TEXT, offsetof(tag_of_limit, unit), 1, 100, "a unit", NULL},
    {"note", LL_VALUE_NUMBER, offsetof(tag_of_limit, note), 0, 1e6, "a number such as 5.2", NULL},
    {"caution", LL_VALUE_NUMBER, offsetof(tag_of_limit, caution), 0, 1e6, "a number such as 6.2", NULL},
    {"serious", LL_VALUE_NUMBER, offsetof(tag_of_limit, serious), 0, 1e6, "a number such as 6.2", NULL},
};
enum { ROWS = sizeof rows / sizeof *rows, HAS_OF = 1, HAS_UNIT = 2 };

/* Where a limit goes, the unit that it needs and the side on which it lies. */
typedef struct {
    ll_standard_limit *to;
    const char *unit;
    ll_direction direction;
} limited;

static bool find_kind(ll_standard *standard, const char *of, limited *found)
{
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        if (strcmp(ll_kind_table[kind].key, of) == 0) {
            *found = (limited){&standard->of[kind], ll_kind_table[kind].unit, ll_limit_direction((ll_kind)kind)};
            return kind != LL_FINDING_SURFACED;
        }
    for (int kept = 0; kept < LL_KEPT_LIMITS; kept++)
        if (strcmp(ll_kept_limit_names[kept], of) == 0) {
            *found = (limited){&standard->kept[kept], kept_unit, LL_UPPER_LIMIT};
            return true;
        }
    return false;
}

static double most_of(const char *unit)
{
    for (size_t i = 0; i < sizeof most_by_unit / sizeof *most_by_unit; i++)
        if (strcmp(most_by_unit[i].unit, unit) == 0)
            return most_by_unit[i].most;
    return MOST_OF_OTHER_UNITS;
}

static bool refuse_range(ll_standard_reader *reader, const ll_tag *tag, const tag_of_limit *given, const char *severity)
{
    ll_text most;
    ll_text_open(&most, reader->standard->arena.allocator, NULL, NULL);
    ll_number_add(&most, most_of(given->unit));
    const char *number = ll_text_string(&most);
    if (number)
        ll_refuse(reader, ll_attribute_line(tag, severity), "%s of '%s': expected 0 to %s %s", severity, given->of, number,
                  given->unit);
    else
        ll_refuse_no_memory(reader);
    ll_text_close(&most);
    return false;
}

/* Each severity lies at or beyond the one before it. */
static bool check_values(ll_standard_reader *reader, const ll_tag *tag, const tag_of_limit *given,
                         ll_direction direction)
{
    const double values[] = {NAN, given->note, given->caution, given->serious};
    const char *side = direction == LL_LOWER_LIMIT ? "above" : "below";
    int before = LL_NO_FINDING;
    for (int severity = LL_NOTE; severity <= LL_SERIOUS; severity++) {
        const char *name = ll_severity_names[severity];
        if (isnan(values[severity]))
            continue;
        if (values[severity] > most_of(given->unit))
            return refuse_range(reader, tag, given, name);
        double further = values[severity] - values[before];
        if (before && (direction == LL_LOWER_LIMIT ? further > 0 : further < 0))
            return ll_refuse(reader, ll_attribute_line(tag, name),
                             "limits of '%s' contradict each other: %s lies %s %s", given->of, name, side,
                             ll_severity_names[before]);
        before = severity;
    }
    return true;
}

static bool check(ll_standard_reader *reader, const ll_tag *tag, const tag_of_limit *given, limited *found)
{
    char shown[LL_QUOTED];
    *found = (limited){NULL, NULL, LL_UPPER_LIMIT};
    bool known = find_kind(reader->standard, given->of, found);
    if (!known && found->to)
        return ll_refuse(reader, ll_attribute_line(tag, "of"), "'%s' takes no limit", given->of);
    if (!known)
        return ll_refuse(reader, ll_attribute_line(tag, "of"), "nothing that has a limit is called '%s'",
                         ll_quoted(shown, given->of));
    if (strcmp(found->unit, given->unit) != 0)
        return ll_refuse(reader, ll_attribute_line(tag, "unit"), "unit of '%s' is %s, not %s", given->of, found->unit,
                         ll_quoted(shown, given->unit));
    if (found->to->given)
        return ll_refuse(reader, tag->line, "a second limit of '%s'", given->of);
    return check_values(reader, tag, given, found->direction);
}

bool ll_take_limit_tag(ll_standard_reader *reader, const ll_tag *tag)
{
    tag_of_limit given = {.note = NAN, .caution = NAN, .serious = NAN};
    unsigned has;
    limited found;
    if (!ll_attributes_take(reader, tag, rows, ROWS, &given, &has))
        return false;
    if (!(has & HAS_OF) || !(has & HAS_UNIT))
        return ll_refuse(reader, tag->line, "<limit> needs the attribute '%s'", has & HAS_OF ? "unit" : "of");
    if (!check(reader, tag, &given, &found))
        return false;
    found.to->given = true;
    found.to->limit =
        (ll_limit){given.note, given.caution, given.serious, LL_FROM_STANDARD, reader->standard->name};
    return true;
}
