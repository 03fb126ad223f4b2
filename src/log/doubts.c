/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the samples of a record cannot tell, named in one pass over the bridged columns and left as it is. The limits
 * are common practice, without a source, but for the rate, which is that of spikes. */
#include <math.h>

#include "base/number.h"
#include "log/values.h"

#define GAP_S 60.0       /* a shorter wait between samples is never a gap */
#define GAP_TIMES 10.0   /* nor is one of less than so many average intervals: drawn profiles have few, far points */
#define STEP_M_MIN 120.0
#define STUCK_S 300.0    /* so long no depth stays the same to the last digit, but on a flat bottom: see note_stuck */
#define STUCK_M 3.0      /* nor shallower than this */

typedef struct record {
    ll_reader *reader;
    const ll_raw_sample *sample;
    const double *time_s, *depth_m;
    double average_s; /* between samples */
} record;

/* A note with three figures, put into words only where it is new. */
static void note(const record *of, ll_note_code code, size_t at, double a, double b, double c)
{
    char first[LL_PRINTED] = "", second[LL_PRINTED] = "", third[LL_PRINTED] = "";
    if (!ll_has_note(&of->reader->dive.notes, code)) {
        ll_number_print(first, a);
        ll_number_print(second, b);
        ll_number_print(third, c);
    }
    LL_NOTE_HERE(of->reader, code, of->sample[at].line, first, second, third);
}

/* In a sentence: to the centimetre and the tenth of a second. */
static double rounded(double value, double parts)
{
    return round(value * parts) / parts;
}

static void note_gap(const record *of, size_t i)
{
    double gap_s = of->time_s[i + 1] - of->time_s[i];
    note(of, LL_NOTE_GAP, i + 1, rounded(gap_s, 10), rounded(of->time_s[i], 10), rounded(of->average_s, 10));
}

static void note_step(const record *of, size_t i)
{
    note(of, LL_NOTE_DEPTH_STEP, i + 1, rounded(of->time_s[i], 10), rounded(of->depth_m[i + 1] - of->depth_m[i], 100),
         rounded(of->time_s[i + 1] - of->time_s[i], 1000));
}

/* A diver who lies on a flat bottom leaves it no faster than a diver can; so only a step ends a doubtful stretch. */
static void note_stuck(const record *of, size_t since, size_t i)
{
    if (of->time_s[i] - of->time_s[since] >= STUCK_S && of->depth_m[i] > STUCK_M)
        note(of, LL_NOTE_DEPTH_STUCK, since, of->depth_m[i], rounded(of->time_s[since], 10), rounded(of->time_s[i], 10));
}

void ll_note_doubts(ll_reader *reader)
{
    const ll_dive *dive = &reader->dive;
    record of = {reader, reader->samples.items, dive->time_s, dive->depth_m, NAN};
    size_t since = 0; /* depth has been the same since this sample */
    if (dive->count < 2)
        return;
    of.average_s = (of.time_s[dive->count - 1] - of.time_s[0]) / (double)(dive->count - 1);
    double gap_s = fmax(GAP_S, GAP_TIMES * of.average_s);
    for (size_t i = 0; i + 1 < dive->count; i++) {
        double seconds = of.time_s[i + 1] - of.time_s[i], metres = of.depth_m[i + 1] - of.depth_m[i];
        if (seconds > gap_s)
            note_gap(&of, i);
        if (fabs(metres) * 60 > STEP_M_MIN * seconds) {
            note_step(&of, i);
            note_stuck(&of, since, i);
        }
        if (metres < 0 || metres > 0)
            since = i + 1;
    }
}
