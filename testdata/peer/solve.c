/* Vertex-centred balance on even intervals within each layer: nodes stand on the
 * centre, on every interface and on the surface, so that their temperatures are
 * unknowns; a contact resistance joins two nodes of one place. Conduction takes
 * the mean area of an interval and Simpson's mean of k over the temperatures
 * between its ends (Kirchhoff). The unknown is the temperature of each node with
 * the apparent heat capacity, or the enthalpy of each node, inverted by Newton's
 * method within a bracket. */
#include "solve.h"

#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>
#include <time.h>

#define SIGMA 5.670374419e-8 /* [W/(m² K⁴)] CODATA 2018 */
#define SCALE 3.5e6          /* [J/(m³ K)] */

struct part { /* of a node: half an interval of one layer */
	const struct food *food;
	const struct table *table;
	double mass; /* [kg] */
};

struct node {
	double x, volume;
	int parts;
	struct part part[2];
	double t; /* [°C] last found */
};

struct link { /* from node i to i+1 */
	const struct food *food; /* NULL: contact */
	const struct table *table;
	double g; /* [m], or [W/K] of a contact */
};

struct body {
	const struct peer_case *c;
	const struct medium *top, *under;
	struct options o;
	int n;
	struct node *node;
	struct link *link;
	double area[2], wrap; /* underside and top [m²]; contact outside [m² K/W] */
	double *heat;
};

static void check(int bad, const char *what)
{
	if (bad) {
		fprintf(stderr, "peer: %s failed\n", what);
		exit(1);
	}
}

static double area_at(enum shape s, double x) { return s == CYLINDER ? 2 * M_PI * x : s == SPHERE ? 4 * M_PI * x * x : 1; }
static double inside(enum shape s, double x) { return s == CYLINDER ? M_PI * x * x : s == SPHERE ? 4 * M_PI / 3 * x * x * x : x; }

static void add_part(struct node *j, const struct food *f, const struct table *b, double volume)
{
	j->part[j->parts++] = (struct part){f, b, volume * food_density(f)};
	j->volume += volume;
}

static void build(struct body *b, const struct peer_case *c, struct options o)
{
	double whole = 0, x = 0;
	int layers = 0;
	for (; layers < 5 && c->layers[layers].food; layers++)
		whole += c->layers[layers].thickness;
	b->c = c;
	b->o = o;
	b->n = 1;
	b->node = calloc(o.cells + 50 * layers + 2, sizeof *b->node);
	b->link = calloc(o.cells + 50 * layers + 2, sizeof *b->link);
	check(!b->node || !b->link, "memory");
	b->node[0].t = c->layers[0].start;
	b->area[0] = area_at(c->shape, 0);
	for (int l = 0; l < layers; l++) {
		const struct layer *y = &c->layers[l];
		const struct table *table = o.table ? food_tabulate(y->food) : NULL;
		int m = 2 * (int)ceil(o.cells * y->thickness / whole / 2);
		m = m < 12 ? 12 : m;
		double dx = y->thickness / m, x0 = x;
		for (int i = 0; i < m; i++) {
			struct node *a = &b->node[b->n - 1], *z = &b->node[b->n];
			double in = x0 + i * dx, half = in + dx / 2, out = in + dx;
			a->x = in, z->x = out, z->t = y->start;
			b->link[b->n - 1] = (struct link){y->food, table, area_at(c->shape, half) / dx};
			add_part(a, y->food, table, inside(c->shape, half) - inside(c->shape, in));
			add_part(z, y->food, table, inside(c->shape, out) - inside(c->shape, half));
			/* both halves of an inner node are one part */
			if (i > 0) {
				a->part[0].mass += a->part[1].mass;
				a->parts = 1;
			}
			b->n++;
		}
		x = x0 + y->thickness;
		if (l == layers - 1)
			b->wrap = y->contact;
		else if (y->contact > 0) {
			b->link[b->n - 1] = (struct link){NULL, NULL, area_at(c->shape, x) / y->contact};
			b->node[b->n].x = x, b->node[b->n].t = c->layers[l + 1].start;
			b->n++;
		}
	}
	b->area[1] = area_at(c->shape, x);
	b->heat = calloc(b->n, sizeof *b->heat);
	check(!b->heat, "memory");
}

