package safety

const minute = 60.0 // [s]

// inactivations are the published sets. Least and Most are the ends of the
// temperatures measured, or of those at which the constants hold at least.
var inactivations = []Inactivation{
	{
		Name: "salmonella, cooked beef (FSIS)", Germ: "Salmonella", Food: "cooked beef, roast beef, corned beef",
		D: 112 * minute / 6.5, Reference: 490.0 / 9, Z: 50.0 / 9, Least: 54.4, Most: 70,
		Source: "FSIS Appendix A (1999), 6.5-log column: 112 min at 130 °F, ten times as fast every 10 °F. " +
			"At 54.4 °C McMinn et al. (2018) measured slower death than this",
	},
	{
		Name: "salmonella, chicken with 12 % fat (FSIS)", Germ: "Salmonella", Food: "chicken with 12 % fat",
		D: 5.32 * minute, Reference: 60, Z: 6.45, Least: 57.8, Most: 62.2,
		Source: "FSIS Time-Temperature Tables for Cooking Ready-to-Eat Poultry Products, 7-log times at 136 to 144 °F, " +
			"81.4 to 16.6 min; D raised over all of them",
	},
	{
		Name: "salmonella, chicken broth", Germ: "Salmonella, 8 serotypes", Food: "chicken broth; in meat D is longer",
		D: 1.362 * minute, Reference: 60, Z: 6.65, Least: 55, Most: 62,
		Source: "Juneja, Eblen & Ransom (2001), J. Food Sci. 66: D 4.87, 2.72, 1.30, 0.41 min at 55, 58, 60, 62 °C; " +
			"z by regression, D raised over all of them",
	},
	{
		Name: "salmonella senftenberg, ground turkey", Germ: "Salmonella Senftenberg", Food: "ground turkey",
		D: 26.91 * minute, Reference: 60, Z: 5.59, Least: 55, Most: 65,
		Source: "Thermal Food Processing (handbook), table 7.1: D 211, 13.2, 3.43 min at 55, 60, 65 °C; " +
			"z from the ends, D raised over all of them",
	},
	{
		Name: "e. coli o157:h7, ground beef", Germ: "E. coli O157:H7", Food: "ground beef, 90 % lean",
		D: 3.17 * minute, Reference: 60, Z: 6.0, Least: 55, Most: 65,
		Source: "Juneja, Snyder & Marmer (1997), Int. J. Food Microbiol. 35: D 21.13, 4.95, 3.17, 0.93, 0.39 min " +
			"at 55, 57.5, 60, 62.5, 65 °C, z 6.0",
	},
	{
		Name: "e. coli o157:h7, ground chicken", Germ: "E. coli O157:H7", Food: "ground chicken, lean",
		D: 2.171 * minute, Reference: 60, Z: 6.8, Least: 55, Most: 65,
		Source: "Juneja, Snyder & Marmer (1997), from memory: D 11.8, 3.79, 1.63, 0.82, 0.36 min " +
			"at 55, 57.5, 60, 62.5, 65 °C, z 6.8; D raised over all of them",
	},
	{
		Name: "e. coli o157:h7, ground turkey", Germ: "E. coli O157:H7", Food: "ground turkey",
		D: 5.4714 * minute, Reference: 60, Z: 9.80, Least: 60, Most: 65,
		Source: "Thermal Food Processing (handbook), table 7.1: D 5.47, 1.69 min at 60, 65 °C",
	},
	{
		Name: "listeria, ground turkey", Germ: "L. monocytogenes", Food: "ground turkey",
		D: 7.153 * minute, Reference: 57.2, Z: 5.21, Least: 51.7, Most: 62.8,
		Source: "Thermal Food Processing (handbook), table 7.1: D 81.3, 2.6, 0.6 min at 51.7, 57.2, 62.8 °C, " +
			"which are on no straight line; z from the ends, D raised over all of them",
	},
	{
		Name: "listeria, turkey bologna", Germ: "L. monocytogenes", Food: "turkey bologna",
		D: 2.15 * minute, Reference: 61, Z: 4.44, Least: 61, Most: 65,
		Source: "Thermal Food Processing (handbook), table 7.1: D 2.1, 0.27 min at 61, 65 °C, z 4.44; D raised over both",
	},
	{
		Name: "listeria, benchmark", Germ: "L. monocytogenes", Food: "meat and vegetables",
		D: 2 * minute / 6, Reference: 70, Z: 7.5, Least: 60, Most: 80,
		Source: "Horn et al., NZ MPI Technical Paper 2016/05: 6 D in 2 min at 70 °C; z 7.5 from memory, ends a guess",
	},
	{
		Name: "listeria, cod", Germ: "L. monocytogenes", Food: "cod",
		D: 1.95 * minute, Reference: 60, Z: 6.4, Least: 60, Most: 80,
		Source: "Ben Embarek & Huss (1993), Int. J. Food Microbiol. 20: D at 60 °C from 1.95 min, z 5.65 and 6.4 for two strains, " +
			"the slower above 60 °C taken; that 1.95 belongs to cod from memory",
	},
	{
		Name: "listeria, salmon", Germ: "L. monocytogenes", Food: "salmon",
		D: 4.48 * minute, Reference: 60, Z: 6.4, Least: 60, Most: 80,
		Source: "Ben Embarek & Huss (1993), Int. J. Food Microbiol. 20: D at 60 °C up to 4.48 min, z 5.65 and 6.4 for two strains, " +
			"the slower above 60 °C taken; that 4.48 belongs to salmon from memory",
	},
	{
		Name: "e. coli, meat (Baldwin)", Germ: "E. coli", Food: "beef, pork, lamb",
		D: 19.35 * minute, Reference: 55, Z: 4.87, Least: 50, Most: 70,
		Source: "constants of Baldwin (2012), Int. J. Gastronomy Food Sci. 1, after O'Bryan et al. (2006), from memory; ends a guess",
	},
	{
		Name: "salmonella, meat (Baldwin)", Germ: "Salmonella", Food: "beef, pork, lamb",
		D: 13.18 * minute, Reference: 55, Z: 6.58, Least: 50, Most: 70,
		Source: "constants of Baldwin (2012), Int. J. Gastronomy Food Sci. 1, after O'Bryan et al. (2006), from memory; ends a guess",
	},
	{
		Name: "listeria, meat (Baldwin)", Germ: "L. monocytogenes", Food: "beef, pork, lamb",
		D: 12.66 * minute, Reference: 55, Z: 9.22, Least: 50, Most: 70,
		Source: "constants of Baldwin (2012), Int. J. Gastronomy Food Sci. 1, after O'Bryan et al. (2006), from memory; ends a guess",
	},
	{
		Name: "salmonella enteritidis, liquid whole egg", Germ: "S. Enteritidis", Food: "liquid whole egg",
		D: 0.4 * minute, Reference: 60, Z: 4.6, Least: 60, Most: 65,
		Source: "typical range, from memory: D at 60 °C 0.2 to 0.4 min, z 4.0 to 4.6; the slow ends taken",
	},
	{
		Name: "clostridium perfringens cells, beef", Germ: "C. perfringens, vegetative", Food: "beef",
		D: 8 * minute, Reference: 60, Z: 7, Least: 60, Most: 65,
		Source: "typical range, from memory: D at 60 °C 3 to 8 min, z 6 to 7; the slow ends taken. Its spores survive",
	},
}

