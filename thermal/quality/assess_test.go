package quality

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
	"example.com/thawfront/thermal/kinetics"
)

// A layer whose peak is a straight line from 40 °C inside to 80 °C outside: shares,
// rim and spread follow by hand, of a slab and, by squares of the radius, of a
// cylinder.
func TestStraightProfile(t *testing.T) {
	const thickness = 0.02
	for _, c := range []struct {
		name  string
		shape geometry.Shape
		power float64 // volume goes with x to this power
	}{{"slab", geometry.HalfSlab{}, 1}, {"cylinder", geometry.Cylinder{}, 2}} {
		t.Run(c.name, func(t *testing.T) {
			run := insulated(t, c.shape, block(t), thickness,
				thermal.Profile(func(x float64) float64 { return 40 + 40*x/thickness }), time.Microsecond)
			r := assess(t, run, Layer{Name: "all", Kind: Meat, Scales: []Scale{KitchenMeat()}, Overcooked: []Step{{Name: "hot", From: 70}}})
			within := func(temperature float64) float64 { return math.Pow((temperature-40)/40, c.power) }
			d := r.Layers[0].Doneness[0]
			bounds := []float64{40, 46, 49, 54, 60, 65, 70, 80}
			require.Len(t, d.Bands, len(bounds)-1)
			for k, band := range d.Bands {
				assert.InDelta(t, within(bounds[k+1])-within(bounds[k]), band.Share, 1e-3, band.Name)
			}
			medium, known := d.Share("medium")
			assert.True(t, known)
			assert.Equal(t, d.Bands[4].Share, medium)
			_, known = d.Share("burnt")
			assert.False(t, known)

			rim := r.Layers[0].Rims[0]
			assert.InDelta(t, thickness/4, *rim.Width, 1e-5)
			assert.InDelta(t, 1-within(70), *rim.Share, 1e-3)
			share, width, err := run.PeakAbove("all", 70)
			require.NoError(t, err)
			assert.InDelta(t, share, *rim.Share, 1e-12)
			assert.InDelta(t, width, *rim.Width, 1e-12)

			// of a line over x, the moments by volume
			n := c.power
			mean := n / (n + 1)
			peak := r.Layers[0].Peak
			assert.InDelta(t, 40+40*mean, peak.Mean, 0.02)
			assert.InDelta(t, 40*math.Sqrt(n/(n+2)-mean*mean), peak.Deviation, 0.05)
			cells := run.End().Cells()
			assert.InDelta(t, 40+40*cells[0].X/thickness, peak.Least, 1e-3)
			assert.InDelta(t, 40+40*cells[len(cells)-1].X/thickness, peak.Most, 1e-3)
		})
	}
}

// What is at a step's figure has reached it.
func TestAtTheLimit(t *testing.T) {
	run := held(t, 60, time.Second)
	peak := run.Peaks()[0]
	own := Scale{Name: "own", Source: "test", Below: "less", Steps: []Step{{Name: "at least", From: peak}}}
	r := assess(t, run, Layer{Name: "all", Scales: []Scale{own}, Overcooked: []Step{{Name: "at least", From: peak}, {Name: "more", From: math.Nextafter(peak, 100)}}})
	share, _ := r.Layers[0].Doneness[0].Share("at least")
	assert.Equal(t, 1.0, share)
	assert.Equal(t, 1.0, *r.Layers[0].Rims[0].Share)
	assert.Equal(t, 0.0, *r.Layers[0].Rims[1].Share)
	assert.Equal(t, 0.0, *r.Layers[0].Rims[1].Width)
	assert.Equal(t, 0.0, r.Layers[0].Peak.Deviation)
}