/* [J] of a node at t, and [J/K] */
static double node_energy(const struct node *j, double t)
{
	double e = 0;
	for (int p = 0; p < j->parts; p++)
		e += j->part[p].mass * food_enthalpy(j->part[p].food, t);
	return e;
}

static double node_heat(const struct node *j, double t)
{
	double c = 0;
	for (int p = 0; p < j->parts; p++)
		c += j->part[p].mass * (j->part[p].table ? table_heat(j->part[p].table, t) : food_heat(j->part[p].food, t));
	return c;
}

static double node_temperature(const struct node *j, double e)
{
	if (j->parts == 1 && j->part[0].table)
		return table_temperature(j->part[0].table, e / j->part[0].mass, j->t);
	double lo = -90, hi = 140, t = j->t;
	for (int i = 0; i < 200; i++) {
		double r = node_energy(j, t) - e;
		if (r > 0)
			hi = t;
		else
			lo = t;
		double next = t - r / node_heat(j, t);
		if (!(next > lo && next < hi))
			next = (lo + hi) / 2;
		if (fabs(next - t) < 1e-12)
			return next;
		t = next;
	}
	return t;
}

/* [W/m²] into a surface at t, through a wrapper of resistance r: the heat that
 * fits both sides of it, by Newton's method in its outer temperature. */
static double surface_heat(const struct medium *m, double t, double r)
{
	double w = m->walls + 273.15, outer = t, q = 0;
	for (int i = 0; i < 50; i++) {
		double a = outer + 273.15;
		q = m->h * (m->fluid - outer) + m->emissivity * SIGMA * (pow(w, 4) - pow(a, 4));
		if (r == 0)
			break;
		double residual = outer - t - q * r;
		double slope = 1 + r * (m->h + 4 * m->emissivity * SIGMA * pow(a, 3));
		outer -= residual / slope;
		if (fabs(residual) < 1e-11)
			break;
	}
	return q;
}

static double k_of(const struct link *l, double t)
{
	return l->table ? table_conductivity(l->table, t) : food_conductivity(l->food, t);
}

static int rate(realtype time, N_Vector y, N_Vector dy, void *user)
{
	struct body *b = user;
	double *u = N_VGetArrayPointer(y), *du = N_VGetArrayPointer(dy), *q = b->heat;
	(void)time;
	for (int i = 0; i < b->n; i++) {
		struct node *j = &b->node[i];
		j->t = b->o.form == TEMPERATURE ? u[i] : node_temperature(j, u[i] * j->volume * SCALE);
		if (!(j->t > -90 && j->t < 140))
			return 1; /* CVODE tries a smaller step */
		q[i] = 0;
	}
	const struct food *last = NULL;
	double ka = 0, kb = 0;
	for (int i = 0; i + 1 < b->n; i++) {
		const struct link *l = &b->link[i];
		double ta = b->node[i].t, tb = b->node[i + 1].t, flow = l->g * (tb - ta);
		if (l->food) {
			ka = l->food == last ? kb : k_of(l, ta);
			kb = k_of(l, tb);
			flow *= (ka + 4 * k_of(l, (ta + tb) / 2) + kb) / 6;
		}
		last = l->food;
		q[i] += flow;
		q[i + 1] -= flow;
	}
	q[b->n - 1] += b->area[1] * surface_heat(b->top, b->node[b->n - 1].t, b->wrap);
	if (b->c->shape == SLAB)
		q[0] += b->area[0] * surface_heat(b->under, b->node[0].t, 0);
	for (int i = 0; i < b->n; i++) {
		const struct node *j = &b->node[i];
		du[i] = q[i] / (b->o.form == TEMPERATURE ? node_heat(j, j->t) : j->volume * SCALE);
	}
	return 0;
}

/* temperature at x, straight between nodes */
static double read_at(const struct body *b, const double *t, double x)
{
	int i = 0;
	while (i < b->n - 2 && b->node[i + 1].x < x - 1e-12)
		i++;
	double a = b->node[i].x, z = b->node[i + 1].x;
	return z > a ? t[i] + (t[i + 1] - t[i]) * (x - a) / (z - a) : t[i];
}