// growths are the published sets of growth constants.
var growths = []Growth{
	{
		Name: "clostridium perfringens, roasted chicken", Germ: "C. perfringens", Food: "roasted chicken",
		Lowest: 8.8, Best: 46.4, Highest: 51.5, Fastest: 6.06,
		Source: "Growth of Clostridium perfringens in roasted chicken and braised beef during cooling (one-step dynamic analysis), Food Control",
	},
	{
		Name: "clostridium perfringens, braised beef", Germ: "C. perfringens", Food: "braised beef",
		Lowest: 10.3, Best: 43.5, Highest: 53.4, Fastest: 5.64,
		Source: "Growth of Clostridium perfringens in roasted chicken and braised beef during cooling (one-step dynamic analysis), Food Control",
	},
	{
		Name: "salmonella, chicken", Germ: "Salmonella", Food: "chicken",
		Lowest: 4, Highest: 49, B: 0.04, C: 0.3,
		Source: "form of Juneja et al. (2007); constants typical, from memory, the fast end of each span",
	},
	{
		Name: "e. coli, meat", Germ: "E. coli, pathogenic", Food: "meat",
		Lowest: 3, Highest: 49, B: 0.035, C: 0.3,
		Source: "form of Ratkowsky et al. (1983); constants typical, from memory, the fast end of each span",
	},
	{
		Name: "listeria, meat", Germ: "L. monocytogenes", Food: "meat",
		Lowest: -3, Highest: 46, B: 0.027, C: 0.3,
		Source: "form of Ratkowsky et al. (1983); constants typical, from memory, the fast end of each span",
	},
}

const hazardsGuide = "FDA Fish and Fishery Products Hazards and Controls Guidance, from memory"

var germs = []Germ{
	{"Salmonella", 5.2, 46.2, hazardsGuide},
	{"E. coli, pathogenic", 6.5, 49.4, hazardsGuide},
	{"L. monocytogenes", -0.4, 45, hazardsGuide},
	{"C. perfringens", 10, 52, hazardsGuide},
	{"S. aureus", 7, 50, hazardsGuide},
	{"B. cereus", 4, 55, hazardsGuide},
	{"C. botulinum, proteolytic", 10, 48, hazardsGuide},
	{"C. botulinum, non-proteolytic", 3.3, 45, hazardsGuide},
}
