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

// tub is a stirred bath of a heat capacity [J/K] with a heater [W] and a loss [W/K] to a
// room at 20 °C: state is its temperature and what it was given.
type tub struct {
	capacity, start, power, loss, h float64
}

func (b *tub) Body() any                     { return b }
func (b *tub) Control() Control              { return b }
func (b *tub) Port() int                     { return 0 }
func (b *tub) Validate() error               { return nil }
func (b *tub) Ports() int                    { return 1 }
func (b *tub) Size() int                     { return 2 }
func (b *tub) Begin(s []float64, _ float64)  { s[0], s[1] = b.start, 0 }
func (b *tub) At(time.Duration) Surroundings { return b.Meets(0, []float64{b.start, 0}, 0) }
func (b *tub) Meets(_ int, s []float64, _ float64) Surroundings {
	return Surroundings{Fluid: s[0], H: b.h}
}
func (b *tub) Account(s []float64) (stored, given float64) { return b.capacity * s[0], s[1] }
func (b *tub) Advance(s []float64, _, h float64, dish []Exchange) {
	n := math.Ceil(h / 0.5)
	dt := h / n
	for k := range int(n) {
		taken := 0.0
		for i := range dish {
			x := dish[i].Since((float64(k)+0.5)*dt - h/2)
			f, w := x.Split(b.Meets(0, s, 0))
			taken += f + w
		}
		// the loss by the midpoint, so that what is given is what arrives
		mid := (s[0] + dt/(2*b.capacity)*(b.power-taken+b.loss*20)) / (1 + b.loss*dt/(2*b.capacity))
		given := (b.power - b.loss*(mid-20)) * dt
		s[0] += (given - taken*dt) / b.capacity
		s[1] += given
	}
}

func bodyDish() Dish {
	return Dish{Shape: geometry.HalfSlab{Area: 0.1}, Start: Uniform(4), Layers: []Layer{
		{Name: "potato", Food: materials.MustFind("potatoes, boiled"), Thickness: 0.01}}}
}

func slabIn(m Medium, d time.Duration, s *Settings) (*Run, error) {
	return Simulate(context.Background(), bodyDish(), Schedule{{Medium: m, Until: Elapsed(d)}}, s)
}

// TestBodyEvensOut: bath and food without loss come to the temperature at which the heat
// one lost is what the other has gained.
func TestBodyEvensOut(t *testing.T) {
	bath := &tub{capacity: 8000, start: 80, h: 200}
	run, err := slabIn(bath, 10*time.Hour, nil)
	require.NoError(t, err)
	require.Len(t, run.Bodies, 1)
	b := run.Bodies[0]
	assert.InDelta(t, b.State[0], run.End().Layers()[0].Mean, 0.02)
	assert.Less(t, run.Energy.Relative, 1e-10)
	assert.Less(t, b.Relative, 1e-10)
	assert.InEpsilon(t, b.Taken, run.Energy.In, 1e-12)
	t.Log(b, run.Stats)
}

// TestBodyIsFollowed: the default tolerance against one of a hundredth.
func TestBodyIsFollowed(t *testing.T) {
	for _, c := range []tub{{2000, 80, 0, 0, 200}, {300, 80, 500, 5, 100}, {70, 180, 800, 5, 20}, {20, 180, 800, 5, 20}} {
		fine, err := slabIn(&c, 30*time.Minute, &Settings{Tolerance: 7e-4})
		require.NoError(t, err)
		bath := c
		run, err := slabIn(&bath, 30*time.Minute, nil)
		require.NoError(t, err)
		still, err := slabIn(Surroundings{Fluid: 80, H: c.h}, 30*time.Minute, nil)
		require.NoError(t, err)
		worst, worstBath := 0.0, 0.0
		for m := range 30 {
			at := time.Duration(m+1) * time.Minute
			a, _ := fine.Temperature(Skin(), at)
			b, _ := run.Temperature(Skin(), at)
			worst = max(worst, math.Abs(a-b))
			worstBath = max(worstBath, math.Abs(fine.Around(&c, at)[0]-run.Around(&bath, at)[0]))
		}
		assert.Less(t, worst, 0.1)
		assert.Less(t, worstBath, 0.2)
		assert.Less(t, run.Bodies[0].Relative, 1e-10)
		t.Logf("%v: surface %.4f K, bath %.4f K; %v against %v", c, worst, worstBath, run.Stats, still.Stats)
	}
}
