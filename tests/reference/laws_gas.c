/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Surface 1, ten metres or 33 fsw = 1, unless said otherwise. */
#include "base/units.h"
#include "laws.h"
#include "model/gas.h"

#define PER_M 0.1
#define PER_FSW (1.0 / 33.0)

static void ead_m(const double *given, double *got)
{
    *got = ll_ead_m(given[0], given[1], 1.0, PER_M);
}

static void ead_fsw(const double *given, double *got)
{
    *got = ll_ead_m(given[0], given[1], 1.0, PER_FSW);
}

static void mod_m(const double *given, double *got)
{
    *got = ll_mod_m(given[0], given[1], 1.0, PER_M);
}

static void mod_fsw(const double *given, double *got)
{
    *got = ll_mod_m(given[0], given[1], 1.0, PER_FSW);
}

/* f O2, f He, depth m */
static void end_n2(const double *given, double *got)
{
    *got = ll_end_n2_m((1.0 - given[0] - given[1]) * (1.0 + given[2] * PER_M), 1.0, PER_M);
}

static void end_n2o2(const double *given, double *got)
{
    double ambient = 1.0 + given[2] * PER_M;
    *got = ll_end_n2o2_m((1.0 - given[0] - given[1]) * ambient, given[0] * ambient, 1.0, PER_M);
}

static double density_at(const double *given, double ambient_bar)
{
    double n2 = 1.0 - given[0] - given[1];
    return ll_density_g_l(given[0] * ambient_bar, n2 * ambient_bar, given[1] * ambient_bar);
}

/* f O2, f He, depth m */
static void density(const double *given, double *got)
{
    *got = density_at(given, 1.0 + given[2] * PER_M);
}

/* f O2, f He, pressure atm */
static void density_atm(const double *given, double *got)
{
    *got = density_at(given, given[2] * LL_BAR_PER_ATM);
}

const law gas_laws[] = {
    {"ead_m", 2, 1, ead_m},
    {"ead_fsw", 2, 1, ead_fsw},
    {"mod_m", 2, 1, mod_m},
    {"mod_fsw", 2, 1, mod_fsw},
    {"end_n2", 3, 1, end_n2},
    {"end_n2o2", 3, 1, end_n2o2},
    {"density", 3, 1, density},
    {"density_atm", 3, 1, density_atm},
    {0},
};
