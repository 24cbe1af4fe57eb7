package safety

import (
	"math"
	"slices"
	"time"
)

// Figures of the Food Code are those of its °C column; the °F beside them differ
// by rounding.
const (
	foodCode = "FDA Food Code"
	adopted  = "state adoptions of the 2009 to 2017 editions; that they stand in 2022 from memory"
)

var noBound = math.Inf(1)

// roastRows is the table of 3-401.11(B)(2).
var roastRows = []Row{
	{54.4, 112 * time.Minute}, {55.0, 89 * time.Minute}, {56.1, 56 * time.Minute}, {57.2, 36 * time.Minute},
	{57.8, 28 * time.Minute}, {58.9, 18 * time.Minute}, {60.0, 12 * time.Minute}, {61.1, 8 * time.Minute},
	{62.2, 5 * time.Minute}, {62.8, 4 * time.Minute}, {63.9, 134 * time.Second}, {65.0, 85 * time.Second},
	{66.1, 54 * time.Second}, {67.2, 34 * time.Second}, {68.3, 22 * time.Second}, {69.4, 14 * time.Second}, {70.0, 0},
}

// roastOvens is the table of 3-401.11(B)(1).
var roastOvens = []OvenRow{
	{StillOven, 0, 4.5, 177, noBound}, {StillOven, 4.5, noBound, 121, noBound},
	{ConvectionOven, 0, 4.5, 163, noBound}, {ConvectionOven, 4.5, noBound, 121, noBound},
	{HumidOven, 0, noBound, -noBound, 121},
}

