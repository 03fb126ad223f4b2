/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The named functions that rows of the reference suite ask for: each feeds the product's own functions. */
#ifndef LL_TESTS_LAWS_H
#define LL_TESTS_LAWS_H

enum { LAW_MOST_GIVEN = 12, LAW_MOST_GOT = 16 };

typedef struct law {
    const char *name;
    int given, got; /* how many numbers it takes and gives */
    void (*evaluate)(const double *given, double *got);
} law;

/* Each ends with a row without a name. */
extern const law coefficient_laws[], tissue_laws[], limit_laws[], oxygen_laws[], gas_laws[], water_laws[], use_laws[], linear_laws[];

#endif
