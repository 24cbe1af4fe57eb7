package validation

// propertiesLimits is why checks of the group lie outside of their tolerance.
var propertiesLimits = []propertiesLimit{
	{"Choi & Okos (1986) fitted a line or a parabola; pure water and ice are known better", []string{
		"ice, measured specific heat at 0 °C, kJ/(kg K)",
		"ice, measured specific heat at -10 °C, kJ/(kg K)",
		"ice, measured specific heat at -20 °C, kJ/(kg K)",
		"ice, specific heat of the food called water at -20 °C, kJ/(kg K)",
		"water, measured conductivity at 0 °C, W/(m K)",
		"water, measured specific heat at 0 °C, kJ/(kg K)",
		"water, measured specific heat at 20 °C, kJ/(kg K)",
		"water, specific heat of the food called water at 20 °C, kJ/(kg K)",
		"water, measured specific heat at 100 °C, kJ/(kg K)",
		"water, measured density at 0 °C, kg/m³",
		"water, measured density at 20 °C, kg/m³",
		"water, measured density at 100 °C, kg/m³",
	}},
	{"Watson's power law through two points is within 0.13 %", []string{
		"heat of vaporisation at 50 °C, kJ/kg",
		"heat of vaporisation at 150 °C, kJ/kg",
	}},
	{"the value contradicts its neighbours: along the fibres it is under that across by the same author, at 62 °C no higher than at 7 °C though water alone gains 12 %, or 10 to 18 % under other lean meat of the same water", []string{
		"conductivity of lamb, fibre-along, 71 % water, at 5 °C, W/(m K)",
		"conductivity of beef, lean, fibre-across, 79 % water, at 62 °C, W/(m K)",
		"conductivity of chicken breast, fibre-across, 75 % water, at 20 °C, W/(m K)",
	}},
	{"lamb by this author lies 10 % under the model, his veal on it", []string{
		"conductivity of lamb, fibre-across, 72 % water, at 5 °C, W/(m K)",
		"conductivity of lamb, fibre-across, 72 % water, at -15 °C, W/(m K)",
	}},
	{"as high as lean meat with more water, or colder", []string{
		"conductivity of salmon, fibre-across, 67 % water, at 3 °C, W/(m K)",
		"conductivity of salmon, fibre-across, 67 % water, at -5 °C, W/(m K)",
	}},
	{"the fat of Choi & Okos conducts 0.171 W/(m K) at 35 °C", []string{
		"conductivity of beef fat, melted, compact, 0 % water, at 35 °C, W/(m K)",
	}},
	{"water drops in fat by Maxwell-Eucken, the least that an isotropic mixture of these components can have", []string{
		"conductivity of butter, fat-continuous, 15.5 % water, at 4 °C, W/(m K)",
	}},
	{"measurements disagree: 0.31 W/(m K) by Sweat & Parmelee, 0.354 at the least by Marschoun et al. (2001) over 30 to 60 % of water", []string{
		"conductivity of cheddar cheese, 36.8 % water, at 20 °C, W/(m K)",
	}},
	{"the regression leaves milk at 0.50 W/(m K) at any temperature, under water with its solids in parallel", []string{
		"conductivity of milk, whole, 87.7 % water, at 20 °C, W/(m K)",
	}},
	{"41 % of the water of dough is still liquid at -22 °C here, most of it as bound to starch", []string{
		"conductivity of wheat dough, compact, 44.7 % water, at -22 °C, W/(m K)",
	}},
	{"one structure model for all open pores, and the heat that vapour carries through them is not in it", []string{
		"conductivity of bread crumb, open-pores, 42.5 % water, at 20 °C, W/(m K)",
		"conductivity of bread crust, open-pores, 0 % water, at 20 °C, W/(m K)",
	}},
	{"the source gives dry lean tissue 1.3 to 1.4 kJ/(kg K), Choi & Okos protein 2.0; the same source's lean meat from 0 to 10, 18 or 32 °C fits ours", []string{
		"specific heat of beef, lean, dry, 0 % water, from 0 to 10 °C, kJ/(kg K)",
		"specific heat of beef, lean, 72 % water, from 0 to 100 °C, kJ/(kg K)",
		"specific heat of beef, fatty, 51 % water, from 0 to 100 °C, kJ/(kg K)",
		"specific heat of pork, lean, 57 % water, from 0 to 100 °C, kJ/(kg K)",
		"specific heat of pork, fatty, 39 % water, from 0 to 100 °C, kJ/(kg K)",
		"specific heat of chicken, lean, 73 % water, from 0 to 100 °C, kJ/(kg K)",
		"specific heat of wheat flour, 12.75 % water, from 0 to 100 °C, kJ/(kg K)",
	}},
	{"rendered fats take up more heat between 0 and 25 °C than their solid part and heat of fusion give", []string{
		"specific heat of ham, 52 % water, from 4.5 to 24 °C, kJ/(kg K)",
		"specific heat of beef hard fat, rendered, 0 % water, from 5 to 25 °C, kJ/(kg K)",
		"specific heat of lard, American, 0.1 % water, from 0 to 21 °C, kJ/(kg K)",
		"specific heat of chicken fat, 11.4 % water, from 0 to 15 °C, kJ/(kg K)",
	}},
	{"the melting of fat is in ours, not in the printed value", []string{
		"specific heat of butter, 15 % water, at 4.4 °C, kJ/(kg K)",
		"specific heat of lamb, lean, raw at 4 °C, kJ/(kg K)",
		"specific heat of cheddar cheese at 4 °C, kJ/(kg K)",
	}},
	{"the handbook counts fibre twice", []string{
		"specific heat of carrots, raw at 4 °C, kJ/(kg K)",
		"specific heat of leeks, raw at 4 °C, kJ/(kg K)",
		"specific heat of celery, raw at 4 °C, kJ/(kg K)",
		"specific heat of strawberries, raw at 4 °C, kJ/(kg K)",
		"specific heat of apples, raw at 4 °C, kJ/(kg K)",
	}},
	{"the printed composition sums to 98.4 (sirloin), 100.9 (cod) or 101 % (salmon) and is scaled to 100", []string{
		"specific heat of cod, raw at 4 °C, kJ/(kg K)",
		"specific heat of salmon, pink, raw at 4 °C, kJ/(kg K)",
		"specific heat of beef sirloin, raw at 4 °C, kJ/(kg K)",
		"heat of fusion of all water of cod, raw, kJ/kg",
		"heat of fusion of all water of salmon, pink, raw, kJ/kg",
		"heat of fusion of all water of beef sirloin, raw, kJ/kg",
	}},
	{"the fat of yolk is taken as poultry fat, a part of which melts below 0 °C, where the measured enthalpies show no melting", []string{
		"enthalpy of egg yolk, 50 % water, -40 to -10 °C, kJ/kg",
		"enthalpy of egg yolk, 50 % water, -40 to -5 °C, kJ/kg",
	}},
	{"the dilute ice curve melts bread evenly towards its freezing point, where nearly half of the measured heat lies between -12 and -5 °C", []string{
		"enthalpy of white bread, 37.3 % water, -40 to -20 °C, kJ/kg",
		"enthalpy of white bread, 37.3 % water, -40 to -10 °C, kJ/kg",
		"enthalpy of white bread, 37.3 % water, -40 to -5 °C, kJ/kg",
		"enthalpy of whole-wheat bread, 42.4 % water, -40 to -20 °C, kJ/kg",
		"enthalpy of whole-wheat bread, 42.4 % water, -40 to -5 °C, kJ/kg",
	}},
	{"more than half of the excess is melting that goes on at -25 °C", []string{
		"methyl-cellulose gel, specific heat frozen, MJ/(m³ K)",
	}},
	{"the print is over that of the measured enthalpies, -1.6 °C", []string{
		"initial freezing point of Peas, green from its composition, °C",
	}},
	{"the dilute ice curve and its bound water leave 4 points more unfrozen than was measured", []string{
		"unfrozen water of beef, lean, fresh at -20 °C, % of all water",
	}},
	{"salt water is taken for an ideal solution of two ions", []string{
		"freezing point depression of 0.10 mol/kg water NaCl, K",
		"freezing point depression of 0.25 mol/kg water NaCl, K",
		"freezing point depression of 0.50 mol/kg water NaCl, K",
		"freezing point depression of 0.75 mol/kg water NaCl, K",
		"freezing point depression of 10 mass % NaCl, K",
		"freezing point depression of 15 mass % NaCl, K",
		"freezing point depression of 20 mass % NaCl, K",
	}},
	{"all sugars count with 240 g/mol, between glucose (180) and sucrose (342)", []string{
		"freezing point depression of 5 mass % sucrose, K",
		"freezing point depression of 10 mass % sucrose, K",
		"freezing point depression of 20 mass % sucrose, K",
		"freezing point depression of 40 mass % sucrose, K",
		"freezing point depression of 10 mass % glucose, K",
		"freezing point depression of 20 mass % glucose, K",
	}},
	{"minerals and sugars of vegetables and fruit are counted alike for all kinds", []string{
		"initial freezing point of Carrots from its composition, °C",
		"initial freezing point of Spinach from its composition, °C",
		"initial freezing point of Pears from its composition, °C",
	}},
	{"the print is about 1 K under what measured enthalpies of meat and fish let it be (Riedel)", []string{
		"initial freezing point of Cod (whole fish) from its composition, °C",
		"initial freezing point of Beef sirloin, lean from its composition, °C",
		"initial freezing point of Lamb, composite, lean from its composition, °C",
	}},
	{"four tenths of the ash of cheese is salt; how much of the rest and of its water is solution is not known well", []string{
		"initial freezing point of Cheddar from its composition, °C",
	}},
	{"Levy's ice in 0.23 of cellulose, with 0.1 kg/kg of water that does not freeze", []string{
		"methyl-cellulose gel, conductivity frozen, W/(m K)",
	}},
	{"ours counts the pure components' densities, 1053 kg/m³, and 0.1 kg/kg of bound water", []string{
		"methyl-cellulose gel, latent heat, MJ/m³",
	}},
	{"the estimate counts the salt alone; cellulose gel without salt already freezes at -0.6 °C", []string{
		"test package a, freezing point, °C",
		"test package b, freezing point, °C",
	}},
	{"the curve ends at 54 °C, where 1 % and less is left from 51 °C on", []string{
		"pastry-margarine: temperature with 1 % solid, °C",
	}},
}
