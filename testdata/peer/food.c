/* Food properties, straight from the published formulas: nothing is shared with
 * the library that this program is to check.
 *
 * Component polynomials: Choi & Okos (1986), ASHRAE Handbook - Refrigeration,
 * Thermal Properties of Foods, Tables 1 and 2, in the units printed there. Rows
 * that differ between reprints are the ones named in ../choi-okos-1986/README.md.
 * Heat of fusion 333.6 kJ/kg at 0 °C: CRC Handbook.
 * Ice: Schwartzberg (1976), x_ice = (xw - xb)(1 - Tf/T).
 */
#include "food.h"

#include <math.h>
#include <stdlib.h>

#define L0 333.6 /* [kJ/kg] */

static double quadratic(double t, double a, double b, double c) { return a + b * t + c * t * t; }
static double area(double t, double a, double b, double c) /* ∫0..t */
{
	return a * t + b * t * t / 2 + c * t * t * t / 3;
}

/* cp [kJ/(kg K)] and its integral, one line a component */
#define WATER_WARM 4.1762, -9.0864e-5, 5.4731e-6
#define WATER_COLD 4.0817, -5.3062e-3, 9.9516e-4
#define ICE_CP 2.0623, 6.0769e-3, 0
#define PROTEIN_CP 2.0082, 1.2089e-3, -1.3129e-6
#define FAT_CP 1.9842, 1.4733e-3, -4.8008e-6
#define CARB_CP 1.5488, 1.9625e-3, -5.9399e-6
#define FIBRE_CP 1.8459, 1.8306e-3, -4.6509e-6
#define ASH_CP 1.0926, 1.8896e-3, -3.6817e-6

static double water_h(double t) { return t < 0 ? area(t, WATER_COLD) : area(t, WATER_WARM); }
static double water_cp(double t) { return t < 0 ? quadratic(t, WATER_COLD) : quadratic(t, WATER_WARM); }

/* specific volumes at 20 °C, of ice at 0 °C [m³/kg] */
static double v_water(void) { return 1 / quadratic(20, 997.18, 3.1439e-3, -3.7574e-3); }
static double v_ice(void) { return 1 / 916.89; }
static double v_protein(void) { return 1 / quadratic(20, 1329.9, -0.51840, 0); }
static double v_fat(void) { return 1 / quadratic(20, 925.59, -0.41757, 0); }
static double v_carb(void) { return 1 / quadratic(20, 1599.1, -0.31046, 0); }
static double v_fibre(void) { return 1 / quadratic(20, 1311.5, -0.36589, 0); }
static double v_ash(void) { return 1 / quadratic(20, 2423.8, -0.28063, 0); }

static double ice_fraction(const struct food *f, double t) /* [kg/kg] */
{
	return t < f->tf ? (f->water - f->bound) * (1 - f->tf / t) : 0;
}

static double melted(const struct food *f, double t) { return 1 / (1 + exp(-(t - f->tm) / f->width)); }

double food_density(const struct food *f)
{
	if (f->structure == MELTING)
		return f->density;
	double v = f->water * v_water() + f->protein * v_protein() + f->fat * v_fat() + f->carb * v_carb() +
		   f->fibre * v_fibre() + f->ash * v_ash();
	return (1 - f->porosity) / v;
}

/* Water that never freezes takes up heat below 0 °C as ice does, without the heat
 * of fusion: what is to be added to a sum that counts it as supercooled. */
static double bound_h(const struct food *f, double t)
{
	return t < 0 ? f->bound * (area(t, ICE_CP) - water_h(t)) : 0;
}

static double bound_cp(const struct food *f, double t)
{
	return t < 0 ? f->bound * (quadratic(t, ICE_CP) - water_cp(t)) : 0;
}

double food_enthalpy(const struct food *f, double t)
{
	if (f->structure == MELTING)
		return f->cp * t + f->heat * melted(f, t);
	double ice = ice_fraction(f, t);
	double h = (f->water - ice) * water_h(t) + ice * (area(t, ICE_CP) - L0) + f->protein * area(t, PROTEIN_CP) +
		   f->fat * area(t, FAT_CP) + f->carb * area(t, CARB_CP) + f->fibre * area(t, FIBRE_CP) +
		   f->ash * area(t, ASH_CP) + bound_h(f, t);
	return 1e3 * h;
}

double food_heat(const struct food *f, double t)
{
	if (f->structure == MELTING) {
		double x = melted(f, t);
		return f->cp + f->heat * x * (1 - x) / f->width;
	}
	double ice = ice_fraction(f, t);
	double c = (f->water - ice) * water_cp(t) + ice * quadratic(t, ICE_CP) + f->protein * quadratic(t, PROTEIN_CP) +
		   f->fat * quadratic(t, FAT_CP) + f->carb * quadratic(t, CARB_CP) + f->fibre * quadratic(t, FIBRE_CP) +
		   f->ash * quadratic(t, ASH_CP) + bound_cp(f, t);
	if (t < f->tf) {
		double freezes = -(f->water - f->bound) * f->tf / (t * t); /* -d ice/dT [1/K] */
		c += freezes * (water_h(t) - area(t, ICE_CP) + L0);
	}
	return 1e3 * c;
}

/* Levy (1981) as printed in ASHRAE Handbook - Refrigeration, Thermal Properties of
 * Foods; phase 1 is dispersed with volume fraction r1. */
static double levy(double k1, double k2, double r1)
{
	double lambda = k1 / k2;
	double sigma = (lambda - 1) * (lambda - 1) / ((lambda + 1) * (lambda + 1) + lambda / 2);
	double q = 2 / sigma - 1 + 2 * r1;
	double f1 = 0.5 * (q - sqrt(q * q - 8 * r1 / sigma));
	return k2 * ((2 + lambda) + 2 * (lambda - 1) * f1) / ((2 + lambda) - (lambda - 1) * f1);
}

