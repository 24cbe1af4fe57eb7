package materials

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTransportLaws(t *testing.T) {
	w := Transport{Diffusivity: 2e-10, Activation: 30e3, HalfMoisture: 0.5, Permeability: 4e-14, MeltedFat: 11}
	require.NoError(t, w.Validate())
	assert.InEpsilon(t, 2e-10, w.LiquidDiffusivity(25, math.Inf(1)), 1e-12)
	assert.InEpsilon(t, 1e-10, w.LiquidDiffusivity(25, 0.5), 1e-12)
	assert.InEpsilon(t, 1e-10/6*2, w.LiquidDiffusivity(25, 0.1), 1e-12)
	// exp(30e3/8.314463 (1/298.15 - 1/348.15)) by another program.
	assert.InEpsilon(t, 5.686098e-10, w.LiquidDiffusivity(75, 0.5), 1e-6)
	w.HalfMoisture = 0
	assert.InEpsilon(t, 2e-10, w.LiquidDiffusivity(25, 0), 1e-12)

	assert.InEpsilon(t, 4e-14, w.VapourPermeability(25, 0), 1e-12)
	assert.InEpsilon(t, 44e-14, w.VapourPermeability(25, 1), 1e-12)
	assert.InEpsilon(t, 24e-14, w.VapourPermeability(25, 0.5), 1e-12)
	assert.InEpsilon(t, 4e-14*math.Pow(1.1, 0.8), w.VapourPermeability(1.1*298.15-273.15, 0), 1e-9)
	w.MeltedFat = 0
	assert.InEpsilon(t, 4e-14, w.VapourPermeability(25, 1), 1e-12)
}

// Whatever is asked, the answer is a finite number that is not negative, or NaN
// for NaN.
func TestTransportAtTheEdges(t *testing.T) {
	edges := []float64{math.Inf(-1), -1e300, -273.15, -40, 0, 25, 400, 1e300, math.Inf(1)}
	for _, w := range []Transport{
		{}, {Diffusivity: 1e-6, Activation: 2e5, HalfMoisture: 10, Permeability: 2.5e-10, MeltedFat: 1000},
		{Diffusivity: 1e-9, Activation: 0, HalfMoisture: 0.5, Permeability: 1e-15, MeltedFat: 1},
	} {
		require.NoError(t, w.Validate())
		lastD := 0.0
		for _, temp := range edges {
			last := 0.0
			for _, x := range edges {
				d, p := w.LiquidDiffusivity(temp, x), w.VapourPermeability(temp, x)
				assert.False(t, math.IsNaN(d) || math.IsInf(d, 0) || d < 0, "%+v: D(%v, %v) = %v", w, temp, x, d)
				assert.False(t, math.IsNaN(p) || p < 0, "%+v: permeability(%v, %v) = %v", w, temp, x, p)
				assert.GreaterOrEqual(t, d, last)
				last = d
			}
			assert.GreaterOrEqual(t, last, lastD, "%+v at %v", w, temp)
			lastD = last
		}
		w.HalfMoisture = 1
		assert.True(t, math.IsNaN(w.LiquidDiffusivity(math.NaN(), 1)))
		assert.True(t, math.IsNaN(w.LiquidDiffusivity(20, math.NaN())))
		assert.True(t, math.IsNaN(w.VapourPermeability(math.NaN(), 1)))
	}
}

func TestTransportFaults(t *testing.T) {
	nan := math.NaN()
	for _, test := range []struct {
		field string
		w     Transport
	}{
		{"diffusivity", Transport{Diffusivity: -1e-9}}, {"diffusivity", Transport{Diffusivity: 1e-5}}, {"diffusivity", Transport{Diffusivity: nan}},
		{"activation", Transport{Activation: -1}}, {"activation", Transport{Activation: 3e5}}, {"activation", Transport{Activation: math.Inf(1)}},
		{"half moisture", Transport{HalfMoisture: -1}}, {"half moisture", Transport{HalfMoisture: 11}},
		{"permeability", Transport{Permeability: 3e-10}}, {"permeability", Transport{Permeability: nan}},
		{"melted fat", Transport{MeltedFat: 0.5}}, {"melted fat", Transport{MeltedFat: 1001}}, {"melted fat", Transport{MeltedFat: nan}}, {"melted fat", Transport{MeltedFat: -1}},
	} {
		err := test.w.Validate()
		var bad *TransportError
		require.True(t, errors.As(err, &bad), "%+v", test.w)
		assert.Equal(t, test.field, bad.Field)
		f := sirloin()
		f.Transport = &test.w
		var food *FoodError
		require.True(t, errors.As(f.Validate(), &food))
		assert.Equal(t, test.field, food.Field)
		assert.True(t, errors.As(f.Validate(), &bad))
	}
	assert.EqualError(t, Transport{Diffusivity: 1}.Validate(), "materials: water transport: diffusivity 1, want 0 to 1e-6 m²/s")
}

// Künzel (1995, from memory): 2.0e-7 T^0.81/p for still air. The diffusivity of
// the Lewis relation is 7 to 9 % lower.
func TestAirPermeability(t *testing.T) {
	for _, temp := range []float64{0, 25, 60, 100} {
		kuenzel := 2.0e-7 * math.Pow(temp+273.15, 0.81) / 101325
		assert.InEpsilon(t, kuenzel, AirPermeability(temp, 101325), 0.1, "%v °C", temp)
	}
	assert.InEpsilon(t, 1.838e-10, AirPermeability(25, 101325), 1e-3)
	assert.InEpsilon(t, 2*AirPermeability(40, 101325), AirPermeability(40, 101325.0/2), 1e-12)
}

