/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Digits a second: our printing of numbers against printf("%.12g"), on the same values. Every text is compared once,
 * so that what is measured is the same work. Prints a Markdown table: bench_digits [VALUES] */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/number.h"

enum { USUAL_VALUES = 1000000, ROUNDS = 5 };

typedef const char *(*print_fn)(char shown[LL_PRINTED], double value);

static double now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static const char *by_printf(char shown[LL_PRINTED], double value)
{
    snprintf(shown, LL_PRINTED, "%.12g", value);
    return shown;
}

/* From 0 to 1, the same at every run. */
static double draw(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

/* A depth as a recorder gives it: one digit behind the point. */
static double depth(uint64_t *state)
{
    return round(draw(state) * 600) / 10;
}

/* A computed figure of a replay: a ceiling, a load, a share; all digits. */
static double figure(uint64_t *state)
{
    return draw(state) * pow(10, round(draw(state) * 5 - 2));
}

static void fill(double *values, size_t count, double (*make)(uint64_t *state))
{
    uint64_t state = 7;
    for (size_t i = 0; i < count; i++)
        values[i] = make(&state);
}

static size_t digits_of(const char *text)
{
    size_t digits = 0;
    for (; *text; text++)
        digits += *text >= '0' && *text <= '9';
    return digits;
}

/* All digits of the values; ends the program where the two printings differ. */
static size_t compare(const double *values, size_t count)
{
    size_t digits = 0;
    char ours[LL_PRINTED], theirs[LL_PRINTED];
    for (size_t i = 0; i < count; i++) {
        digits += digits_of(ll_number_print(ours, values[i]));
        if (strcmp(ours, by_printf(theirs, values[i])) != 0) {
            fprintf(stderr, "bench_digits: %s is printed as %s\n", theirs, ours);
            exit(1);
        }
    }
    return digits;
}

static double seconds(const double *values, size_t count, print_fn print)
{
    char shown[LL_PRINTED];
    volatile char seen;
    double start = now_s();
    for (size_t i = 0; i < count; i++)
        seen = print(shown, values[i])[0];
    (void)seen;
    return now_s() - start;
}

static int by_size(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

/* A row: medians, and the ratio of each round. */
static void measure(const char *what, const double *values, size_t count)
{
    double digits = (double)compare(values, count), ours[ROUNDS], theirs[ROUNDS], ratio[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        ours[i] = seconds(values, count, ll_number_print);
        theirs[i] = seconds(values, count, by_printf);
        ratio[i] = theirs[i] / ours[i];
    }
    qsort(ours, ROUNDS, sizeof *ours, by_size);
    qsort(theirs, ROUNDS, sizeof *theirs, by_size);
    qsort(ratio, ROUNDS, sizeof *ratio, by_size);
    printf("| %s | %.1f | %.0f | %.0f | %.2f (%.2f–%.2f) |\n", what, digits / (double)count,
           digits / ours[ROUNDS / 2] / 1e6, digits / theirs[ROUNDS / 2] / 1e6, ratio[ROUNDS / 2], ratio[0],
           ratio[ROUNDS - 1]);
}

int main(int count, char **arguments)
{
    long asked = count == 2 ? strtol(arguments[1], NULL, 10) : USUAL_VALUES;
    double *values = asked > 0 ? malloc((size_t)asked * sizeof *values) : NULL;
    if (!values) {
        fprintf(stderr, "usage: bench_digits [VALUES]\n");
        return 2;
    }
    puts("| values | digits each | ours, million digits/s | printf, million digits/s | times as fast |");
    puts("|---|---:|---:|---:|---:|");
    fill(values, (size_t)asked, depth);
    measure("depths, to a tenth", values, (size_t)asked);
    fill(values, (size_t)asked, figure);
    measure("computed figures, 12 digits", values, (size_t)asked);
    free(values);
    return 0;
}