/* Still air [W/(m K)]: the parabola through 0.0244 at 0, 0.0316 at 100 and 0.0382
 * at 200 °C (VDI Heat Atlas, from memory: the figures the library rests on). The
 * U.S. Standard Atmosphere (1976), equation 53, is 1 % lower at 0 °C. */
static double air_k(double t)
{
	double low = (0.0316 - 0.0244) / 100, high = (0.0382 - 0.0316) / 100;
	return 0.0244 + low * t + (high - low) / 200 * t * (t - 100);
}

double food_conductivity(const struct food *f, double t)
{
	if (f->structure == MELTING)
		return f->k;
	double ice = ice_fraction(f, t);
	double kf = quadratic(t, 0.18071, -2.7604e-4, -1.7749e-7);
	double k[6] = {
		quadratic(t, 0.57109, 1.7625e-3, -6.7036e-6), quadratic(t, 0.17881, 1.1958e-3, -2.7178e-6),
		quadratic(t, 0.20141, 1.3874e-3, -4.3312e-6), quadratic(t, 0.18331, 1.2497e-3, -3.1683e-6),
		quadratic(t, 0.32962, 1.4011e-3, -2.9069e-6), kf,
	};
	double v[6] = {
		(f->water - ice) * v_water(), f->protein * v_protein(), f->carb * v_carb(),
		f->fibre * v_fibre(), f->ash * v_ash(), f->fat * v_fat(),
	};
	int fat_apart = f->structure == LAYERED; /* sheets of fat across the heat come last */
	double solid = 0, along = 0, across = 0;
	for (int i = 0; i < (fat_apart ? 5 : 6); i++) {
		solid += v[i];
		along += v[i] * k[i];
		across += v[i] / k[i];
	}
	double parallel = along / solid, series = solid / across;
	/* Krischer (1963): a fifth of series across the fibres of meat */
	double mix = f->structure == ACROSS ? 1 / (0.8 / parallel + 0.2 / series) : parallel;

	double vice = ice * v_ice(), whole = solid + vice;
	if (vice > 0) {
		double ki = quadratic(t, 2.2196, -6.2489e-3, 1.0154e-4), x = vice / whole;
		double dispersed = levy(ki, mix, x);
		/* along the fibres a fifth of the ice stands in columns, parallel to the rest */
		mix = f->structure == ALONG ? 0.8 * dispersed + 0.2 * (x * ki + (1 - x) * mix) : dispersed;
	}
	if (fat_apart && v[5] > 0) {
		mix = (whole + v[5]) / (whole / mix + v[5] / kf);
		whole += v[5];
	}
	double air = 1 - whole * food_density(f); /* what ice leaves of the pores */
	if (air <= 1e-12)
		return mix;
	double ka = air_k(t);
	if (f->structure == OPEN_PORES) {
		double p = (1 - air) * mix + air * ka, s = 1 / ((1 - air) / mix + air / ka);
		return 1 / (0.8 / p + 0.2 / s);
	}
	/* Maxwell-Eucken (1940), air in bubbles */
	return mix * (2 * mix + ka - 2 * air * (mix - ka)) / (2 * mix + ka + air * (mix - ka));
}

#define COLDEST (-60.0)
#define PER_KELVIN 100
#define ENTRIES (190 * PER_KELVIN)

struct table {
	const struct food *food;
	int kink[2];
	double heat[ENTRIES + 1], k[ENTRIES + 1], enthalpy[ENTRIES + 1];
};

struct table *food_tabulate(const struct food *f)
{
	struct table *b = malloc(sizeof *b);
	if (!b)
		exit(1);
	b->food = f;
	b->kink[0] = (int)((f->tf - COLDEST) * PER_KELVIN);
	b->kink[1] = (int)((0 - COLDEST) * PER_KELVIN);
	for (int i = 0; i <= ENTRIES; i++) {
		double t = COLDEST + (double)i / PER_KELVIN;
		b->heat[i] = food_heat(f, t);
		b->k[i] = food_conductivity(f, t);
		b->enthalpy[i] = food_enthalpy(f, t);
	}
	return b;
}

static int place(const struct table *b, double t, double *part)
{
	double x = (t - COLDEST) * PER_KELVIN;
	int i = (int)x;
	*part = x - i;
	/* an entry may stand on either side of a kink that falls on it */
	if (x < 0 || i >= ENTRIES || abs(i - b->kink[0]) <= 1 || abs(i - b->kink[1]) <= 1)
		return -1;
	return i;
}

double table_heat(const struct table *b, double t)
{
	double p;
	int i = place(b, t, &p);
	return i < 0 ? food_heat(b->food, t) : b->heat[i] + p * (b->heat[i + 1] - b->heat[i]);
}

double table_conductivity(const struct table *b, double t)
{
	double p;
	int i = place(b, t, &p);
	return i < 0 ? food_conductivity(b->food, t) : b->k[i] + p * (b->k[i + 1] - b->k[i]);
}

double table_temperature(const struct table *b, double h, double guess)
{
	int i = (int)fmax(0, fmin(ENTRIES - 1, (guess - COLDEST) * PER_KELVIN));
	for (int step = 1; i > 0 && h < b->enthalpy[i]; step *= 2)
		i = i > step ? i - step : 0;
	for (int step = 1; step > 0;) { /* forward in strides that double, then halve */
		if (i + step < ENTRIES && h >= b->enthalpy[i + step])
			i += step, step *= 2;
		else
			step /= 2;
	}
	double part = (h - b->enthalpy[i]) / (b->enthalpy[i + 1] - b->enthalpy[i]);
	return COLDEST + (i + part) / PER_KELVIN;
}
