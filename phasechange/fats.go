package phasechange

import (
	"math"

	"gonum.org/v1/gonum/interp"

	"example.com/thawfront/materials"
)

// knot is one point of a melting curve.
type knot struct {
	t     float64 // [°C]
	solid float64 // [kg/kg fat]
}

// fatData is what is known about the melting of one kind of fat.
type fatData struct {
	heat  float64 // [J/kg fat] heat of fusion of a fat that is all solid
	knots []knot  // temperatures rising, solid fraction falling from the coldest state's to 0
}

// fatTable holds the melting curves. Every value is from memory unless a source
// is named: solid fractions are those usual for tempered fats measured by pulsed
// NMR (ISO 8292 gives the method), taken inside the spread of published values.
// Below 0 °C solid fractions are seldom published; the points there only spread
// the remaining heat over the range in which calorimeters see the fat melt.
//
// Lard and tallow take the upper end of the usual span of their heats of fusion
// (50-70 and 70-110 kJ/kg, from memory), because the specific heats measured in
// the melting range (Morley 1972, in James and James, Meat Refrigeration,
// Tables 13.2-13.3: lard 4.8-3.3, beef fat 5.8-3.4 kJ/(kg K) between 0 and 25 °C)
// ask for still more.
var fatTable = [...]fatData{
	materials.NoFat: {},

	// Heat 80.8 kJ/kg, half of it taken up by 8.6 °C, clear at 35.6 °C: Abd
	// El-Rahman, Shalabi and Kilara (1998), anhydrous milk fat. The solid
	// fractions lean to the upper side of their spread, because the crystals that
	// melt last have the larger heat (same source: 110.5 against 61.9 kJ/kg).
	materials.MilkFat: {80.8e3, []knot{
		{-40, 1}, {-30, 0.97}, {-20, 0.90}, {-10, 0.76}, {0, 0.58}, {5, 0.545}, {10, 0.45},
		{15, 0.30}, {20, 0.185}, {25, 0.10}, {30, 0.05}, {35, 0.012}, {38, 0}}},

	// Mixed pork fat melts between 36 and 45 °C (from memory).
	materials.Lard: {70e3, []knot{
		{-40, 1}, {-30, 0.95}, {-20, 0.80}, {-10, 0.57}, {0, 0.395}, {5, 0.34}, {10, 0.285},
		{15, 0.24}, {20, 0.20}, {25, 0.135}, {30, 0.06}, {35, 0.03}, {40, 0.015}, {45, 0}}},

	// Beef tallow melts between 40 and 50 °C (from memory).
	materials.Tallow: {110e3, tallowKnots(0)},

	// Chicken fat is clear at 30-32 °C, goose fat at 32-34 °C (from memory).
	materials.PoultryFat: {60e3, []knot{
		{-40, 1}, {-30, 0.94}, {-20, 0.76}, {-10, 0.50}, {0, 0.30}, {5, 0.24}, {10, 0.18},
		{15, 0.12}, {20, 0.07}, {25, 0.035}, {30, 0.01}, {34, 0}}},

	// Fish oils melt from -93 to 23 °C and take up 31.5-41.8 kJ/kg; 40-58 % never
	// crystallise: DSC study of triacylglycerides and four fish oils, Food Research
	// International (2014; Tolstorebrov, Eikevik and Bantle, names from memory).
	// Half a fat at 73 kJ/kg is the middle of that; the same group gives 50 kJ/kg
	// elsewhere.
	materials.FishOil: {73e3, []knot{
		{-92, 0.50}, {-70, 0.48}, {-60, 0.455}, {-50, 0.40}, {-40, 0.32}, {-30, 0.23}, {-20, 0.14},
		{-10, 0.07}, {0, 0.025}, {10, 0.008}, {23, 0}}},

	// Sheep fat is clear at 44-55 °C, some 4 K above beef tallow (from
	// memory); its curve is the tallow curve moved up by these 4 K, an estimate.
	materials.SheepFat: {110e3, tallowKnots(4)},

	// Olive oil has melted at 10.7 °C: Barba, Arrighetti and Calligaris (2013).
	// Plant oils take up 72 kJ/kg: compared with fish oils in a study of their glass
	// transition, SINTEF publication 1288882.
	materials.PlantOil: {72e3, []knot{
		{-45, 1}, {-30, 0.94}, {-20, 0.79}, {-10, 0.45}, {-5, 0.24}, {0, 0.09}, {5, 0.025}, {10.7, 0}}},

	// Stable crystals (form V) melt at 33.8 °C (Wille and Lutton 1966).
	materials.CocoaButter: {150e3, []knot{
		{-30, 1}, {-10, 0.975}, {0, 0.95}, {10, 0.89}, {15, 0.84}, {20, 0.77}, {25, 0.70},
		{30, 0.45}, {32.5, 0.13}, {35, 0.005}, {37, 0}}},

	// Coconut oil melts between 20 and 28 °C: Belitz, Food Chemistry, Tables 14.8-14.9.
	materials.CoconutOil: {112e3, []knot{
		{-20, 1}, {-10, 0.97}, {0, 0.915}, {5, 0.885}, {10, 0.785}, {15, 0.585}, {20, 0.35},
		{25, 0.025}, {28, 0}}},

	materials.PalmOil: {88e3, []knot{
		{-40, 1}, {-30, 0.97}, {-20, 0.90}, {-10, 0.77}, {0, 0.645}, {5, 0.605}, {10, 0.50},
		{15, 0.37}, {20, 0.24}, {25, 0.135}, {30, 0.085}, {35, 0.05}, {40, 0.025}, {45, 0}}},

	// All-purpose baking fat: a soft oil with a hard fat in it.
	materials.Shortening: {75e3, []knot{
		{-40, 1}, {-30, 0.95}, {-20, 0.79}, {-10, 0.55}, {0, 0.395}, {5, 0.355}, {10, 0.29},
		{15, 0.245}, {20, 0.20}, {25, 0.16}, {30, 0.125}, {35, 0.09}, {40, 0.055}, {45, 0.02}, {50, 0}}},

	// Margarine for laminated pastry is clear at about 54 °C (from
	// memory); its heat is put between those of palm oil and tallow.
	materials.PastryMargarine: {90e3, []knot{
		{-40, 1}, {-30, 0.97}, {-20, 0.90}, {-10, 0.76}, {0, 0.595}, {5, 0.56}, {10, 0.515},
		{15, 0.46}, {20, 0.40}, {25, 0.34}, {30, 0.26}, {35, 0.175}, {40, 0.10}, {45, 0.055},
		{50, 0.018}, {54, 0}}},
}