// At a constant temperature half of a protein has set after ln 2/k: Myosin, then
// collagen at 58 °C, actin at 70 °C with 0.1 a minute (Kajitani, Fukuoka & Sakai
// 2011), 6.93 min.
func TestProteinHalfTimes(t *testing.T) {
	half := func(q kinetics.Quantity, at float64) time.Duration {
		k := q.Law.(kinetics.FirstOrder).Rate.At(at)
		return time.Duration(math.Ln2 / k * 1e9)
	}
	assert.InDelta(t, 6.93, half(kinetics.Actin(), 70).Minutes(), 0.01)
	for _, c := range []struct {
		q             kinetics.Quantity
		at            float64
		before, after string
	}{
		{kinetics.Myosin(), 58, "raw", "myosin set"},
		{kinetics.Collagen(), 58, "myosin set", "collagen shrunk"},
		{kinetics.Actin(), 70, "collagen shrunk", "actin set"},
	} {
		for _, late := range []bool{false, true} {
			share, want := 0.99, c.before
			if late {
				share, want = 1.01, c.after
			}
			r := assess(t, held(t, c.at, time.Duration(share*float64(half(c.q, c.at)))), Layer{Name: "all", Kind: Meat})
			got, known := r.Layer("all").Doneness[1].Share(want)
			assert.True(t, known)
			assert.InDelta(t, 1, got, 1e-9, "%s at %g °C, late %v: %v", c.q.Name, c.at, late, r.Layers[0].Doneness[1])
		}
	}
}

// Half-times of the colour of bread crust (Zanoni, Peri & Bruno 1995: 22.8 min at
// 150, 3.3 min at 200 °C), and its lightness at 150 °C with the water activity that is
// assumed of a measured food (Purlis & Salvadori 2009, from memory).
func TestCrustHalfTimes(t *testing.T) {
	for at, minutes := range map[float64]float64{150: 22.8, 200: 3.3} {
		r := assess(t, held(t, at, thermal.Minutes(minutes)), Layer{Name: "all", Kind: Dough})
		c := r.Surface.Difference
		require.NotNil(t, c)
		assert.InDelta(t, 26, c.Surface, 26*math.Ln2*0.05/minutes+0.05, "%g °C", at)
		assert.InDelta(t, c.Surface, c.Outer, 1e-9, "level")
		assert.Equal(t, OuterDepth, c.Depth)
		if at == 150 {
			// between the rates printed for water activities of 0.2 and 0.4, by 0.0141 and 0.0129 a minute
			assert.Greater(t, r.Surface.Lightness.Surface, 85*math.Exp(-0.01415*minutes))
			assert.Less(t, r.Surface.Lightness.Surface, 85*math.Exp(-0.01285*minutes))
		}
		assert.Nil(t, r.Surface.Dry)
		assert.Nil(t, r.Surface.Crisp)
	}
}

// 98 % of the starch of bread dough has gelatinised after 2.3 min at 90 °C, 74 s at
// 95 °C (from Zanoni et al. 1995, from memory).
func TestCrumbSets(t *testing.T) {
	for at, seconds := range map[float64]float64{90: 2.3 * 60, 95: 74} {
		for factor, set := range map[float64]bool{0.97: false, 1.03: true} {
			r := assess(t, held(t, at, time.Duration(factor*seconds*1e9)), Layer{Name: "all", Kind: Dough})
			require.NotNil(t, r.Layers[0].Starch)
			assert.Equal(t, set, r.Layers[0].Starch.Set, "%g °C, %g: %v", at, factor, r.Layers[0].Starch)
			assert.InDelta(t, CrumbSet, r.Layers[0].Starch.Least, 0.005)
		}
	}
}

// The mean colour of the outer millimetre, by hand: that of cells weighed by their
// overlap with it. A layer that is thinner counts as a whole.
func TestOuterColour(t *testing.T) {
	run := wrapped(t, 220, false, 25*time.Minute)
	followed, err := kinetics.Follow(run, nil, Quantities(roast...)...)
	require.NoError(t, err)
	r, err := Assess(run, followed, roast...)
	require.NoError(t, err)
	values, err := followed.Cells(kinetics.CrustColour().Name)
	require.NoError(t, err)
	c := r.Surface.Difference
	assert.Equal(t, values[len(values)-1], c.Surface)
	const radius = 0.025
	var sum, reached float64
	cells := run.End().Cells()
	for i := len(cells) - 1; reached < OuterDepth; i-- {
		depth := min(2*(radius-reached-cells[i].X)+reached, OuterDepth) // nodes are in the middle of their cells
		sum += (depth - reached) * values[i]
		reached = depth
	}
	assert.InEpsilon(t, sum/OuterDepth, c.Outer, 0.02)
	assert.Less(t, c.Outer, c.Surface)
	assert.Greater(t, r.Surface.Lightness.Outer, r.Surface.Lightness.Surface)

	thin := insulated(t, geometry.HalfSlab{}, block(t), 0.0004, thermal.Uniform(150), time.Minute)
	assert.Equal(t, 0.0004, assess(t, thin, Layer{Name: "all", Kind: Dough}).Surface.Difference.Depth)
}

