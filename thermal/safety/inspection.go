package safety

import (
	"slices"
	"time"
)

// Figures of FSIS are those of the °C printed beside its °F. It prints 137 and
// 139 °F as 58.4 and 59.5 °C, a little over what they are.
const (
	appendixA  = "Compliance Guidelines for Meeting Lethality Performance Standards for Certain Meat and Poultry Products"
	appendixB  = "Compliance Guidelines for Cooling Heat-Treated Meat and Poultry Products (Stabilization)"
	superseded = " Since December 2022 plants go by the guideline of 2021."
)

// beefRows is the table of Appendix A: the time for 6.5 log, that for 7 log.
var beefRows = []struct {
	temperature float64 // [°C]
	log65, log7 time.Duration
}{
	{54.4, 112 * time.Minute, 121 * time.Minute}, {55.0, 89 * time.Minute, 97 * time.Minute},
	{55.6, 71 * time.Minute, 77 * time.Minute}, {56.1, 56 * time.Minute, 62 * time.Minute},
	{56.7, 45 * time.Minute, 47 * time.Minute}, {57.2, 36 * time.Minute, 37 * time.Minute},
	{57.8, 28 * time.Minute, 32 * time.Minute}, {58.4, 23 * time.Minute, 24 * time.Minute},
	{58.9, 18 * time.Minute, 19 * time.Minute}, {59.5, 15 * time.Minute, 15 * time.Minute},
	{60.0, 12 * time.Minute, 12 * time.Minute}, {60.6, 9 * time.Minute, 10 * time.Minute},
	{61.1, 8 * time.Minute, 8 * time.Minute}, {61.7, 6 * time.Minute, 6 * time.Minute},
	{62.2, 5 * time.Minute, 5 * time.Minute}, {62.8, 4 * time.Minute, 4 * time.Minute},
	{63.3, 169 * time.Second, 182 * time.Second}, {63.9, 134 * time.Second, 144 * time.Second},
	{64.4, 107 * time.Second, 115 * time.Second}, {65.0, 85 * time.Second, 91 * time.Second},
	{65.6, 67 * time.Second, 72 * time.Second}, {66.1, 54 * time.Second, 58 * time.Second},
	{66.7, 43 * time.Second, 46 * time.Second}, {67.2, 34 * time.Second, 37 * time.Second},
	{67.8, 27 * time.Second, 29 * time.Second}, {68.3, 22 * time.Second, 23 * time.Second},
	{68.9, 17 * time.Second, 19 * time.Second}, {69.4, 14 * time.Second, 15 * time.Second},
	{70.0, 0, 0},
}

// chickenRows is the table for chicken with 12 % fat. Between 62.8 and 71.1 °C
// only rounded times were found; they are left out, so that the time of 62.8 °C
// is asked for.
var chickenRows = []Row{
	{57.8, 4884 * time.Second}, {58.3, 3930 * time.Second}, {58.9, 3174 * time.Second}, {59.4, 43 * time.Minute},
	{60.0, 35 * time.Minute}, {60.6, 1722 * time.Second}, {61.1, 1422 * time.Second}, {61.7, 1188 * time.Second},
	{62.2, 996 * time.Second}, {62.8, 828 * time.Second}, {71.1, 16900 * time.Millisecond}, {73.9, 10 * time.Second},
}