func TestUsualTransport(t *testing.T) {
	for _, f := range Foods() {
		w, given := f.WaterTransport()
		require.NoError(t, w.Validate(), f.Name)
		assert.Equal(t, f.Transport != nil, given, f.Name)
		assert.NotEmpty(t, w.Source, f.Name)
		for _, temp := range []float64{-20, 20, 100} {
			// Nothing lets water through better than water and air do. Water by itself:
			// 2.3e-9 m²/s at 25 °C with 18 kJ/mol (Mills 1973, from memory); some foods
			// rise faster and pass it a little near 100 °C.
			d := w.LiquidDiffusivity(temp, 20)
			assert.Less(t, d, 1.6*2.3e-9*math.Exp(18e3/gasConstant*(1/298.15-1/(temp+273.15))), "%s at %v", f.Name, temp)
			assert.Less(t, w.VapourPermeability(temp, 1), AirPermeability(temp, 101325), f.Name)
		}
		switch {
		case f.Composition.Fat >= nearlyAllFat:
			assert.Zero(t, w.Diffusivity, f.Name)
			assert.Less(t, w.VapourPermeability(20, 1), 2e-13, f.Name)
		case f.Structure == OpenPores:
			pores := filmPermeability + PoresPass*math.Pow(f.Porosity, 1.5)*AirPermeability(20, 101325)
			assert.InDelta(t, pores, w.VapourPermeability(20, 0), 1e-12, f.Name)
		}
	}
	// Pores conduct by the law of air at every temperature.
	crumb := MustFind("white bread")
	w, _ := crumb.WaterTransport()
	share := w.VapourPermeability(25, 0) / AirPermeability(25, 101325)
	assert.InDelta(t, PoresPass*math.Pow(0.78, 1.5), share, 0.002)
	assert.InEpsilon(t, share, w.VapourPermeability(95, 0)/AirPermeability(95, 101325), 1e-9)

	along, across := sirloin(), sirloin()
	along.Structure, across.Structure = FibreAlong, FibreAcross
	a, _ := along.WaterTransport()
	b, _ := across.WaterTransport()
	assert.Greater(t, a.LiquidDiffusivity(20, 3), b.LiquidDiffusivity(20, 3))

	given := Transport{Diffusivity: 1e-10, Source: "mine"}
	along.Transport = &given
	w, ok := along.WaterTransport()
	assert.True(t, ok)
	assert.Equal(t, given, w)

	curve, err := FromEnthalpy("curve", 1000, []Point{{0, 0, 1}, {1, 1, 1}})
	require.NoError(t, err)
	w, ok = curve.WaterTransport()
	assert.False(t, ok)
	assert.Zero(t, w.LiquidDiffusivity(20, 1)+w.VapourPermeability(20, 1))
	w, _ = Food{Structure: 99, Porosity: math.NaN()}.WaterTransport()
	assert.NoError(t, w.Validate())
}

// held compares ours with a published range; a row with a limit must lie outside,
// or the limit is no more and goes.
func held(t *testing.T, r row, ours float64) {
	low, high, factor := r.number(t, "low"), r.number(t, "high"), r.number(t, "factor")
	t.Logf("%-25s %5s °C %5s%s: %.2e, published %.2e to %.2e", r["food"], r["t"], r["moisture"], r["melted"], ours, low, high)
	if within := ours >= low/factor && ours <= high*factor; r["limit"] == "" {
		assert.True(t, within, "%v: ours %.3g", r, ours)
	} else {
		assert.False(t, within, "no longer a limit: %v: ours %.3g", r, ours)
	}
}

func TestPublishedDiffusivities(t *testing.T) {
	saturation := func(temp float64) float64 { return 610.78 * math.Exp(17.2694*temp/(temp+237.3)) } // [Pa] Tetens
	for _, r := range published(t, "water-transport/diffusivity.csv") {
		f := MustFind(r["food"])
		temp, x := r.number(t, "t"), r.number(t, "moisture")
		w, _ := f.WaterTransport()
		// Vapour moves down the gradient of pressure, here of activity alone.
		const step = 1e-4
		slope := (f.Isotherm.Activity(x+step) - f.Isotherm.Activity(x-step)) / (2 * step)
		// Samples shrink as they dry, those with pores keep them.
		c := f.Composition
		dry := c.Protein + c.Carbohydrate + c.Fibre + c.Ash
		sample, err := f.WithWater(x * dry / (x*dry + c.Solids()))
		require.NoError(t, err)
		c = sample.Composition
		solids := sample.Density() * (c.Protein + c.Carbohydrate + c.Fibre + c.Ash) // [kg/m³]
		held(t, r, w.LiquidDiffusivity(temp, x)+w.VapourPermeability(temp, 0)*saturation(temp)*slope/solids)
	}
	// Mills (1973, from memory): water in water.
	w, _ := MustFind("water").WaterTransport()
	assert.InEpsilon(t, 2.3e-9, w.LiquidDiffusivity(25, 1e9), 1e-6)
}

func TestPublishedPermeabilities(t *testing.T) {
	for _, r := range published(t, "water-transport/permeability.csv") {
		w, _ := MustFind(r["food"]).WaterTransport()
		held(t, r, w.VapourPermeability(r.number(t, "t"), r.number(t, "melted")))
	}
}

func TestTransportDoesNotAllocate(t *testing.T) {
	w, _ := MustFind("white bread").WaterTransport()
	h := MustFind("beef round, raw").Holding
	var sum float64
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		sum += w.LiquidDiffusivity(60, 0.5) + w.VapourPermeability(60, 0.5) + h.Kept(62) + h.Rate(62)
	}))
	assert.Greater(t, sum, 0.0)
}
