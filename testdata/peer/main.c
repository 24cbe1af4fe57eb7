/* peer CASE          writes the case's curve to standard output as CSV
 * peer -list         names the cases
 * peer -quick CASE   the same curve without the two checking runs in its header
 * peer -time CASE    wall time of CVODE at 200 intervals over a row of tolerances
 */
#include "solve.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sundials/sundials_config.h>

static const struct options fine = {.cells = 800, .form = ENTHALPY, .rtol = 1e-7, .atol = 1e-6};

/* largest and root-mean-square difference at each place [K] */
static void differences(const struct curve *a, const struct curve *b, double *worst, double *rms)
{
	for (int p = 0; p < PLACES; p++) {
		double sum = 0;
		worst[p] = 0;
		for (int i = 0; i < a->rows; i++) {
			double d = fabs(a->value[i][p] - b->value[i][p]);
			worst[p] = fmax(worst[p], d);
			sum += d * d;
		}
		rms[p] = sqrt(sum / a->rows);
	}
}

static void compare(const char *what, const struct curve *a, const struct curve *b)
{
	double worst[PLACES], rms[PLACES];
	differences(a, b, worst, rms);
	printf("# %s: centre %.4f, mid %.4f, surface %.4f K at most, %.4f, %.4f, %.4f K rms\n", what, worst[0], worst[1],
	       worst[2], rms[0], rms[1], rms[2]);
}

static void write_curve(const struct peer_case *c, int quick)
{
	struct curve r = solve(c, fine);
	printf("# case %s: %s\n", c->name, c->what);
	printf("# CVODE %s (BDF, Newton, banded), %d intervals, enthalpy as unknown, rtol %g, atol %g K\n",
	       SUNDIALS_VERSION, r.nodes - 1, fine.rtol, fine.atol);
	if (!quick) {
		struct options half = fine, other = fine;
		half.cells /= 2;
		other.form = TEMPERATURE, other.rtol /= 10, other.atol /= 10;
		struct curve h = solve(c, half), e = solve(c, other);
		compare("half the intervals", &r, &h);
		compare("temperature as unknown, tolerances a tenth", &r, &e);
		free(h.value);
		free(e.value);
	}
	printf("time [s],centre [°C],mid [°C],surface [°C]%s\n", c->shape == SLAB ? ",underside [°C]" : "");
	for (int i = 0; i < r.rows; i++) {
		double *v = r.value[i];
		printf("%g,%.4f,%.4f,%.4f", i * c->every, v[0], v[1], v[2]);
		if (c->shape == SLAB)
			printf(",%.4f", v[3]);
		printf("\n");
	}
	free(r.value);
}

static void time_case(const struct peer_case *c)
{
	struct options exact = {.cells = 200, .form = TEMPERATURE, .rtol = 1e-8, .atol = 1e-7};
	struct curve reference = solve(c, exact);
	printf("form,properties,rtol,atol,steps,rhs,jacobians,seconds,worst centre,worst mid,worst surface,rms centre,rms mid,rms surface\n");
	for (int form = TEMPERATURE; form <= ENTHALPY; form++)
		for (int table = 0; table <= 1; table++)
			for (double tolerance = 1e-5; tolerance < 0.2; tolerance *= sqrt(10)) {
				struct options o = {.cells = 200, .form = form, .rtol = tolerance / 10, .atol = tolerance, .table = table};
				struct curve r = solve(c, o);
				double worst[PLACES], rms[PLACES], best = r.seconds;
				differences(&r, &reference, worst, rms);
				o.at_steps = 1;
				for (int i = 0; i < 5; i++) {
					struct curve again = solve(c, o);
					best = fmin(best, again.seconds);
					free(again.value);
				}
				printf("%s,%s,%.1e,%.1e,%ld,%ld,%ld,%.4f,%.4f,%.4f,%.4f,%.4f,%.4f,%.4f\n", form ? "enthalpy" : "temperature",
				       table ? "table" : "direct", o.rtol, o.atol, r.steps, r.rhs, r.jacobians, best, worst[0], worst[1],
				       worst[2], rms[0], rms[1], rms[2]);
				free(r.value);
			}
	free(reference.value);
}

int main(int argc, char **argv)
{
	const char *name = argv[argc - 1];
	if (argc == 2 && strcmp(name, "-list") == 0) {
		for (int i = 0; i < case_count; i++)
			printf("%s\n", cases[i].name);
		return 0;
	}
	for (int i = 0; i < case_count && argc <= 3; i++) {
		if (strcmp(cases[i].name, name) != 0)
			continue;
		if (argc == 2)
			write_curve(&cases[i], 0);
		else if (strcmp(argv[1], "-quick") == 0)
			write_curve(&cases[i], 1);
		else if (strcmp(argv[1], "-time") == 0)
			time_case(&cases[i]);
		else
			break;
		return 0;
	}
	fprintf(stderr, "usage: peer [-quick|-time] CASE | peer -list\n");
	return 2;
}
