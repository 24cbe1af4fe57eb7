package phasechange

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// allFats is every kind of fat that melts.
var allFats = []materials.FatKind{
	materials.MilkFat, materials.Lard, materials.Tallow, materials.PoultryFat, materials.FishOil,
	materials.SheepFat, materials.PlantOil, materials.CocoaButter, materials.CoconutOil,
	materials.PalmOil, materials.Shortening, materials.PastryMargarine,
}

func TestFatSolidBands(t *testing.T) {
	// Usual spread of solid fat contents [%] of tempered fats by NMR, from memory.
	// The first column stands for 0 to 5 °C.
	columns := []float64{0, 10, 15, 20, 25, 30, 35, 40}
	tests := []struct {
		name string
		kind materials.FatKind
		band [8][2]float64
	}{
		{"milk fat", materials.MilkFat, [8][2]float64{{50, 58}, {38, 46}, {25, 32}, {15, 20}, {8, 11}, {4, 6}, {0.5, 2}, {0, 0}}},
		{"lard", materials.Lard, [8][2]float64{{33, 40}, {26, 31}, {22, 26}, {18, 22}, {12, 15}, {4, 8}, {2, 4}, {1, 2}}},
		{"tallow", materials.Tallow, [8][2]float64{{60, 65}, {52, 58}, {46, 50}, {38, 44}, {30, 35}, {22, 28}, {15, 20}, {8, 13}}},
		{"coconut oil", materials.CoconutOil, [8][2]float64{{88, 92}, {75, 82}, {55, 62}, {32, 38}, {0, 5}, {0, 0}, {0, 0}, {0, 0}}},
		{"palm oil", materials.PalmOil, [8][2]float64{{60, 65}, {47, 53}, {34, 40}, {22, 26}, {12, 15}, {7, 10}, {4, 6}, {1, 4}}},
		{"shortening", materials.Shortening, [8][2]float64{{35, 40}, {25, 32}, {22, 27}, {18, 22}, {14, 18}, {10, 15}, {7, 11}, {4, 7}}},
		{"pastry margarine", materials.PastryMargarine, [8][2]float64{{55, 60}, {48, 55}, {42, 50}, {35, 45}, {30, 38}, {22, 30}, {15, 20}, {8, 12}}},
	}
	for _, tt := range tests {
		for i, c := range columns {
			temps := []float64{c}
			if i == 0 {
				temps = []float64{0, 2.5, 5}
			}
			for _, temp := range temps {
				t.Run(fmt.Sprintf("%s at %g", tt.name, temp), func(t *testing.T) {
					got := 100 * FatSolid(tt.kind, temp)
					assert.GreaterOrEqual(t, got, tt.band[i][0]-1e-9)
					assert.LessOrEqual(t, got, tt.band[i][1]+1e-9)
				})
			}
		}
	}
}

func TestFatEndOfMelting(t *testing.T) {
	tests := []struct {
		name   string
		kind   materials.FatKind
		lo, hi float64 // [°C] published span of the end of melting
		source string
	}{
		{"milk fat", materials.MilkFat, 32, 38, "Abd El-Rahman et al. 1998: 35.6; encyclopedia: butter 32-35"},
		{"lard", materials.Lard, 36, 45, "encyclopedia: mixed fat 36-45"},
		{"tallow", materials.Tallow, 40, 50, "textbook: 40-50"},
		{"sheep fat", materials.SheepFat, 44, 55, "textbook: 44-55"},
		{"poultry fat", materials.PoultryFat, 30, 34, "textbook: chicken 30-32, goose 32-34"},
		{"cocoa butter", materials.CocoaButter, 28, 36, "Belitz, Food Chemistry, Tables 14.8-14.9: 28-36"},
		{"coconut oil", materials.CoconutOil, 20, 28, "Belitz: 20-28"},
		{"olive oil", materials.PlantOil, 8, 10.7, "Barba et al. 2013: melting completed at 10.7"},
		{"pastry margarine", materials.PastryMargarine, 50, 54, "baker's dictionary: 54"},
		{"fish oil", materials.FishOil, 0, 23, "Food Research International 2014: -92.6 to 23"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			// A capillary melting point is read with 1 to 2 % solid left.
			assert.Greater(t, FatSolid(tt.kind, tt.lo), 0.0, "still melting at the lower end (%s)", tt.source)
			assert.Less(t, FatSolid(tt.kind, tt.hi), 0.01, "clear at the upper end (%s)", tt.source)
		})
	}
}

