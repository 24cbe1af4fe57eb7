package thermal

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/thawfront/geometry"
)

// odd is a tub with something wrong with it.
type odd struct {
	tub
	body  any
	size  int
	port  int
	wild  bool // its state runs away
	turns bool // it gives no sense as soon as it is met
}

func (o *odd) Body() any        { return o.body }
func (o *odd) Size() int        { return o.size }
func (o *odd) Port() int        { return o.port }
func (o *odd) Control() Control { return o }
func (o *odd) Meets(port int, s []float64, t float64) Surroundings {
	if o.turns && t > 60 {
		return Surroundings{Fluid: math.NaN(), H: 10}
	}
	return o.tub.Meets(port, s, t)
}
func (o *odd) Advance(s []float64, t, h float64, dish []Exchange) {
	o.tub.Advance(s, t, h, dish)
	if o.wild {
		s[0] = math.NaN()
	}
}

// none is an active medium without a control.
type none struct{ Surroundings }

func (none) Control() Control { return nil }
func (none) Port() int        { return 0 }

func TestBodyFaults(t *testing.T) {
	make := func(change func(*odd)) *odd {
		o := &odd{tub: tub{capacity: 8000, start: 80, h: 200}, size: 2}
		o.body = o
		change(o)
		return o
	}
	for says, m := range map[string]Medium{
		"control of the medium none":        none{Surroundings{Fluid: 20, H: 5}},
		"values that can be compared":       make(func(o *odd) { o.body = []int{1} }),
		"want values that can be compared,": make(func(o *odd) { o.body = nil }),
		"such as pointers":                  make(func(o *odd) { o.body = math.NaN() }),
		"size of the medium's state 0":      make(func(o *odd) { o.size = 0 }),
		"size of the medium's state 65":     make(func(o *odd) { o.size = 65 }),
		"port of the medium 1":              make(func(o *odd) { o.port = 1 }),
		"port of the medium -1":             make(func(o *odd) { o.port = -1 }),
		"fluid temperature [°C] NaN":        make(func(o *odd) { o.turns = true }),
	} {
		_, err := slabIn(m, 5*time.Minute, nil)
		var fault *InputError
		assert.ErrorAs(t, err, &fault, says)
		assert.ErrorContains(t, err, says)
	}
	run, err := slabIn(make(func(o *odd) { o.wild = true }), 5*time.Minute, nil)
	assert.Error(t, err)
	assert.Len(t, run.Bodies, 1)
}

// Settings of one body that remember more or less than each other are refused.
func TestBodySizes(t *testing.T) {
	a := &odd{tub: tub{capacity: 8000, start: 80, h: 200}, size: 2}
	a.body = a
	b := *a
	b.size = 3
	dish := bodyDish()
	_, err := Simulate(context.Background(), dish, Schedule{{Medium: a, Until: Elapsed(time.Minute)}, {Medium: &b, Until: Elapsed(time.Minute)}}, nil)
	assert.ErrorContains(t, err, "size of the medium's state 3, want 2, as in the stages before")
}

// A body stands still in a stage that does not name it.
func TestBodyStandsStill(t *testing.T) {
	bath := &tub{capacity: 8000, start: 80, loss: 10, h: 200}
	dish := bodyDish()
	run, err := Simulate(context.Background(), dish, Schedule{{Medium: bath, Until: Elapsed(5 * time.Minute)},
		{Medium: Room(20), Until: Elapsed(10 * time.Minute)}, {Medium: bath, Until: Elapsed(5 * time.Minute)}}, nil)
	require.NoError(t, err)
	require.Len(t, run.Bodies, 1)
	left := run.Around(bath, 5*time.Minute)[0]
	assert.InDelta(t, left, run.Around(bath, 10*time.Minute)[0], 1e-9)
	assert.InDelta(t, left, run.Around(bath, 15*time.Minute)[0], 1e-9)
	assert.Less(t, run.Around(bath, 20*time.Minute)[0], left-0.5)
	assert.Nil(t, run.Around(&tub{}, 0))
	assert.Less(t, run.Bodies[0].Relative, 1e-10)
}

// counted is a tub, with something wrong with it if it is said, that counts its questions.
type counted struct {
	tub
	wrong error
	asked *int
}

func (c *counted) Control() Control         { *c.asked++; return c }
func (c *counted) Body() any                { return c }
func (c *counted) Validate() error          { return c.wrong }
func (c *counted) Changes() []time.Duration { *c.asked++; return []time.Duration{time.Minute} }

// In two dimensions a medium is asked, and its fault is said, once for a patch and not for
// every cell at the surface.
func TestPatchesAreAskedOnce(t *testing.T) {
	roll := potatoRoll(geometry.FiniteCylinder{Length: 0.1, Half: true}, 0.02)
	asked := 0
	sim := func(m Medium) (*Run, error) {
		asked = 0
		return Simulate(context.Background(), roll, Schedule{{Medium: m, Until: Elapsed(10 * time.Second)}}, &Settings{Cells: 400})
	}
	run, err := sim(&counted{tub: tub{capacity: 8000, start: 80, h: 200}, asked: &asked})
	require.NoError(t, err)
	assert.Equal(t, 4, asked, "control and changes of side and ends")
	assert.Less(t, run.Bodies[0].Relative, 1e-10)
	assert.InEpsilon(t, run.Energy.In, run.Bodies[0].Taken, 1e-12)

	_, err = sim(&counted{tub: tub{capacity: 8000, start: 80, h: 200}, asked: &asked, wrong: errors.New("it leaks")})
	assert.Equal(t, 1, strings.Count(err.Error(), "it leaks"))
	_, err = sim(MediumFunc(func(time.Duration) Surroundings { return Surroundings{H: -1} }))
	assert.Equal(t, 2, strings.Count(err.Error(), "heat transfer coefficient"), "of side and ends")

	jumps := make([]time.Duration, maxChanges/2)
	for i := range jumps {
		jumps[i] = time.Hour + time.Duration(i)
	}
	_, err = sim(Changing(Room(20), jumps...))
	assert.NoError(t, err)
	_, err = sim(Changing(Room(20), append(jumps, time.Hour)...))
	assert.Equal(t, 1, strings.Count(err.Error(), "number of changes"))
}

// A medium that is said to jump has its state all the same.
func TestChangingBody(t *testing.T) {
	bath := &tub{capacity: 8000, start: 80, h: 200}
	run, err := slabIn(Changing(bath, time.Minute), 10*time.Minute, nil)
	require.NoError(t, err)
	require.Len(t, run.Bodies, 1)
	assert.Less(t, run.Around(bath, 10*time.Minute)[0], 75.0)
}

// Without a run there is nothing to read.
func TestNoRun(t *testing.T) {
	for _, r := range []*Run{nil, {}, {Bodies: []BodyResult{{Body: 1}}}} {
		assert.Nil(t, r.Around(1, 0))
		_, err := r.Surroundings(geometry.Top, 0)
		var fault *InputError
		assert.ErrorAs(t, err, &fault)
	}
}
