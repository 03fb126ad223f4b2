/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/compressibility.h"

#include <math.h>

#define R_L_BAR_MOL_K 0.08314462618 /* CODATA 2018 */
#define REFERENCE_K 293.15
#define LOWEST_K 263.0
#define HIGHEST_K 323.0
#define HIGHEST_BAR 350.0
#define STEPS 40 /* Newton needs 3 to 6 in range */
#define CLOSE_ENOUGH 1e-13

enum { O2, N2, HE, GASES, PAIRS = 6, TRIPLES = 10, B_TERMS = 3, C_TERMS = 2 };

/* As printed by tests/reference/fit_compressibility.c: L/mol and its powers; polynomials in 293.15 K / T - 1. In the
 * order O2 O2 (O2), O2 O2 N2, O2 O2 He, O2 N2 (N2), ... */
static const double second[PAIRS][B_TERMS] = {
    {-0.0162109706, -0.0621602422, -0.00308909841}, {-0.0210943153, -0.120972827, 0.005057886},
    {0.0466915157, 0.00801527419, -0.0296451556},   {-0.00577277425, -0.0596618631, -0.0138086638},
    {0.0414440592, 0.0100121666, 0.0106082407},     {0.0108357741, -0.00662111049, -0.00457055244},
};
static const double third[TRIPLES][C_TERMS] = {
    {0.000814312166, 0.00047403019}, {0.0027014934, 0.00161031643},  {0.00396528554, 0.00255829085},
    {0.00255386261, 0.00117239016},  {0.00779649814, 0.00511015806}, {-0.0028582984, -0.00163158201},
    {0.00122396163, 0.000598551183}, {0.0024760802, 0.000423264432}, {0.000544128334, -0.00127104591},
    {0.000745301284, 0.00101420271},
};
static const double fourth[TRIPLES] = {
    2.69590616e-05, 8.91851726e-05, -0.000103544428, 0.000154411467, -0.000166921156,
    0.000233910166, 4.62125182e-05, 1.7852733e-05,   3.10221664e-05, -4.1919773e-05,
};

typedef struct virial {
    double b, c, d;
} virial;

/* The coefficients of a mix. */
static virial mixed(const double x[GASES], double temperature_k)
{
    const double t = REFERENCE_K / temperature_k - 1;
    virial v = {0, 0, 0};
    int pair = 0, triple = 0;
    for (int i = 0; i < GASES; i++)
        for (int j = i; j < GASES; j++, pair++) {
            v.b += x[i] * x[j] * (second[pair][0] + (second[pair][1] + second[pair][2] * t) * t);
            for (int k = j; k < GASES; k++, triple++) {
                double product = x[i] * x[j] * x[k];
                v.c += product * (third[triple][0] + third[triple][1] * t);
                v.d += product * fourth[triple];
            }
        }
    return v;
}

/* The density at which rho (1 + B rho + C rho^2 + D rho^3) = P / (R T), by Newton's steps from the ideal one. */
static double density_mol_l(const virial *v, double ideal)
{
    double rho = ideal;
    for (int i = 0; i < STEPS; i++) {
        double beyond = rho * (1 + rho * (v->b + rho * (v->c + rho * v->d))) - ideal;
        double slope = 1 + rho * (2 * v->b + rho * (3 * v->c + rho * 4 * v->d));
        double step = beyond / slope;
        rho -= step;
        if (fabs(step) <= CLOSE_ENOUGH * rho)
            break;
    }
    return rho;
}

double ll_compressibility(double o2_fraction, double he_fraction, double pressure_bar, double temperature_k)
{
    if (!(pressure_bar > 0))
        return pressure_bar <= 0 ? 1 : NAN;
    const double kelvin = fmin(fmax(temperature_k, LOWEST_K), HIGHEST_K);
    const double x[GASES] = {o2_fraction, 1 - o2_fraction - he_fraction, he_fraction};
    const double ideal = fmin(pressure_bar, HIGHEST_BAR) / (R_L_BAR_MOL_K * kelvin);
    const virial v = mixed(x, kelvin);
    return ideal / density_mol_l(&v, ideal);
}

double ll_tank_content_l(double volume_l, double o2_fraction, double he_fraction, double pressure_bar,
                         double temperature_k)
{
    return volume_l * pressure_bar / ll_compressibility(o2_fraction, he_fraction, pressure_bar, temperature_k);
}

double ll_rmv_l_min(double used_l, double bar_min)
{
    return bar_min > 0 ? used_l / bar_min : NAN;
}