func inspectionRules() []Rule {
	var log65, log7 Cook
	for _, r := range beefRows {
		log65.Rows = append(log65.Rows, Row{r.temperature, r.log65})
		log7.Rows = append(log7.Rows, Row{r.temperature, r.log7})
	}
	beef := []Food{Roast, IntactMeat, InjectedMeat}
	meat := []Food{Roast, IntactMeat, InjectedMeat, GroundMeat}
	cookedMeat := []Food{Roast, IntactMeat, InjectedMeat, GroundMeat, Poultry}
	return []Rule{
		{
			Name: "fsis-beef-6.5-log", Step: Cooking, Code: "FSIS", Number: "Appendix A, 6.5 log", Title: appendixA, Year: 1999,
			Words:  "All parts of cooked beef at a temperature of the table for its time." + superseded,
			Source: "two reproductions that agree", For: beef, Animals: []Animal{Beef}, Criteria: []Criterion{log65},
		},
		{
			Name: "fsis-beef-7-log", Step: Cooking, Code: "FSIS", Number: "Appendix A, 7 log", Title: appendixA, Year: 1999,
			Words:  "All parts of cooked beef at a temperature of the table for its time." + superseded,
			Source: "two reproductions that agree", For: beef, Animals: []Animal{Beef}, Criteria: []Criterion{log7},
		},
		{
			Name: "fsis-chicken-7-log", Step: Cooking, Code: "FSIS", Number: "chicken, 12 % fat", Year: 2005,
			Title:  "Time-Temperature Tables for Cooking Ready-to-Eat Poultry Products",
			Words:  "All parts of chicken with up to 12 % fat at a temperature of the table for its time." + superseded,
			Source: "136 to 144 °F from reproductions; 145, 160 and 165 °F and the year from memory; between 145 and 160 °F the time at 145 °F",
			For:    []Food{Poultry}, Animals: []Animal{Chicken}, Where: []Condition{upTo12Fat}, Criteria: []Criterion{Cook{slices.Clone(chickenRows)}},
		},
		{
			Name: "cfr-beef-lethality", Step: Cooking, Code: "US", Number: "9 CFR 318.17(a)(1)", Year: 1999,
			Title:  "Requirements for the Production of Cooked Beef, Roast Beef, and Cooked Corned Beef Products",
			Words:  "6.5 log of Salmonella killed in all parts, counted with the D and z of Appendix A.",
			Source: "Appendix A (1999)", For: beef, Animals: []Animal{Beef}, Criteria: []Criterion{Kill{mustSet("salmonella, cooked beef (FSIS)"), 6.5}},
		},
		{
			Name: "cfr-chicken-lethality", Step: Cooking, Code: "US", Number: "9 CFR 381.150(a)(1)", Year: 1999,
			Title: "Requirements for the Production of Fully Cooked Poultry Products and Partially Cooked Poultry Breakfast Strips",
			Words: "7 log of Salmonella killed in all parts, counted with a D and z over the FSIS times for chicken with 12 % fat.",
			For:   []Food{Poultry}, Animals: []Animal{Chicken}, Where: []Condition{upTo12Fat}, Source: "FSIS poultry tables",
			Criteria: []Criterion{Kill{mustSet("salmonella, chicken with 12 % fat (FSIS)"), 7}},
		},
		{
			Name: "cfr-beef-patties", Step: Cooking, Code: "US", Number: "9 CFR 318.23(b)", Year: 2003,
			Title:  "Heat-Processing and Stabilization Requirements for Uncured Meat Patties",
			Words:  "The middle of fully cooked patties at 66.1 °C for 41 s, or 68.3 °C for 16 s.",
			Source: "summary of Berry & Bigner-George (ARS)", For: []Food{GroundMeat}, Animals: []Animal{Beef},
			Criteria: []Criterion{Cook{[]Row{{66.1, 41 * time.Second}, {68.3, 16 * time.Second}}}},
		},
		{
			Name: "fsis-ground-beef-at-home", Step: Cooking, Code: "FSIS", Number: "consumer advice", Title: "Ground Beef and Food Safety", Year: 2016,
			Words: "The middle reaches 71.1 °C.", Source: "summary of Berry & Bigner-George (ARS); title and year from memory",
			For: []Food{GroundMeat}, Animals: []Animal{Beef}, Criteria: []Criterion{Cook{[]Row{{71.1, 0}}}},
		},
		{
			Name: "fsis-cooling-1", Step: Cooling, Code: "FSIS", Number: "Appendix B, option 1", Title: appendixB, Year: 1999,
			Words:  "From 54.4 to 26.7 °C within 1.5 h, then to 4.4 °C within 5 h." + superseded,
			Source: "Appendix B of June 1999; Ohio State University", For: cookedMeat,
			Criteria: []Criterion{Cool{[]CoolStep{{54.4, 26.7, 90 * time.Minute}, {26.7, 4.4, 5 * time.Hour}}}},
		},
		{
			Name: "fsis-cooling-2", Step: Cooling, Code: "FSIS", Number: "Appendix B, option 2", Title: appendixB, Year: 1999,
			Words: "Chilling begun within 90 min of cooking (here: at 48.9 °C by then), from 48.9 to 26.7 °C within 1 h and to 12.8 °C within 6 h; " +
				"then on to 4.4 °C before it leaves, which is not judged." + superseded,
			Source: "Appendix B of June 1999; Ohio State and Michigan State University", For: cookedMeat,
			Criteria: []Criterion{ChillStart{48.9, 90 * time.Minute}, Cool{[]CoolStep{{48.9, 26.7, time.Hour}, {48.9, 12.8, 6 * time.Hour}}}},
		},
		{
			Name: "fsis-cooling-3", Step: Cooling, Code: "FSIS", Number: "Appendix B, option 3", Title: appendixB, Year: 1999,
			Words:  "Food cured with nitrite from 54.4 to 26.7 °C within 5 h, then within 10 h to 4.4 °C; some copies end at 7.2 °C." + superseded,
			Source: "Appendix B of June 1999; Ohio State University", For: cookedMeat, Where: []Condition{cured},
			Criteria: []Criterion{Cool{[]CoolStep{{54.4, 26.7, 5 * time.Hour}, {26.7, 4.4, 10 * time.Hour}}}},
		},
		{
			Name: "cfr-cooling-growth", Step: Cooling, Code: "US", Number: "9 CFR 318.17(a)(2)", Year: 1999,
			Title:  "Requirements for the Production of Cooked Beef, Roast Beef, and Cooked Corned Beef Products",
			Words:  "No more than 1 log growth of C. perfringens, counted without lag as in roasted chicken and in braised beef, so that it can pass but not fail; that C. botulinum does not grow at all is not judged.",
			Source: "growth constants from Food Control", For: cookedMeat,
			Criteria: []Criterion{
				Grow{mustGrowth("clostridium perfringens, braised beef"), 1}, Grow{mustGrowth("clostridium perfringens, roasted chicken"), 1},
			},
		},
		{
			Name: "cfr-liquid-egg", Step: Pasteurising, Code: "US", Number: "9 CFR 590.570", Title: "Pasteurization of Liquid Eggs", Year: 2003,
			Words: "Whole egg at 60 °C for 3.5 min.", Source: "from memory", For: []Food{LiquidEgg},
			Criteria: []Criterion{Cook{[]Row{{60, 210 * time.Second}}}},
		},
		{
			Name: "uk-liquid-egg", Step: Pasteurising, Code: "UK", Number: "S.I. 1963/1503", Title: "Liquid Egg (Pasteurisation) Regulations", Year: 1963,
			Words: "Whole egg at 64.4 °C for 2.5 min.", Source: "from memory", For: []Food{LiquidEgg},
			Criteria: []Criterion{Cook{[]Row{{64.4, 150 * time.Second}}}},
		},
		{
			Name: "baldwin-meat", Step: Pasteurising, Code: "Int. J. Gastronomy Food Sci.", Number: "1", Title: "Baldwin, Sous Vide Cooking: A Review", Year: 2012,
			Words:  "In all parts 6.5 log of Salmonella, 5 log of E. coli and 6 log of Listeria killed.",
			Source: "from memory", For: meat, Animals: []Animal{Beef, Lamb, Pork},
			Criteria: []Criterion{
				Kill{mustSet("salmonella, meat (Baldwin)"), 6.5}, Kill{mustSet("e. coli, meat (Baldwin)"), 5},
				Kill{mustSet("listeria, meat (Baldwin)"), 6},
			},
		},
	}
}

// mustSet and mustGrowth give sets that this package has.
func mustSet(name string) Inactivation {
	k, err := FindInactivation(name)
	if err != nil {
		panic(err)
	}
	return k
}

func mustGrowth(name string) Growth {
	g, err := FindGrowth(name)
	if err != nil {
		panic(err)
	}
	return g
}
