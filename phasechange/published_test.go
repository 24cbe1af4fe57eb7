package phasechange

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

func printed(t *testing.T, example, quantity string) float64 {
	for _, r := range published(t, "ashrae-worked-examples/examples.csv") {
		if r["example"] == example && r["quantity"] == quantity {
			return r.number(t, "printed")
		}
	}
	require.Fail(t, "not in the file", "%s, %s", example, quantity)
	return 0
}

// complete scales the solids so that they and the water as printed make 1.
func complete(c materials.Composition) materials.Composition {
	s := (1 - c.Water) / c.Solids()
	c.Protein *= s
	c.Fat *= s
	c.Carbohydrate *= s
	c.Fibre *= s
	c.Ash *= s
	return c
}

// Thermal Properties of Foods, example 1: water 0.58, freezing point -1.7 °C, at
// -20 °C. Printed with two digits.
func TestIceInBeefCarcass(t *testing.T) {
	f := materials.Food{Name: "beef carcass", FreezingPoint: -1.7,
		Composition: materials.Composition{Water: 0.58, Protein: 0.18, Fat: 0.23, Ash: 0.01}}
	r := newRelation(t, f, Settings{IceCurve: Tchigeov})
	a := r.Anchor(r.Water())
	got := r.Ice(-20, &a) / r.Density()
	assert.InDelta(t, printed(t, "ice in a beef carcass", "ice fraction at -20 °C"), got, 0.005)
	assert.InDelta(t, 0.5164, got, 5e-5, "recomputed")
	// 150 kg: 78 kg frozen and 9 kg unfrozen, from the rounded fraction
	assert.InDelta(t, 78, 150*got, 0.6)
	assert.InDelta(t, 9, 150*(0.58-got), 0.6)
}

// Example 2: 150 kg of lean lamb, without the melting of fat that the handbook
// does not count.
func TestCoolingLamb(t *testing.T) {
	f := materials.Food{Name: "lamb", Composition: complete(materials.Composition{Water: 0.7342, Protein: 0.2029, Fat: 0.0525, Ash: 0.0106})}
	r := newRelation(t, f, Settings{})
	want := printed(t, "cooling lamb", "heat from 10 to 0 °C for 150 kg")
	assert.InEpsilon(t, want, 150*r.Enthalpy(10, 0)/1e3, 2e-3)
	f.FatKind = materials.SheepFat
	r = newRelation(t, f, Settings{})
	melting := 150*r.Enthalpy(10, 0)/1e3/want - 1
	t.Logf("with the melting of its fat: %+.1f %%", 100*melting)
	assert.Greater(t, melting, 0.0)
}

// Example 3: a beef carcass with a freezing point of -1.7 °C and bound water of
// 0.4 of the protein, from 10 to -20 °C. The handbook takes Schwartzberg's
// enthalpy with a frozen specific heat of 1.55 + 1.26 xs kJ/(kg K), and 4.19 - 2.30
// xs - 0.628 xs³ above freezing; here heats are those of the components, of ice at
// its temperature, and the heat of fusion of each temperature.
func TestFreezingBeefCarcass(t *testing.T) {
	f := materials.Food{Name: "beef carcass", FreezingPoint: -1.7,
		Composition: complete(materials.Composition{Water: 0.5821, Protein: 0.1748, Fat: 0.2255, Ash: 0.0082})}
	bound := 0.4 * 0.1748
	f.BoundWater = &bound
	const example = "freezing a beef carcass"
	parts := []struct {
		quantity string
		from, to float64
		within   float64
	}{
		{"heat from 10 to -20 °C", 10, -20, 0.02},
		{"heat from 10 °C to the freezing point", 10, -1.7, 0.05},
		{"heat from the freezing point to -20 °C", -1.7, -20, 0.02},
	}
	for _, fat := range []materials.FatKind{materials.NoFat, materials.Tallow} {
		f.FatKind = fat
		r := newRelation(t, f, Settings{})
		for _, p := range parts {
			want, got := printed(t, example, p.quantity), r.Enthalpy(p.from, p.to)/1e3
			t.Logf("fat %s, %s: %.2f, printed %.2f, %+.1f %%", fat, p.quantity, got, want, 100*(got/want-1))
			if fat == materials.NoFat {
				assert.InEpsilon(t, want, got, p.within, p.quantity)
			}
		}
	}
}

