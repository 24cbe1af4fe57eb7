/* What a food is, and its energy and conductivity from the published formulas. */
#ifndef PEER_FOOD_H
#define PEER_FOOD_H

enum structure { COMPACT, ACROSS, ALONG, OPEN_PORES, LAYERED, MELTING };

struct food {
	const char *name;
	enum structure structure;
	/* mass fractions [kg/kg]: water, protein, fat, carbohydrate, fibre, ash */
	double water, protein, fat, carb, fibre, ash;
	double tf;       /* initial freezing point [°C] */
	double bound;    /* water that never freezes [kg/kg] */
	double porosity; /* [m³/m³] */
	/* MELTING only: density [kg/m³], specific heat [J/(kg K)], heat [J/kg] that is
	 * taken up about tm [°C] over a width [K], conductivity [W/(m K)] */
	double density, cp, heat, tm, width, k;
};

double food_density(const struct food *f);               /* [kg/m³] */
double food_enthalpy(const struct food *f, double t);    /* [J/kg], 0 at 0 °C all liquid */
double food_heat(const struct food *f, double t);        /* [J/(kg K)] dH/dT, phase change included */
double food_conductivity(const struct food *f, double t); /* [W/(m K)] */

/* The same from straight lines over 0.01 K, for timing only; kinks of the first two
 * are evaluated directly. The temperature [°C] is that of enthalpy h [J/kg]. */
struct table;
struct table *food_tabulate(const struct food *f);
double table_heat(const struct table *b, double t);
double table_conductivity(const struct table *b, double t);
double table_temperature(const struct table *b, double h, double guess);

#endif
