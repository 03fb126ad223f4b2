/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ZH-L16 tables. Half-times in minutes, a in bar, b without unit.
 *
 * Sources: A. A. Buehlmann, E. B. Voellm, P. Nussberger, Tauchmedizin, 4th ed., Springer 1995 (5th ed. 2002, table 25);
 * E. C. Baker, Understanding M-values, immersed 3(3), 1998, tables 2 to 4.
 *
 * Nitrogen of set A follows a = 2 bar T^(-1/3), b = 1.005 - T^(-1/2). In sets B and C some a were lowered by hand (B:
 * compartments 6, 7, 8, 13; C: 5 to 15); half-times and b are those of A. Helium has one set, used with all three; its
 * half-times are nitrogen's divided by sqrt(28/4), its b follow no formula.
 *
 * Where printings disagree:
 * - Compartment 1 is the 1b form throughout: 5 min, 1.1696, 0.5578; helium 1.88 min, 1.6189, 0.4770. The other form
 *   (4 min, 1.2599, 0.5050; helium 1.51 min, 1.7424, 0.4245) is not mixed in.
 * - b of compartment 4 is 0.7825 (Baker 1998 and later printings of the book), not the 0.7725 of the formula.
 * - b of compartment 5 is 0.8126; 0.8125 circulates too (the formula gives 0.81255).
 * - a of compartment 8 in set A is 0.4701 (the formula), not 0.4710, a swap of digits.
 * - a of compartment 13 in set A is 0.2971 (the formula); 0.2850 belongs to set B.
 * - Helium tables generated wholly from the formulas (b of compartment 16 near 0.9404) are not Buehlmann's. */
#include "model/tissue.h"

#define N2_HALF_TIMES \
    {5.0, 8.0, 12.5, 18.5, 27.0, 38.3, 54.3, 77.0, 109.0, 146.0, 187.0, 239.0, 305.0, 390.0, 498.0, 635.0}

#define N2_A_OF_A \
    {1.1696, 1.0000, 0.8618, 0.7562, 0.6667, 0.5933, 0.5282, 0.4701, \
     0.4187, 0.3798, 0.3497, 0.3223, 0.2971, 0.2737, 0.2523, 0.2327}

#define N2_A_OF_B \
    {1.1696, 1.0000, 0.8618, 0.7562, 0.6667, 0.5600, 0.4947, 0.4500, \
     0.4187, 0.3798, 0.3497, 0.3223, 0.2850, 0.2737, 0.2523, 0.2327}

#define N2_A_OF_C \
    {1.1696, 1.0000, 0.8618, 0.7562, 0.6200, 0.5043, 0.4410, 0.4000, \
     0.3750, 0.3500, 0.3295, 0.3065, 0.2835, 0.2610, 0.2480, 0.2327}

#define N2_B_BY(form) \
    {form(0.5578), form(0.6514), form(0.7222), form(0.7825), form(0.8126), form(0.8434), form(0.8693), form(0.8910), \
     form(0.9092), form(0.9222), form(0.9319), form(0.9403), form(0.9477), form(0.9544), form(0.9602), form(0.9653)}
#define ITSELF(b) (b)
#define SLOPE(b) ((1.0 - (b)) / (b))
#define N2_B N2_B_BY(ITSELF)
#define N2_SLOPE N2_B_BY(SLOPE)

#define HE_HALF_TIMES \
    {1.88, 3.02, 4.72, 6.99, 10.21, 14.48, 20.53, 29.11, \
     41.20, 55.19, 70.69, 90.34, 115.29, 147.42, 188.24, 240.03}

#define HE_A \
    {1.6189, 1.3830, 1.1919, 1.0458, 0.9220, 0.8205, 0.7305, 0.6502, \
     0.5950, 0.5545, 0.5333, 0.5189, 0.5181, 0.5176, 0.5172, 0.5119}

#define HE_B \
    {0.4770, 0.5747, 0.6527, 0.7223, 0.7582, 0.7957, 0.8279, 0.8553, \
     0.8757, 0.8903, 0.8997, 0.9073, 0.9122, 0.9171, 0.9217, 0.9267}

static const ll_coefficients sets[] = {
    {N2_HALF_TIMES, N2_A_OF_A, N2_B, HE_HALF_TIMES, HE_A, HE_B, N2_SLOPE},
    {N2_HALF_TIMES, N2_A_OF_B, N2_B, HE_HALF_TIMES, HE_A, HE_B, N2_SLOPE},
    {N2_HALF_TIMES, N2_A_OF_C, N2_B, HE_HALF_TIMES, HE_A, HE_B, N2_SLOPE},
};

const ll_coefficients *ll_coefficients_of(int set)
{
    return &sets[set];
}