func TestFatShape(t *testing.T) {
	for _, kind := range allFats {
		t.Run(kind.String(), func(t *testing.T) {
			coldest := fatSolid(kind, -120)
			if kind == materials.FishOil {
				// 40-58 % of the oil does not crystallise (Food Research International 2014).
				assert.InDelta(t, 0.51, coldest, 0.09)
			} else {
				assert.Equal(t, 1.0, coldest)
			}
			assert.Equal(t, 0.0, fatSolid(kind, 60))
			assert.Equal(t, 0.0, fatSolid(kind, 450))
			assert.Zero(t, fatSlope(kind, -120))
			assert.Zero(t, fatSlope(kind, 450))

			const step = 1.0 / 64
			previous := math.Inf(1)
			sum := 0.0
			for temp := -120.0; temp <= 80; temp += step {
				s := fatSolid(kind, temp)
				require.LessOrEqual(t, s, previous, "solid fraction rises at %g", temp)
				require.GreaterOrEqual(t, fatMelted(kind, temp), 0.0)
				// The slope is the derivative: central difference, whose error for a
				// cubic is step²/6 times a third derivative below 0.1 K⁻³, and an extra
				// step times the jump of the second derivative across a knot.
				const d = 1e-4
				diff := (fatSolid(kind, temp+d) - fatSolid(kind, temp-d)) / (2 * d)
				require.InDelta(t, diff, fatSlope(kind, temp), 1e-5, "slope at %g", temp)
				// Simpson's rule is exact for the piecewise quadratic slope.
				sum -= step / 6 * (fatSlope(kind, temp) + 4*fatSlope(kind, temp+step/2) + fatSlope(kind, temp+step))
				previous = s
			}
			assert.InDelta(t, coldest, sum, 1e-6, "the slope adds up to the whole melting")
			assert.InEpsilon(t, fatHeat(kind)*coldest, fatMelted(kind, 80), 1e-12)
			assert.Zero(t, fatMelted(kind, -120))
		})
	}
}

func TestFatSlopeContinuous(t *testing.T) {
	for kind, d := range fatTable {
		for _, k := range d.knots {
			const e = 1e-7
			below := fatSlope(materials.FatKind(kind), k.t-e)
			above := fatSlope(materials.FatKind(kind), k.t+e)
			assert.InDelta(t, below, above, 1e-6, "kind %d at %g", kind, k.t)
		}
	}
}

func TestFatHeat(t *testing.T) {
	tests := []struct {
		name   string
		kind   materials.FatKind
		lo, hi float64 // [J/kg] heat taken up over the whole of melting
		source string
	}{
		{"milk fat", materials.MilkFat, 80.8e3, 80.8e3, "Abd El-Rahman et al. 1998"},
		{"lard", materials.Lard, 50e3, 70e3, "from memory"},
		{"tallow", materials.Tallow, 70e3, 110e3, "from memory"},
		{"palm oil", materials.PalmOil, 80e3, 95e3, "from memory"},
		{"coconut oil", materials.CoconutOil, 105e3, 120e3, "from memory"},
		{"cocoa butter", materials.CocoaButter, 140e3, 157e3, "from memory"},
		{"fish oil", materials.FishOil, 31.5e3, 41.8e3, "Food Research International 2014"},
		{"plant oil", materials.PlantOil, 72e3, 72e3, "SINTEF publication 1288882"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := fatMelted(tt.kind, 60) - fatMelted(tt.kind, -120)
			assert.GreaterOrEqual(t, got, tt.lo-1e-6, tt.source)
			assert.LessOrEqual(t, got, tt.hi+1e-6, tt.source)
		})
	}
}

func TestMilkFatHalfMelted(t *testing.T) {
	// Half of the heat of anhydrous milk fat is taken up by 8.6 °C (Abd El-Rahman,
	// Shalabi and Kilara 1998). Ours counts every crystal with the same heat, which
	// may bring the half 2 K forward.
	heat := fatHeat(materials.MilkFat)
	assert.Less(t, fatMelted(materials.MilkFat, 6.6), heat/2)
	assert.Greater(t, fatMelted(materials.MilkFat, 10.6), heat/2)
}

func TestFatWithoutMelting(t *testing.T) {
	for _, kind := range []materials.FatKind{materials.NoFat, 200} {
		for _, temp := range []float64{-120, -10, 20, 450, math.Inf(1), math.Inf(-1)} {
			assert.Zero(t, FatSolid(kind, temp))
			assert.Zero(t, fatSlope(kind, temp))
			assert.Zero(t, fatMelted(kind, temp))
		}
		assert.Zero(t, fatHeat(kind))
	}
	assert.True(t, math.IsNaN(FatSolid(materials.Lard, math.NaN())))
	assert.Equal(t, 1.0, FatSolid(materials.Lard, math.Inf(-1)))
	assert.Equal(t, 0.0, FatSolid(materials.Lard, math.Inf(1)))
}

func BenchmarkFatMelted(b *testing.B) {
	for b.Loop() {
		fatMelted(materials.MilkFat, 12.3)
	}
}
