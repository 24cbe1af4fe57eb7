package phasechange

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/materials"
)

// Invented data: an enthalpy that is not smooth, from an enthalpy below 0.
var measuredPoints = []materials.Point{
	{T: -30, Enthalpy: -40e3, Conductivity: 1.6},
	{T: -10, Enthalpy: 10e3, Conductivity: 1.5},
	{T: -1, Enthalpy: 200e3, Conductivity: 0.6},
	{T: 20, Enthalpy: 275e3, Conductivity: 0.5},
	{T: 120, Enthalpy: 600e3, Conductivity: 0.55},
}

const measuredDensity = 1050.0

func measuredRelation(t *testing.T) *Relation {
	f, err := materials.FromEnthalpy("measured", measuredDensity, measuredPoints)
	require.NoError(t, err)
	return newRelation(t, f, Settings{})
}

func TestMeasuredPoints(t *testing.T) {
	r := measuredRelation(t)
	a := r.Anchor(0)
	lo, hi := r.Range()
	assert.Equal(t, [2]float64{-30, 120}, [2]float64{lo, hi})
	assert.Equal(t, measuredDensity, r.Density())
	for i, p := range measuredPoints {
		u := measuredDensity * (p.Enthalpy - measuredPoints[0].Enthalpy) // counted from the first point
		assert.InDelta(t, p.T, r.Temperature(u, &a), 1e-12*150)
		assert.InDelta(t, u, r.Energy(p.T, &a), 1e-6)
		assert.InDelta(t, p.Conductivity, r.Conductivity(p.T, &a), 1e-12)
		if i == 0 {
			continue
		}
		// straight lines between the points, everywhere
		q := measuredPoints[i-1]
		slope := (p.Enthalpy - q.Enthalpy) / (p.T - q.T)
		for _, x := range []float64{0.01, 0.25, 0.5, 0.99} {
			temp := q.T + x*(p.T-q.T)
			assert.InDelta(t, q.Enthalpy-measuredPoints[0].Enthalpy+slope*(temp-q.T), r.Energy(temp, &a)/measuredDensity, 1e-6)
			assert.InDelta(t, q.Conductivity+x*(p.Conductivity-q.Conductivity), r.Conductivity(temp, &a), 1e-12)
			assert.InEpsilon(t, slope*measuredDensity, r.HeatCapacity(temp, &a), 1e-9)
			assert.InDelta(t, temp, r.Temperature(r.Energy(temp, &a), &a), 1e-9)
		}
	}
	assert.InEpsilon(t, 190e3, r.Enthalpy(-1, -10), 1e-9)
}

// Beyond the points the last heat capacity goes on and the conductivity stays.
func TestMeasuredBeyond(t *testing.T) {
	r := measuredRelation(t)
	a := r.Anchor(0)
	for _, c := range []struct{ end, enthalpy, slope, k float64 }{
		{-30, -40e3, 50e3 / 20, 1.6}, {120, 600e3, 325e3 / 100, 0.55},
	} {
		for _, d := range []float64{0.1, 50, 1000} {
			temp := c.end + math.Copysign(d, c.end)
			assert.InEpsilon(t, measuredDensity*(c.enthalpy-measuredPoints[0].Enthalpy+c.slope*(temp-c.end)), r.Energy(temp, &a), 1e-9)
			assert.InEpsilon(t, temp, r.Temperature(r.Energy(temp, &a), &a), 1e-9)
			assert.InEpsilon(t, measuredDensity*c.slope, r.HeatCapacity(temp, &a), 1e-9)
			assert.InDelta(t, c.k, r.Conductivity(temp, &a), 1e-12)
		}
	}
}

// A measured food is taken as it stands: no ice, no steam, no water of its own.
func TestMeasuredHasNoPhases(t *testing.T) {
	r := measuredRelation(t)
	a := r.Anchor(500)
	assert.Zero(t, a.Water())
	assert.Zero(t, r.Water())
	assert.Zero(t, r.Bound())
	assert.Zero(t, r.WaterHeld(200, 500))
	assert.True(t, math.IsInf(a.BoilingPoint(), 1))
	assert.True(t, math.IsInf(a.FreezingPoint(), -1))
	_, known := r.WaterActivity(500)
	assert.False(t, known)
	var hint int32
	for _, temp := range []float64{-60, -20, 0, 100, 300} {
		assert.Zero(t, r.Ice(temp, &a))
		before, u := a, r.Energy(temp, &a)
		assert.Equal(t, u, r.Settle(u, &a, &hint))
		assert.Equal(t, before, a)
	}
}

// Evaluate takes measured foods like others.
func TestMeasuredEvaluate(t *testing.T) {
	r := measuredRelation(t)
	n := 50
	u, a, hints := make([]float64, n), make([]Anchor, n), make([]int32, n)
	to := newStates(n)
	for i := range u {
		a[i] = r.Anchor(0)
		u[i] = r.Energy(-50+4*float64(i), &a[i])
	}
	r.Evaluate(u, a, hints, to)
	for i := range u {
		require.InDelta(t, -50+4*float64(i), to.T[i], 1e-9)
		require.InEpsilon(t, 1/r.HeatCapacity(to.T[i], &a[i]), to.TU[i], 1e-9)
		require.InDelta(t, r.Conductivity(to.T[i], &a[i]), to.K[i], 1e-9)
	}
}