// Water is what the layers' own sums say, and the crust what its state says.
func TestWaterAndCrust(t *testing.T) {
	run := wrapped(t, 220, true, 30*time.Minute)
	r := assess(t, run, roast...)
	before, after := run.At(0).Layers(), run.End().Layers()
	for l, part := range r.Layers {
		require.NotNil(t, part.Water.Kept, part.Name)
		assert.InEpsilon(t, after[l].Water/before[l].Water, *part.Water.KeptInRun, 1e-9)
		water := run.Dish.Layers[l].Food.Composition.Water
		assert.InEpsilon(t, after[l].Water/(before[l].Mass*water), *part.Water.Kept, 1e-3, part.Name)
		assert.Equal(t, run.Juices()[l].Mass, *part.Water.Juice)
		assert.Empty(t, part.Unknown)
	}
	assert.Less(t, *r.Layer("meat").Water.Kept, 1.0)
	assert.Positive(t, *r.Layer("meat").Water.Juice)
	assert.Equal(t, "crust", r.Surface.Layer)
	assert.Empty(t, r.Surface.Unknown)
	assert.False(t, *r.Surface.Crisp, "the meat's juice has soaked it")
	assert.Zero(t, r.Surface.Dry.Thickness)

	bare, err := thermal.Simulate(t.Context(), thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(5),
		Layers: []thermal.Layer{{Name: "crust", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.005}}},
		thermal.Schedule{{Medium: thermal.FanOven(220), Until: thermal.Elapsed(25 * time.Minute)}}, &thermal.Settings{Cells: 40, Moisture: true})
	require.NoError(t, err)
	surface := assess(t, bare, roast[1]).Surface
	crust := bare.End().Crust(thermal.Crispness)
	require.Positive(t, crust.Thickness)
	assert.Equal(t, Dry{crust.Thickness, crust.Water, crust.Activity}, *surface.Dry)
	assert.True(t, *surface.Crisp)
	assert.Less(t, *surface.Activity, thermal.Crispness)

	chained := run.Dish
	chained.Start = thermal.From(run)
	again := insulatedAgain(t, chained)
	part := assess(t, again, roast...).Layer("meat")
	assert.InDelta(t, *r.Layer("meat").Water.Kept, *part.Water.Kept, 0.05, "the whole chain counts")
	assert.Greater(t, *part.Water.KeptInRun, *part.Water.Kept)
}

func insulatedAgain(t *testing.T, d thermal.Dish) *thermal.Run {
	t.Helper()
	run, err := thermal.Simulate(t.Context(), d, thermal.Schedule{{Medium: thermal.Insulated(), Until: thermal.Elapsed(time.Second)}}, &thermal.Settings{Cells: 40, Moisture: true})
	require.NoError(t, err)
	return run
}

// What a run does not know is nil and named with its reason.
func TestUnknown(t *testing.T) {
	what := func(unknown []Unknown) (out []string) {
		for _, u := range unknown {
			assert.NotEmpty(t, u.Why)
			out = append(out, u.What)
		}
		return out
	}
	still := wrapped(t, 220, false, 30*time.Minute)
	r := assess(t, still, roast...)
	assert.Equal(t, []string{"water kept and juice"}, what(r.Layers[0].Unknown))
	assert.Equal(t, Water{}, r.Layers[0].Water)
	assert.Equal(t, []string{"crispness"}, what(r.Surface.Unknown))
	assert.Nil(t, r.Surface.Crisp)
	assert.Nil(t, r.Surface.Activity)
	assert.Positive(t, r.Surface.Dry.Thickness, "steam has left it behind")

	r, err := Assess(still, nil, roast...)
	require.NoError(t, err)
	meat, crust := r.Layer("meat"), r.Layer("crust")
	assert.Equal(t, []string{"water kept and juice", `doneness on the scale "proteins"`, `rim "actin set"`, "collagen"}, what(meat.Unknown))
	assert.NotEmpty(t, meat.Doneness[0].Bands, "peaks are known of every run")
	assert.Empty(t, meat.Doneness[1].Bands)
	assert.NotNil(t, meat.Rims[0].Width)
	assert.Nil(t, meat.Rims[1].Width)
	assert.Nil(t, meat.Rims[1].Share)
	assert.Nil(t, meat.Collagen)
	assert.Equal(t, []string{"water kept and juice", "starch"}, what(crust.Unknown))
	assert.Nil(t, crust.Starch)
	assert.Equal(t, []string{"lightness", "colour difference", "crispness"}, what(r.Surface.Unknown))
	assert.Nil(t, r.Layer("sauce"))

	plain, err := Assess(still, nil)
	require.NoError(t, err)
	assert.Empty(t, plain.Layers[0].Doneness)
	assert.Equal(t, []string{"colour", "crispness"}, what(plain.Surface.Unknown))

	liver := insulatedMoist(t, materials.MustFind("beef liver, raw"))
	part := assess(t, liver, Layer{Name: "all", Kind: Meat}).Layers[0]
	assert.Equal(t, Water{}, part.Water, "nothing is known of how liver holds its water")
	fat := assess(t, insulatedMoist(t, materials.MustFind("tallow"))).Layers[0]
	assert.Nil(t, fat.Water.Kept, "of none nothing can be kept")
}

