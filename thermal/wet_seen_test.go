package thermal

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
)

// What a condition sees of the surface where water moves is what the run says of that
// moment afterwards, at the ends of steps and within them.
func TestConditionsSeeTheSurfaceAsItIs(t *testing.T) {
	for _, shape := range []geometry.Shape{geometry.Slab{}, geometry.Bar{Width: 0.02}} {
		type seen struct {
			at    float64
			skins []float64
		}
		var all []seen
		watch := When("never", func(s *State) float64 {
			all = append(all, seen{s.clock, append([]float64(nil), s.skins...)})
			return -1
		})
		d := Dish{Shape: shape, Layers: []Layer{{Food: materials.MustFind("bread dough, proofed"), Thickness: 0.012}}, Start: Uniform(28)}
		run := simulate(t, d, Schedule{{Medium: FanOven(230), Until: Elapsed(12 * time.Minute)}}, Settings{Cells: 100, Moisture: true, Watch: []Condition{watch}})
		var worst float64
		for _, x := range all {
			if x.at == 0 || x.at == run.duration { // before what is put on or let go then
				continue
			}
			for i, v := range run.at(x.at).skins {
				worst = math.Max(worst, math.Abs(v-x.skins[i]))
			}
		}
		t.Logf("%v: %d moments, worst %.2g K", shape, len(all), worst)
		assert.LessOrEqual(t, worst, 0.02, "%v", shape) // the history is single precision
	}
}