func foodCodeRules() []Rule {
	rules := []Rule{
		{
			Name: "food-code-intact-meat-fish-eggs", Step: Cooking, Number: "3-401.11(A)(1)", Title: "Raw Animal Foods",
			Words: "All parts at 63 °C for 15 s.", Source: adopted,
			For: []Food{IntactMeat, Fish, EggAtOnce}, Criteria: []Criterion{Cook{[]Row{{63, 15 * time.Second}}}},
		},
		{
			Name: "food-code-ground-injected", Step: Cooking, Number: "3-401.11(A)(2)", Title: "Raw Animal Foods",
			Words: "All parts at 63 °C for 3 min, 66 °C for 1 min, 68 °C for 17 s or 70 °C; up to 2013, 15 s at 68 °C.", Source: adopted,
			For:      []Food{GroundMeat, InjectedMeat, GroundFish, EggPooled},
			Criteria: []Criterion{Cook{[]Row{{63, 3 * time.Minute}, {66, time.Minute}, {68, 17 * time.Second}, {70, 0}}}},
		},
		{
			Name: "food-code-poultry-stuffed", Step: Cooking, Number: "3-401.11(A)(3)", Title: "Raw Animal Foods",
			Words: "All parts reach 74 °C.", Source: "from memory, as changed in 2017",
			For: []Food{Poultry, Stuffed}, Criteria: []Criterion{Cook{[]Row{{74, 0}}}},
		},
		{
			Name: "food-code-poultry-stuffed-2013", Step: Cooking, Number: "3-401.11(A)(3)", Title: "Raw Animal Foods", Year: 2013,
			Words: "All parts at 74 °C for 15 s.", Source: "state adoptions of the editions up to 2013",
			For: []Food{Poultry, Stuffed}, Criteria: []Criterion{Cook{[]Row{{74, 15 * time.Second}}}},
		},
		{
			Name: "food-code-roast-oven", Step: Cooking, Number: "3-401.11(B)(1)", Title: "Raw Animal Foods",
			Words:  "The oven as hot as the roast's mass asks for; goes with the times of (B)(2). One state asks 163 °C of a convection oven for heavy roasts too.",
			Source: adopted, For: []Food{Roast}, Criteria: []Criterion{OvenSetting{slices.Clone(roastOvens)}},
		},
		{
			Name: "food-code-roast-time", Step: Cooking, Number: "3-401.11(B)(2)", Title: "Raw Animal Foods",
			Words:  "All parts at a temperature of the table for its time, the rise after the oven included. Older editions ask 121 min at 54.4 °C.",
			Source: adopted, For: []Food{Roast}, Criteria: []Criterion{Cook{slices.Clone(roastRows)}},
		},
		{
			Name: "food-code-intact-steak", Step: Cooking, Number: "3-401.11(C)", Title: "Raw Animal Foods",
			Words:  "Whole-muscle intact beef may stay undercooked inside if both faces reach 63 °C and change colour; give the histories of both.",
			Source: "from memory", For: []Food{IntactMeat}, Animals: []Animal{Beef}, Where: []Condition{intactLabel},
			Surface: true, Criteria: []Criterion{Cook{[]Row{{63, 0}}}},
		},
		{
			Name: "food-code-plants-held-hot", Step: Cooking, Number: "3-401.13", Title: "Plant Food Cooking for Hot Holding",
			Words: "Plant food that will be held hot reaches 57 °C.", Source: "from memory",
			For: []Food{Plant}, Criteria: []Criterion{Cook{[]Row{{57, 0}}}},
		},
		{
			Name: "food-code-fish-freezing", Step: EatenRaw, Number: "3-402.11", Title: "Parasite Destruction",
			Words:  "Fish to be eaten raw at -20 °C for 168 h, or at -35 °C for 15 h once solid.",
			Source: "a naval food-safety manual; the number from memory", For: []Food{Fish, GroundFish},
			Criteria: []Criterion{Freeze{[]Row{{-20, 168 * time.Hour}, {-35, 15 * time.Hour}}}},
		},
		{
			Name: "food-code-reheating", Step: Reheating, Number: "3-403.11", Title: "Reheating for Hot Holding",
			Words: "All parts at 74 °C for 15 s, from 5 °C within 2 h.", Source: "from memory", Where: []Condition{needsControl},
			Criteria: []Criterion{Cook{[]Row{{74, 15 * time.Second}}}, Rise{5, 74, 2 * time.Hour}},
		},
		{
			Name: "food-code-thawing-cold", Step: Thawed, Number: "3-501.13(A)", Title: "Thawing",
			Words: "Thawed in a refrigerator without getting warmer than 5 °C.", Source: adopted,
			Where: []Condition{needsControl, thawedBy(Refrigerator)}, Criteria: []Criterion{Stay{-noBound, 5}},
		},
		{
			Name: "food-code-thawing-water-ready", Step: Thawed, Number: "3-501.13(B)(3)", Title: "Thawing",
			Words:  "Ready-to-eat food under running water of up to 21 °C without getting warmer than 5 °C.",
			Source: adopted, Where: []Condition{needsControl, thawedBy(RunningWater), readyToEat},
			Criteria: []Criterion{WaterSetting{21}, Stay{-noBound, 5}},
		},
		{
			Name: "food-code-thawing-water-raw", Step: Thawed, Number: "3-501.13(B)(4)", Title: "Thawing",
			Words:  "Raw food under running water of up to 21 °C, over 5 °C for up to 4 h, preparation or chilling after it included.",
			Source: adopted, Where: []Condition{needsControl, thawedBy(RunningWater), raw},
			Criteria: []Criterion{WaterSetting{21}, Exposure{5, noBound, 4 * time.Hour}},
		},
		{
			Name: "food-code-cooling", Step: Cooling, Number: "3-501.14(A)", Title: "Cooling",
			Words: "Cooked food from 57 to 21 °C within 2 h, and from 57 to 5 °C within 6 h.", Source: adopted,
			Where:    []Condition{needsControl},
			Criteria: []Criterion{Cool{[]CoolStep{{57, 21, 2 * time.Hour}, {57, 5, 6 * time.Hour}}}},
		},
		{
			Name: "food-code-cooling-2001", Step: Cooling, Number: "3-501.14(A)", Title: "Cooling", Year: 2001,
			Words:  "Cooked food from 60 to 21 °C within 2 h, then to 5 °C within 4 h.",
			Source: "a recipe card of the US army; the edition from memory", Where: []Condition{needsControl},
			Criteria: []Criterion{Cool{[]CoolStep{{60, 21, 2 * time.Hour}, {21, 5, 4 * time.Hour}}}},
		},
		{
			Name: "food-code-cooling-from-room", Step: Cooling, Number: "3-501.14(B)", Title: "Cooling",
			Words: "Food made from ingredients at room temperature at 5 °C within 4 h.", Source: "from memory",
			Where: []Condition{needsControl, fromRoom}, Criteria: []Criterion{Cool{[]CoolStep{{21, 5, 4 * time.Hour}}}},
		},
		{
			Name: "food-code-hot-holding", Step: HeldHot, Number: "3-501.16(A)(1)", Title: "Hot and Cold Holding",
			Words: "Never colder than 57 °C.", Source: adopted,
			Where: []Condition{needsControl}, Criteria: []Criterion{Stay{57, noBound}},
		},
		{
			Name: "food-code-hot-holding-roast", Step: HeldHot, Number: "3-501.16(A)(1)", Title: "Hot and Cold Holding",
			Words:  "A roast that was cooked as 3-401.11(B) asks, or reheated so, never colder than 54 °C.",
			Source: adopted, For: []Food{Roast}, Where: []Condition{needsControl, cookedAsRoast},
			Criteria: []Criterion{Stay{54, noBound}},
		},
		{
			Name: "food-code-cold-holding", Step: HeldCold, Number: "3-501.16(A)(2)", Title: "Hot and Cold Holding",
			Words: "Never warmer than 5 °C.", Source: adopted,
			Where: []Condition{needsControl}, Criteria: []Criterion{Stay{-noBound, 5}},
		},
		{
			Name: "food-code-time-as-control", Step: HeldByTime, Number: "3-501.19(B)", Title: "Time as a Public Health Control",
			Words:  "Served within 4 h of leaving 5 or 57 °C, by a written procedure.",
			Source: "from memory", Where: []Condition{needsControl}, Criteria: []Criterion{Exposure{5, 57, 4 * time.Hour}},
		},
	}
	for i := range rules {
		rules[i].Code = foodCode
		if rules[i].Year == 0 {
			rules[i].Year = 2022
		}
	}
	return rules
}
