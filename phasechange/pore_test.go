package phasechange

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestPoreConductivity holds the vapour's share in a pore against values computed
// from the same law by an independent program (Krischer's form, activity 1, 1 atm,
// diffusivity 2.26e-5 (T/273.15)^1.81 m²/s, 5 % above ours), as far as it holds.
func TestPoreConductivity(t *testing.T) {
	for _, p := range []struct{ at, k float64 }{{5, 0.0278}, {20, 0.0691}, {40, 0.205}, {50, 0.342}, {60, 0.571}, {70, 0.982}, {80, 1.84}} {
		air := StandardPressure - SaturationPressure(p.at)
		assert.InEpsilon(t, p.k, vapourInPores(p.at, StandardPressure)/air, 0.08, "%g °C", p.at)
	}
}

// TestVapourInDough: proofed dough near its boiling point conducts about 1.1 W/(m K),
// the top of the curve of Purlis & Salvadori (2009, from memory); cold, hardly more
// than without its vapour.
func TestVapourInDough(t *testing.T) {
	r, m := moistOf(t, "bread dough, proofed", Settings{})
	at := func(temp float64) (with, without float64) {
		c := MoistCell{T: temp}
		m.Evaluate(m.Energy(temp, r.Water()), r.Water(), &c)
		k, _ := r.moist.at(temp, r.Water())
		return c.K, k
	}
	with, _ := at(98)
	assert.InDelta(t, 1.1, with, 0.15)
	with, without := at(5)
	assert.Greater(t, with, without)
	assert.InDelta(t, without, with, 0.03)
}
