/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compressibility, contents of tanks, rates of breathing. */
#include "laws.h"
#include "model/compressibility.h"

/* f O2, f He, pressure bar, temperature K */
static void compressibility(const double *given, double *got)
{
    *got = ll_compressibility(given[0], given[1], given[2], given[3]);
}

/* volume L, f O2, f He, temperature K, two absolute pressures bar */
static void tank_used(const double *given, double *got)
{
    *got = ll_tank_content_l(given[0], given[1], given[2], given[4], given[3]) -
           ll_tank_content_l(given[0], given[1], given[2], given[5], given[3]);
}

/* litres at 1 bar as an ideal gas (volume L times fall of pressure bar), minutes, mean ambient pressure bar */
static void rmv(const double *given, double *got)
{
    *got = ll_rmv_l_min(given[0] * given[1], given[2] * given[3]);
}

const law use_laws[] = {
    {"compressibility", 4, 1, compressibility},
    {"tank_used", 6, 1, tank_used},
    {"rmv", 4, 1, rmv},
    {0},
};