// tallowKnots is the curve of beef tallow, moved up by shift [K].
func tallowKnots(shift float64) []knot {
	ks := []knot{
		{-40, 1}, {-30, 0.98}, {-20, 0.92}, {-10, 0.80}, {0, 0.645}, {5, 0.605}, {10, 0.545},
		{15, 0.48}, {20, 0.41}, {25, 0.325}, {30, 0.25}, {35, 0.175}, {40, 0.105}, {45, 0.045}, {50, 0}}
	for i := range ks {
		ks[i].t += shift
	}
	return ks
}

// fatCurves are the monotone cubics through fatTable; nil where there is no fat.
// They are built once and only read afterwards.
var fatCurves = fitFats()

func fitFats() (curves [len(fatTable)]*interp.FritschButland) {
	for kind, d := range fatTable {
		n := len(d.knots)
		if n == 0 {
			continue
		}
		// A level stretch of 1 K on either side makes the slope zero at both
		// ends, so that the curve joins its constant continuations smoothly.
		t := []float64{d.knots[0].t - 1}
		s := []float64{d.knots[0].solid}
		for _, k := range d.knots {
			t, s = append(t, k.t), append(s, k.solid)
		}
		t, s = append(t, d.knots[n-1].t+1), append(s, d.knots[n-1].solid)
		fb := new(interp.FritschButland)
		if err := fb.Fit(t, s); err != nil {
			panic("phasechange: fat table: " + err.Error()) // a fault of the table above, met by every test
		}
		curves[kind] = fb
	}
	return curves
}

// FatSolid returns the share of a fat that is crystalline [kg/kg fat], 0 to 1, at
// the temperature t [°C], any value (NaN gives NaN).
//
// The curve is a monotone cubic (Fritsch and Butland 1984) through the usual solid
// fat contents of the tempered fat: 1 when very cold, 0 above the end of melting,
// with a continuous slope everywhere. The exception is fish oil, half of which
// never crystallises. It is the melting curve; fats crystallise some 5 to 20 K
// lower (common practice, no source) and that lag is not modelled. NoFat and
// unknown kinds count as liquid at every temperature and give 0.
//
// Sources stand beside the values in fats.go; most are from memory and true to
// about 0.05 kg/kg between 0 and 40 °C, less well known below.
func FatSolid(kind materials.FatKind, t float64) float64 {
	if math.IsNaN(t) {
		return math.NaN()
	}
	return fatSolid(kind, t)
}

// fatSolid is FatSolid for a temperature known to be a number.
func fatSolid(kind materials.FatKind, t float64) float64 {
	if int(kind) >= len(fatCurves) || fatCurves[kind] == nil {
		return 0
	}
	// Rounding may leave the cubic a few ulps outside its end values.
	return min(max(fatCurves[kind].Predict(t), 0), fatTable[kind].knots[0].solid)
}

// fatSlope is the derivative of fatSolid [1/K], never positive.
func fatSlope(kind materials.FatKind, t float64) float64 {
	if int(kind) >= len(fatCurves) || fatCurves[kind] == nil {
		return 0
	}
	return min(fatCurves[kind].PredictDerivative(t), 0)
}

// fatHeat is the heat of fusion [J/kg fat] of a fat that is all solid.
func fatHeat(kind materials.FatKind) float64 {
	if int(kind) >= len(fatTable) {
		return 0
	}
	return fatTable[kind].heat
}

// fatMelted is the heat [J/kg fat] taken up in melting on the way from the
// coldest state to t [°C]. Every crystal counts with the same heat, which puts a
// little too much of it at the cold end.
func fatMelted(kind materials.FatKind, t float64) float64 {
	heat := fatHeat(kind)
	if heat == 0 {
		return 0
	}
	return heat * (fatTable[kind].knots[0].solid - fatSolid(kind, t))
}
