/* A case: a layered shape, how it starts, and what it meets. */
#ifndef PEER_CASE_H
#define PEER_CASE_H

#include "food.h"

enum shape { SLAB, HALF_SLAB, CYLINDER, SPHERE };

struct layer {
	const struct food *food;
	double thickness; /* [m] */
	double start;     /* [°C] */
	double contact;   /* [m² K/W] on its outer face */
};

struct medium {
	double fluid, h, walls, emissivity; /* [°C], [W/(m² K)], [°C], [-] */
};

struct stage {
	double end;               /* [s] since the start */
	struct medium top, under; /* under: the underside of a SLAB */
};

struct peer_case {
	const char *name, *what;
	enum shape shape;
	double every; /* [s] between samples */
	double mid;   /* [m] place of "mid" from the centre or underside */
	struct layer layers[5];
	struct stage stages[3];
};

extern const struct peer_case cases[];
extern const int case_count;

#endif
