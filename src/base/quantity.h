/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of quantities: CSV headers, JSON keys, labels, limits and docs all walk it. */
#ifndef LL_BASE_QUANTITY_H
#define LL_BASE_QUANTITY_H

#include <stddef.h>
#include <stdint.h>

#define LL_COMPARTMENTS 16

/* In the order of the columns of `replay --format csv`. */
typedef enum ll_quantity {
    LL_TIME,
    LL_DEPTH,
    LL_AMBIENT,
    LL_MIX_O2,
    LL_MIX_HE,
    LL_PO2,
    LL_END_N2,
    LL_END_N2O2,
    LL_DENSITY,
    LL_ASCENT_RATE,
    LL_CEILING,
    LL_STOP,
    LL_GRADIENT,
    LL_LEADING,
    LL_NO_STOP,
    LL_TIME_TO_SURFACE,
    LL_CNS,
    LL_OTU,
    LL_TEMPERATURE,
    LL_TISSUES_N2, /* the first of 16 columns */
    LL_TISSUES_HE, /* the first of 16 columns */
    LL_QUANTITIES
} ll_quantity;

/* A set of quantities: bit q is quantity q. */
typedef uint32_t ll_quantities;
#define LL_SET(quantity) ((ll_quantities)1 << (quantity))
#define LL_SET_ALL (LL_SET(LL_QUANTITIES) - 1)
#define LL_SET_DIVE ((ll_quantities)1 << 31) /* in outputs: the number of the dive, before the quantities */
#define LL_SET_HEADROOM ((ll_quantities)1 << 30) /* no column of any output: see ll_track */
#define LL_SET_INSTANTS ((ll_quantities)1 << 29) /* no column: what a track keeps of its instants, with the anchor */
#define LL_SET_TISSUES (LL_SET(LL_TISSUES_N2) | LL_SET(LL_TISSUES_HE))

typedef enum ll_direction { LL_NO_LIMIT, LL_UPPER_LIMIT, LL_LOWER_LIMIT } ll_direction;

typedef struct ll_quantity_row {
    const char *key;   /* CSV header and JSON key; for the tissues the pattern with %d */
    const char *unit;  /* as printed behind a figure; "" if it has none */
    const char *label; /* in running text */
    int digits;        /* decimals in running text */
    ll_direction direction; /* on which side a limit of it lies */
    const char *source; /* where the definition comes from */
} ll_quantity_row;

extern const ll_quantity_row ll_quantity_table[LL_QUANTITIES];

/* The quantity of a key, or LL_QUANTITIES. */
ll_quantity ll_quantity_find(const char *key, size_t length);

#endif