func insulatedMoist(t *testing.T, food materials.Food) *thermal.Run {
	t.Helper()
	return insulatedAgain(t, thermal.Dish{Shape: geometry.HalfSlab{}, Start: thermal.Uniform(60), Layers: []thermal.Layer{{Name: "all", Food: food, Thickness: 0.01}}})
}

// A report goes through JSON and back.
func TestJSON(t *testing.T) {
	for _, moisture := range []bool{false, true} {
		r := assess(t, wrapped(t, 200, moisture, 20*time.Minute), roast...)
		text, err := json.Marshal(r)
		require.NoError(t, err)
		var back Report
		require.NoError(t, json.Unmarshal(text, &back))
		assert.Equal(t, *r, back)
		assert.Contains(t, string(text), `"width_m"`)
	}
}

func TestAssessRefuses(t *testing.T) {
	run, other := held(t, 60, time.Second), held(t, 60, time.Second)
	followed, err := kinetics.Follow(other, nil, kinetics.Actin())
	require.NoError(t, err)
	own := func(steps ...Step) Layer {
		return Layer{Name: "all", Scales: []Scale{{Name: "own", Below: "raw", Steps: steps}}}
	}
	for want, f := range map[string]func() (*Report, error){
		"run none":            func() (*Report, error) { return Assess(nil, nil) },
		"a run from thermal":  func() (*Report, error) { return Assess(new(thermal.Run), nil) },
		"that of another run": func() (*Report, error) { return Assess(run, followed) },
		`layer "sauce", want`: func() (*Report, error) { return Assess(run, nil, Layer{Name: "sauce"}) },
		"given twice":         func() (*Report, error) { return Assess(run, nil, Layer{Name: "all"}, Layer{Name: "all"}) },
		"kind Kind(9)":        func() (*Report, error) { return Assess(run, nil, Layer{Name: "all", Kind: 9}) },
		"number of steps 0":   func() (*Report, error) { return Assess(run, nil, own()) },
		"number of steps 101": func() (*Report, error) { return Assess(run, nil, own(make([]Step, 101)...)) },
		"name of a step":      func() (*Report, error) { return Assess(run, nil, own(Step{From: 3})) },
		`step "a" from NaN`:   func() (*Report, error) { return Assess(run, nil, own(Step{Name: "a", From: math.NaN()})) },
		"than the step before": func() (*Report, error) {
			return Assess(run, nil, own(Step{Name: "a", From: 60}, Step{Name: "b", From: 60}))
		},
		"has reached no step": func() (*Report, error) { return Assess(run, nil, Layer{Name: "all", Scales: []Scale{{}}}) },
		`step "x" from +Inf`: func() (*Report, error) {
			return Assess(run, nil, Layer{Name: "all", Overcooked: []Step{{Name: "x", From: math.Inf(1)}}})
		},
		"number of scales and limits 101": func() (*Report, error) { return Assess(run, nil, Layer{Name: "all", Overcooked: make([]Step, 101)}) },
	} {
		r, err := f()
		inputError(t, err, want)
		assert.Nil(t, r)
	}
}
