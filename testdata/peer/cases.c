/* The cases, one line of figures each. thermal/peer_test.go states the same
 * figures a second time, on purpose. Invented: compositions are of the usual
 * size for such foods, not from a table. */
#include "case.h"

static const struct food
	/*                                      water  protein fat   carb   fibre  ash    tf    bound porosity */
	lean = {"lean", ACROSS,                 0.745, 0.215, 0.030, 0,     0,     0.010, -1.0, 0.08, 0},
	fish = {"fish", ALONG,                  0.790, 0.180, 0.018, 0,     0,     0.012, -1.2, 0.07, 0},
	leaf = {"leaf", COMPACT,                0.910, 0.030, 0.005, 0.025, 0.020, 0.010, -0.6, 0.02, 0},
	film = {"film", COMPACT,                0.080, 0.020, 0.895, 0,     0,     0.005, -1.5, 0.01, 0},
	dough = {"dough", COMPACT,              0.350, 0.070, 0.150, 0.400, 0.015, 0.015, -5.0, 0.15, 0.10},
	crumb = {"crumb", OPEN_PORES,           0.420, 0.085, 0.020, 0.445, 0.015, 0.015, -4.0, 0.19, 0.60},
	sauce = {"sauce", COMPACT,              0.820, 0.030, 0.060, 0.075, 0.005, 0.010, -1.1, 0.03, 0},
	pastry = {"pastry", LAYERED,            0.300, 0.060, 0.280, 0.340, 0.010, 0.010, -4.5, 0.14, 0},
	/*                                 kg/m³  J/(kg K) J/kg  tm  width k */
	soft = {"soft", MELTING, .density = 920, .cp = 2100, .heat = 80e3, .tm = 25, .width = 4, .k = 0.18};

const struct peer_case cases[] = {
	{"freeze-slab", "lean meat, half thickness 25 mm, in a blast freezer", HALF_SLAB, 40, 0.0125,
		{{&lean, 0.025, 10, 0}}, {{12000, {-35, 30, -35, 0.9}}}},
	{"thaw-slab", "the same thawing in air", HALF_SLAB, 250, 0.0125,
		{{&lean, 0.025, -20, 0}}, {{80000, {5, 25, 5, 0.9}}}},
	{"layered-cylinder", "meat, leaves, fat film, dough, from the freezer into hot air", CYLINDER, 40, 0.0165,
		{{&lean, 0.033, -18, 0}, {&leaf, 0.006, -18, 0}, {&film, 0.001, -18, 0}, {&dough, 0.0045, -18, 0}},
		{{12000, {90, 20, 90, 0.9}}}},
	{"asymmetric-slab", "crumb, fish, sauce: plate below, air and hotter walls above", SLAB, 40, 0.0125,
		{{&crumb, 0.005, -12, 0}, {&fish, 0.015, -12, 0}, {&sauce, 0.005, -12, 0}},
		{{8000, {75, 12, 95, 0.85}, {60, 200, 0, 0}}}},
	{"freeze-sphere", "fish, 30 mm radius, chilled and frozen in air colder than the walls", SPHERE, 40, 0.015,
		{{&fish, 0.030, 20, 0}}, {{9000, {-30, 25, -24, 0.9}}}},
	{"melting-film", "meat, fat film that melts, leaves; hot, then gentle air", CYLINDER, 30, 0.009,
		{{&lean, 0.018, -18, 0}, {&soft, 0.002, -18, 0}, {&leaf, 0.004, -18, 0}},
		{{2700, {85, 25, 85, 0.9}}, {9000, {50, 10, 50, 0.9}}}},
	{"contact", "meat, gap, pastry, wrapper, layers of unequal start, in radiant heat", HALF_SLAB, 40, 0.006,
		{{&lean, 0.012, -18, 0.01}, {&pastry, 0.005, 4, 0.02}}, {{12000, {60, 100, 90, 0.9}}}},
};
const int case_count = sizeof cases / sizeof *cases;
