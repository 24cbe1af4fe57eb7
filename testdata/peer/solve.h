/* Integrates one case with CVODE. */
#ifndef PEER_SOLVE_H
#define PEER_SOLVE_H

#include "case.h"

enum form { TEMPERATURE, ENTHALPY };

struct options {
	int cells;         /* intervals over the whole thickness, about */
	enum form form;    /* the unknown */
	double rtol, atol; /* atol [K]; of enthalpy, in units of 3.5 MJ/m³ */
	int table;         /* properties by table, for timing */
	int at_steps;      /* timing: no samples, run through */
};

#define PLACES 4 /* centre, mid, surface, underside */

struct curve {
	int rows;
	double (*value)[PLACES]; /* [°C] at every sample, the start included */
	int nodes;
	long steps, rhs, jacobians, newton, failed;
	double seconds; /* wall time of the integration */
};

struct curve solve(const struct peer_case *c, struct options o);

#endif
