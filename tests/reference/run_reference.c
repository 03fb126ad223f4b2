/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs the rows of the reference suite:
 *
 *     source | kind | tolerance, its reason | law and what it is given | what it gives
 *
 * kind is published, common-practice, from-memory or regression; the tolerance is absolute. '#' starts a comment line.
 * Fails on a row that does not hold, is NaN, or cannot be read. With --all-wrong it fails unless every row fails: so
 * the runner itself is tested. */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "close.h"
#include "laws.h"

enum { KINDS = 4, FIELDS = 5, LINE = 2000 };

static const char *const kinds[KINDS] = {"published", "common-practice", "from-memory", "regression"};
static const law *const laws[] = {coefficient_laws, tissue_laws, limit_laws, oxygen_laws, gas_laws, water_laws, use_laws,
                                 linear_laws};

typedef struct tally {
    int rows, failed, of_kind[KINDS];
} tally;

static char *trimmed(char *text)
{
    text += strspn(text, " \t");
    size_t length = strlen(text);
    while (length > 0 && strchr(" \t\r\n", text[length - 1]))
        text[--length] = '\0';
    return text;
}

/* Splits at the bars; true if there are exactly five fields and none is empty. */
static bool split(char *line, char *field[FIELDS])
{
    int count = 0;
    for (char *start = line; start; count++) {
        char *bar = strchr(start, '|');
        if (bar)
            *bar++ = '\0';
        if (count < FIELDS)
            field[count] = trimmed(start);
        start = bar;
    }
    for (int i = 0; i < FIELDS && count == FIELDS; i++)
        if (*field[i] == '\0')
            return false;
    return count == FIELDS;
}

/* Reads numbers up to the end of the text; how many, or -1. */
static int read_numbers(const char *text, double *value, int most)
{
    int count = 0;
    for (text += strspn(text, " \t"); *text; text += strspn(text, " \t")) {
        char *end;
        if (count == most)
            return -1;
        value[count++] = strtod(text, &end);
        if (end == text || (*end != '\0' && *end != ' ' && *end != '\t'))
            return -1;
        text = end;
    }
    return count;
}

/* A number, a comma, and words that say why. */
static bool read_tolerance(const char *text, double *tolerance)
{
    char *end;
    *tolerance = strtod(text, &end);
    return end != text && *end == ',' && strspn(end, ", ") < strlen(end) && *tolerance >= 0.0;
}

static int kind_of(const char *text)
{
    int kind = 0;
    while (kind < KINDS && strcmp(kinds[kind], text) != 0)
        kind++;
    return kind;
}

static const law *find_law(const char *name, size_t length)
{
    for (size_t table = 0; table < sizeof laws / sizeof *laws; table++)
        for (const law *row = laws[table]; row->name; row++)
            if (strlen(row->name) == length && strncmp(row->name, name, length) == 0)
                return row;
    return NULL;
}

static bool compare(const law *asked, const double *given, const double *expected, double tolerance, const char *place)
{
    double got[LAW_MOST_GOT];
    bool good = true;
    asked->evaluate(given, got);
    for (int i = 0; i < asked->got; i++) {
        if (is_close(got[i], expected[i], tolerance, 0.0))
            continue;
        fprintf(stderr, "%s: %s gives %.17g in place %d, expected %.17g within %g\n", place, asked->name, got[i], i + 1,
                expected[i], tolerance);
        good = false;
    }
    return good;
}

/* True if the row can be read and holds. */
static bool run_row(char *field[FIELDS], const char *place, tally *sum)
{
    double tolerance, given[LAW_MOST_GIVEN], expected[LAW_MOST_GOT];
    int kind = kind_of(field[1]);
    size_t name = strcspn(field[3], " \t");
    const law *asked = find_law(field[3], name);
    if (kind == KINDS || !asked || !read_tolerance(field[2], &tolerance)
        || read_numbers(field[3] + name, given, LAW_MOST_GIVEN) != asked->given
        || read_numbers(field[4], expected, LAW_MOST_GOT) != asked->got) {
        fprintf(stderr, "%s: kind, tolerance, law or numbers cannot be read\n", place);
        return false;
    }
    sum->of_kind[kind]++;
    return compare(asked, given, expected, tolerance, place);
}

static void run_line(char *line, const char *place, tally *sum)
{
    char *field[FIELDS];
    char *text = trimmed(line);
    if (*text == '\0' || *text == '#')
        return;
    sum->rows++;
    if (!split(text, field)) {
        fprintf(stderr, "%s: not five fields\n", place);
        sum->failed++;
    } else if (!run_row(field, place, sum)) {
        sum->failed++;
    }
}

static bool run_file(const char *name, tally *sum)
{
    FILE *file = fopen(name, "r");
    if (!file)
        return false;
    char line[LINE], place[LINE];
    const char *slash = strrchr(name, '/');
    for (int number = 1; fgets(line, sizeof line, file); number++) {
        snprintf(place, sizeof place, "%.200s:%d", slash ? slash + 1 : name, number);
        run_line(line, place, sum);
    }
    return fclose(file) == 0;
}

int main(int count, char **argument)
{
    bool all_wrong = count > 1 && strcmp(argument[1], "--all-wrong") == 0;
    tally sum = {0};
    for (int i = all_wrong ? 2 : 1; i < count; i++) {
        if (!run_file(argument[i], &sum)) {
            fprintf(stderr, "%s cannot be read\n", argument[i]);
            return EXIT_FAILURE;
        }
    }
    printf("%d rows: %d published, %d common practice, %d from memory, %d regression; %d failed\n", sum.rows,
           sum.of_kind[0], sum.of_kind[1], sum.of_kind[2], sum.of_kind[3], sum.failed);
    bool good = sum.rows > 0 && sum.failed == (all_wrong ? sum.rows : 0);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
