/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Run by hand: fits the virial coefficients of src/model/compressibility.c and prints them as C.
 *
 *     fit_compressibility tests/reference/compressibility.csv
 *
 * The data are Z of the reference equation named in the head of the file. With the molar density rho = P / (Z R T)
 *     Z - 1 = B rho + C rho^2 + D rho^3
 * is linear in the coefficients, so one linear least squares does it. B is quadratic, C and D are cubic in the mole
 * fractions, with polynomials in 293.15 K / T - 1. Every fifth point is kept out; the test measures those. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <gsl/gsl_multifit.h>

#define R_L_BAR_MOL_K 0.08314462618
#define REFERENCE_K 293.15

enum { PAIRS = 6, TRIPLES = 10, B_TERMS = 3, C_TERMS = 2, MOST_POINTS = 5000, LINE = 400, KEPT_OUT = 5 };
enum { COLUMNS = PAIRS * B_TERMS + TRIPLES * C_TERMS + TRIPLES };

typedef struct point {
    double fraction[3]; /* O2, N2, He */
    double temperature_k, pressure_bar, z;
} point;

static size_t read_points(const char *name, point *points)
{
    char line[LINE];
    size_t count = 0;
    FILE *file = fopen(name, "r");
    if (!file)
        return 0;
    while (count < MOST_POINTS && fgets(line, sizeof line, file)) {
        point *p = &points[count];
        if (sscanf(line, "%lf,%lf,%lf,%lf,%lf", &p->fraction[0], &p->fraction[2], &p->temperature_k, &p->pressure_bar,
                   &p->z) != 5)
            continue;
        p->fraction[1] = 1 - p->fraction[0] - p->fraction[2];
        count++;
    }
    fclose(file);
    return count;
}

/* The products of fractions, each distinct one once, in the order in which the model counts them. */
static void products(const double x[3], double pair[PAIRS], double triple[TRIPLES])
{
    int p = 0, t = 0;
    for (int i = 0; i < 3; i++)
        for (int j = i; j < 3; j++) {
            pair[p++] = x[i] * x[j];
            for (int k = j; k < 3; k++)
                triple[t++] = x[i] * x[j] * x[k];
        }
}

static void fill_row(const point *p, double row[COLUMNS])
{
    double pair[PAIRS], triple[TRIPLES];
    double rho = p->pressure_bar / (p->z * R_L_BAR_MOL_K * p->temperature_k);
    double t = REFERENCE_K / p->temperature_k - 1;
    int column = 0;
    products(p->fraction, pair, triple);
    for (int i = 0; i < PAIRS; i++)
        for (int power = 0; power < B_TERMS; power++)
            row[column++] = pair[i] * rho * pow(t, power);
    for (int i = 0; i < TRIPLES; i++)
        for (int power = 0; power < C_TERMS; power++)
            row[column++] = triple[i] * rho * rho * pow(t, power);
    for (int i = 0; i < TRIPLES; i++)
        row[column++] = triple[i] * rho * rho * rho;
}

static void print_table(const char *name, const gsl_vector *c, int first, int rows, int terms)
{
    printf("static const double %s[%d][%d] = {\n", name, rows, terms);
    for (int i = 0; i < rows; i++) {
        printf("    {");
        for (int k = 0; k < terms; k++)
            printf("%s%.9g", k ? ", " : "", gsl_vector_get(c, (size_t)(first + i * terms + k)));
        printf("},\n");
    }
    printf("};\n");
}

static gsl_vector *fit(const point *points, size_t count)
{
    size_t used = count - count / KEPT_OUT;
    gsl_matrix *rows = gsl_matrix_alloc(used, COLUMNS), *covariance = gsl_matrix_alloc(COLUMNS, COLUMNS);
    gsl_vector *beyond = gsl_vector_alloc(used), *c = gsl_vector_alloc(COLUMNS);
    gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc(used, COLUMNS);
    size_t at = 0;
    double square;
    for (size_t i = 0; i < count; i++) {
        double row[COLUMNS];
        if (i % KEPT_OUT == KEPT_OUT - 1)
            continue;
        fill_row(&points[i], row);
        for (size_t k = 0; k < COLUMNS; k++)
            gsl_matrix_set(rows, at, k, row[k]);
        gsl_vector_set(beyond, at++, points[i].z - 1);
    }
    gsl_multifit_linear(rows, beyond, c, covariance, &square, work);
    printf("/* %zu points, root mean square %.2g */\n", used, sqrt(square / (double)used));
    gsl_multifit_linear_free(work);
    gsl_matrix_free(rows);
    gsl_matrix_free(covariance);
    gsl_vector_free(beyond);
    return c;
}

int main(int count, char **argument)
{
    static point points[MOST_POINTS];
    size_t read = count == 2 ? read_points(argument[1], points) : 0;
    if (read < COLUMNS) {
        fprintf(stderr, "expected the name of the file of data\n");
        return EXIT_FAILURE;
    }
    gsl_vector *c = fit(points, read);
    print_table("second", c, 0, PAIRS, B_TERMS);
    print_table("third", c, PAIRS * B_TERMS, TRIPLES, C_TERMS);
    print_table("fourth", c, PAIRS * B_TERMS + TRIPLES * C_TERMS, TRIPLES, 1);
    gsl_vector_free(c);
    return EXIT_SUCCESS;
}