// Cooling and Freezing Times of Foods, example 3: lean sirloin between its
// freezing point and -10 °C, by Chen's equation there.
func TestFreezingBeefBlock(t *testing.T) {
	f := materials.Food{Name: "beef sirloin", FreezingPoint: -1.7,
		Composition: complete(materials.Composition{Water: 0.717, Protein: 0.2124, Fat: 0.044, Ash: 0.0108})}
	r := newRelation(t, f, Settings{})
	want, got := printed(t, "freezing a beef block", "heat from the freezing point to -10 °C"), r.Enthalpy(-1.7, -10)/1e3
	t.Logf("%.1f, printed %.1f, %+.1f %%", got, want, 100*(got/want-1))
	assert.InEpsilon(t, want, got, 0.02)
}

// Examples 4 and 5: lean pork shoulder at -40 °C with ice by Tchigeov. Components
// take their volume at 20 °C here, at -40 °C there.
func TestFrozenPork(t *testing.T) {
	f := materials.Food{Name: "pork", FreezingPoint: -2.2,
		Composition: complete(materials.Composition{Water: 0.7263, Protein: 0.1955, Fat: 0.0714, Ash: 0.0102})}
	r := newRelation(t, f, Settings{IceCurve: Tchigeov})
	a := r.Anchor(r.Water())
	const example = "pork at -40 °C"
	ice := r.Ice(-40, &a) / r.Density()
	assert.InDelta(t, printed(t, example, "ice"), ice, 1e-4)
	assert.InDelta(t, printed(t, example, "liquid water"), f.Composition.Water-ice, 1e-4)
	assert.InEpsilon(t, printed(t, example, "conductivity, Levy"), r.Conductivity(-40, &a), 0.02)
}

// frozenFood is the food that stands for a row, brought to its water.
func frozenFood(t *testing.T, r row) materials.Food {
	f, err := materials.Find(r["model"])
	require.NoError(t, err)
	water := r.number(t, "water") / 100
	if r["by"] == "shell" {
		// With a freezing point of its own a food without water brings no solutes.
		shell := materials.Food{Name: "shell", Composition: materials.Composition{Ash: 1}, FreezingPoint: -1}
		part := 1 - water/f.Composition.Water
		f, err = materials.Mix(r["measured"], materials.Part{Food: f, Mass: 1 - part}, materials.Part{Food: shell, Mass: part})
	} else {
		require.Equal(t, "water", r["by"])
		f, err = f.WithWater(water)
	}
	require.NoError(t, err)
	require.InDelta(t, water, f.Composition.Water, 1e-12)
	return f
}

// Riedel's enthalpies of frozen foods, which are from memory. Only the whole heat
// from -40 to 0 °C of the rows that are consistent in themselves is asserted, to
// the 10 % that Pham (1996) gives for such models; the rest is told.
func TestFrozenEnthalpy(t *testing.T) {
	sums := map[IceCurve]*[3]float64{}
	rows := published(t, "ashrae-worked-examples/frozen-enthalpy.csv")
	asserted := 0
	for _, row := range rows {
		f := frozenFood(t, row)
		for _, c := range allCurves {
			r := newRelation(t, f, Settings{IceCurve: c})
			total := row.number(t, "0")
			got := r.Enthalpy(0, -40) / 1e3
			var mean, rms, n float64
			var most worst
			for column := range row {
				temp, err := strconv.ParseFloat(column, 64)
				if err != nil || temp <= -40 || temp > -5 {
					continue // near the freezing point a tenth of a kelvin is worth as much
				}
				d := (r.Enthalpy(temp, -40)/1e3 - row.number(t, column)) / total
				mean += d
				rms += d * d
				most.see(math.Abs(d), "%g °C", temp)
				n++
			}
			mean, rms = mean/n, math.Sqrt(rms/n)
			t.Logf("%-22s %-14s tf %5.2f: H(0)-H(-40) %3.0f, measured %3.0f, %+5.1f %%; -30 to -5 °C, share of that: mean %+5.1f, rms %4.1f, most %4.1f %% at %s",
				row["measured"], c, f.InitialFreezingPoint(), got, total, 100*(got/total-1), 100*mean, 100*rms, 100*most.value, most.where)
			if sums[c] == nil {
				sums[c] = &[3]float64{}
			}
			s := sums[c]
			s[0] += (got/total - 1) / float64(len(rows))
			s[1] += mean / float64(len(rows))
			s[2] += rms * rms / float64(len(rows))
			if c == BoundWater && strings.HasSuffix(row["status"], "consistent") {
				asserted++
				assert.InEpsilon(t, total, got, 0.10, row["measured"])
			}
		}
	}
	for _, c := range allCurves {
		t.Logf("%-14s all foods: H(0)-H(-40) mean %+.1f %%; -30 to -5 °C mean %+.1f, rms %.1f %%", c, 100*sums[c][0], 100*sums[c][1], 100*math.Sqrt(sums[c][2]))
	}
	assert.Equal(t, 9, asserted)
}