static void sample(struct body *b, N_Vector y, double *t, double *out)
{
	double *u = N_VGetArrayPointer(y), end = b->node[b->n - 1].x;
	for (int i = 0; i < b->n; i++)
		t[i] = b->o.form == TEMPERATURE ? u[i] : node_temperature(&b->node[i], u[i] * b->node[i].volume * SCALE);
	out[0] = read_at(b, t, b->c->shape == SLAB ? end / 2 : 0);
	out[1] = read_at(b, t, b->c->mid);
	out[2] = t[b->n - 1];
	out[3] = t[0];
}

static void tally(void *cv, struct curve *r)
{
	long steps, rhs, setups, failed, newton, jacobians, more;
	int order, next;
	double h0, h1, h2, now;
	check(CVodeGetIntegratorStats(cv, &steps, &rhs, &setups, &failed, &order, &next, &h0, &h1, &h2, &now), "statistics");
	check(CVodeGetNumNonlinSolvIters(cv, &newton), "statistics");
	check(CVodeGetNumJacEvals(cv, &jacobians), "statistics");
	check(CVodeGetNumLinRhsEvals(cv, &more), "statistics");
	r->steps += steps, r->rhs += rhs + more, r->jacobians += jacobians, r->newton += newton, r->failed += failed;
}

struct curve solve(const struct peer_case *c, struct options o)
{
	struct body b = {0};
	build(&b, c, o);
	int stages = 0;
	while (stages < 3 && c->stages[stages].end > 0)
		stages++;
	double end = c->stages[stages - 1].end;
	struct curve r = {.nodes = b.n};
	int capacity = (int)(end / c->every + 0.5) + 1;
	r.value = calloc(capacity, sizeof *r.value);
	double *t = calloc(b.n, sizeof *t);
	check(!r.value || !t, "memory");

	SUNContext sun;
	check(SUNContext_Create(NULL, &sun), "SUNContext");
	N_Vector y = N_VNew_Serial(b.n, sun);
	double *u = N_VGetArrayPointer(y);
	for (int i = 0; i < b.n; i++)
		u[i] = o.form == TEMPERATURE ? b.node[i].t : node_energy(&b.node[i], b.node[i].t) / (b.node[i].volume * SCALE);
	sample(&b, y, t, r.value[r.rows++]);

	void *cv = CVodeCreate(CV_BDF, sun);
	SUNMatrix a = SUNBandMatrix(b.n, 1, 1, sun);
	SUNLinearSolver ls = SUNLinSol_Band(y, a, sun);
	check(!cv || !a || !ls, "CVodeCreate");
	b.top = &c->stages[0].top, b.under = &c->stages[0].under;
	check(CVodeInit(cv, rate, 0, y), "CVodeInit");
	check(CVodeSStolerances(cv, o.rtol, o.atol), "tolerances");
	check(CVodeSetUserData(cv, &b), "user data");
	check(CVodeSetLinearSolver(cv, ls, a), "linear solver");
	check(CVodeSetMaxNumSteps(cv, 10000000), "step limit");
	struct timespec t0, t1;
	clock_gettime(CLOCK_MONOTONIC, &t0);
	double now = 0;
	for (int s = 0; s < stages; s++) {
		b.top = &c->stages[s].top, b.under = &c->stages[s].under;
		if (s > 0) {
			tally(cv, &r);
			check(CVodeReInit(cv, now, y), "CVodeReInit");
		}
		double stop = c->stages[s].end;
		check(CVodeSetStopTime(cv, stop), "stop time");
		while (now < stop - 1e-6) {
			double to = o.at_steps ? stop : fmin(r.rows * c->every, stop);
			int flag = CVode(cv, to, y, &now, CV_NORMAL);
			check(flag < 0, "CVode");
			if (!o.at_steps && fabs(now - r.rows * c->every) < 1e-6 && r.rows < capacity)
				sample(&b, y, t, r.value[r.rows++]);
		}
	}
	clock_gettime(CLOCK_MONOTONIC, &t1);
	r.seconds = (double)(t1.tv_sec - t0.tv_sec) + 1e-9 * (double)(t1.tv_nsec - t0.tv_nsec);
	tally(cv, &r);
	CVodeFree(&cv);
	SUNLinSolFree(ls);
	SUNMatDestroy(a);
	N_VDestroy(y);
	SUNContext_Free(&sun);
	free(t);
	free(b.node);
	free(b.link);
	free(b.heat);
	return r;
}
