/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the recorder itself said during the dive, beside the replay. */
#ifndef LL_ASSESS_WORD_H
#define LL_ASSESS_WORD_H

#include "finding/finding.h"

typedef enum ll_word_figures {
    LL_WORD_STOP, /* the deepest of its mandatory stops, m */
    LL_WORD_NO_STOP,
    LL_WORD_GRADIENT,
    LL_WORD_CNS,
    LL_WORD_OTU,
    LL_WORD_FIGURES
} ll_word_figures;

/* One value of the recorder's, and the replay's at the very same sample. */
typedef struct ll_word_pair {
    bool known; /* the recorder said something; else the rest is empty */
    double time_s;
    double recorder, replay; /* in the unit of the quantity; NaN where the replay has none */
    double duration_s;       /* of a stop, as the recorder gave it; else NaN */
} ll_word_pair;

typedef struct ll_word_figure {
    ll_quantity quantity;
    bool said;     /* anywhere in the run time; else the rest is empty */
    bool compared; /* false: CNS whose values may be fractions or percents, shown as written */
    ll_word_pair ascent;    /* at the start of the ascent, or where it last said anything before */
    ll_word_pair surfacing; /* at the surfacing, else at the end of the record, or where it last said anything before */
    ll_word_pair farthest;  /* where the two differ most; not for the no-stop time, replayed at these two only */
} ll_word_figure;

/* Its own mandatory stops, and whether the diver stayed below them. */
typedef struct ll_word_stops {
    bool asked; /* it asked for any in the run time; else the rest is empty */
    double from_s, to_s; /* first and last sample with one */
    double deepest_m;
    double above_s; /* spent above them in all; 0 where they were kept */
    double above_m, above_at_s; /* by as much as; NaN where they were kept */
} ll_word_stops;

typedef struct ll_word {
    bool any;
    ll_word_stops stops;
    ll_word_figure figure[LL_WORD_FIGURES];
} ll_word;

/* What the comparison needs of the replay: only what the record carries. */
ll_quantities ll_word_quantities(const ll_dive *dive);

/* Of a track with these quantities; `start` is the state that it was replayed from, `findings` tell of the own stops.
 * False if memory ran out. */
bool ll_word_make(const ll_track *track, const ll_state *start, const ll_findings *findings, ll_arena *arena,
                  ll_word *word);

#endif
