package thermal

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

func potatoRoll(shape geometry.Shape, radius float64) Dish {
	return Dish{Shape: shape, Start: Uniform(4), Layers: []Layer{{Name: "potato", Food: materials.MustFind("potatoes, boiled"), Thickness: radius}}}
}

// TestEndError: the rule is a bound, and not a loose one, where its slowest terms rule.
func TestEndError(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	const radius = 0.03
	for _, h := range []float64{20, 1000} {
		biot := h * radius / 0.54 // of boiled potato
		for _, ratio := range []float64{1, 2, 3, 5} {
			d := potatoRoll(geometry.FiniteCylinder{Length: 2 * radius * ratio, Half: true}, radius)
			s := Schedule{{Medium: Surroundings{Fluid: 75, H: h}, Until: Above(Centre(), 65)}, {Medium: Surroundings{Fluid: 75, H: h}, Until: Above(Centre(), 74.8)}}
			f, err := Flatten(context.Background(), d, s, &Settings{Cells: 900})
			require.NoError(t, err)
			bound, err := EndError(ratio, biot)
			require.NoError(t, err)
			t.Logf("h %g, length %g diameters: %.2f and %.2f %% late, rule %.2f %%", h, ratio, 100*f.Stages[0], 100*f.Late, 100*bound)
			for _, late := range f.Stages {
				assert.Less(t, late, bound+1e-3)
				assert.Greater(t, late, -1e-3)
			}
			assert.Greater(t, f.Late, f.Stages[0], "the ends are learnt of late")
			if ratio <= 2 {
				assert.Greater(t, f.Late, 0.5*bound)
			}
		}
	}
}

func TestContactError(t *testing.T) {
	const radius = 0.03
	for _, h := range []float64{20, 1000} {
		for _, share := range []float64{0.2, 0.5} {
			d := potatoRoll(geometry.RollSection{ContactWidth: 2 * radius * share}, radius)
			s := Schedule{{Medium: Surroundings{Fluid: 75, H: h}, Patches: map[geometry.Patch]Medium{geometry.Contact: Insulated()}, Until: Above(Centre(), 65)}}
			f, err := Flatten(context.Background(), d, s, &Settings{Cells: 900})
			require.NoError(t, err)
			bound, err := ContactError(share)
			require.NoError(t, err)
			t.Logf("h %g, contact %g of the diameter: %.2f %% early, rule %.2f %%", h, share, -100*f.Late, 100*bound)
			assert.Less(t, -f.Late, bound+1e-3)
			assert.Greater(t, -f.Late, 0.0)
		}
	}
}

func TestFlattenFaults(t *testing.T) {
	s := Schedule{{Medium: Room(20), Until: Elapsed(time.Minute)}}
	var input *InputError
	_, err := Flatten(context.Background(), potatoRoll(geometry.Cylinder{}, 0.03), s, nil)
	assert.ErrorAs(t, err, &input)
	_, err = Flatten(context.Background(), Dish{}, s, nil)
	assert.ErrorAs(t, err, &input)
	_, err = Flatten(context.Background(), potatoRoll(geometry.FiniteCylinder{}, 0.03), s, nil)
	assert.Error(t, err)
	type wrapped struct{ geometry.FiniteCylinder }
	for _, shape := range []geometry.Shape{nil, (*geometry.FiniteCylinder)(nil), (*geometry.Tray)(nil), &geometry.Slab{}, geometry.HalfSlab{},
		wrapped{geometry.FiniteCylinder{Length: 0.1}}, &wrapped{}, &geometry.Bar{}, geometry.Bar{Width: math.NaN()}} {
		_, err = Flatten(context.Background(), potatoRoll(shape, 0.03), s, nil)
		assert.ErrorAs(t, err, &input, "%T", shape)
	}
	for _, bad := range [][2]float64{{0, 1}, {1, 0}, {-1, 1}, {1e9, 1}, {math.NaN(), 1}, {1, math.NaN()}, {math.Inf(1), 1}, {1, math.Inf(1)}} {
		_, err = EndError(bad[0], bad[1])
		assert.ErrorAs(t, err, &input)
	}
	for _, bad := range []float64{1.1, -0.1, math.NaN(), math.Inf(1)} {
		_, err = ContactError(bad)
		assert.ErrorAs(t, err, &input)
	}
}

// A pointer to a shape is the shape; what was computed when a run stops comes with its error.
func TestFlattenGivesWhatItHas(t *testing.T) {
	roll := geometry.FiniteCylinder{Length: 0.06}
	s := Schedule{{Medium: WaterBath(75), Until: Above(Centre(), 5)}}
	one, err := Flatten(t.Context(), potatoRoll(roll, 0.03), s, &Settings{Cells: 100})
	require.NoError(t, err)
	two, err := Flatten(t.Context(), potatoRoll(&roll, 0.03), s, &Settings{Cells: 100})
	require.NoError(t, err)
	assert.Equal(t, one.Late, two.Late)

	s[0].Limit = one.One.Duration() / 2
	part, err := Flatten(t.Context(), potatoRoll(roll, 0.03), s, &Settings{Cells: 100})
	var limit *StageLimitError
	require.ErrorAs(t, err, &limit)
	assert.Equal(t, s[0].Limit, part.One.Duration())
	assert.Nil(t, part.Two)

	s[0].Limit, s[0].Until = 0, Above(Centre(), -10) // met at once
	part, err = Flatten(t.Context(), potatoRoll(roll, 0.03), s, nil)
	require.NoError(t, err)
	assert.Zero(t, part.Late)
}
