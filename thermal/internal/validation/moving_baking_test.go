package validation

import (
	"fmt"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
	"example.com/thawfront/thermal"
)

const movingBaking = "baking/spans.csv"

// movingBakedRound is a loaf of 80 mm across in a fan oven at 210 °C.
func movingBakedRound(food string, start float64, until thermal.Condition) (*thermal.Run, error) {
	dough, err := materials.Find(food)
	if err != nil {
		return nil, err
	}
	return movingRun(solverDish(geometry.Cylinder{}, dough, 0.04, start), moving(), thermal.Stage{Medium: movingOven(210), Until: until, Limit: time.Hour})
}

func movingOven(t float64) thermal.Surroundings {
	s := thermal.FanOven(t)
	s.Humidity = thermal.HumidityRatio(0.02)
	return s
}

// movingFront is the temperature [°C] of the first cell from the centre out that holds
// less than half of the water it began with.
func movingFront(r *thermal.Run) (float64, error) {
	began := r.At(0).Cells()
	for i, c := range r.End().Cells() {
		if c.Water < began[i].Water/2 {
			return c.Temperature, nil
		}
	}
	return 0, fmt.Errorf("no cell has dried")
}

// movingGiven is what the middle has lost of its water [kg/kg of dough].
func movingGiven(r *thermal.Run) float64 { return r.At(0).Cells()[0].Water - r.End().Cells()[0].Water }

func movingLoaf() ([]check, error) {
	run, err := movingBakedRound("bread dough, proofed", 28, thermal.Above(thermal.Centre(), 98))
	if err != nil {
		return nil, err
	}
	m := movingSpans{file: movingBaking}
	const what = "loaf of 80 mm, 210 °C, from 28 to 98 °C in the centre: "
	m.add("time of a loaf", what+"time", run.Duration().Minutes())
	m.add("loss of a loaf", what+"loss of weight", movingLost(run))
	m.add("water the crumb loses", what+"water that the centre loses", movingGiven(run))
	m.add("crust", what+"surface", m.temperature(run, thermal.Skin()))
	m.add("activity of the crust", what+"water activity 0.5 mm deep", m.activity(run, thermal.Depth(0.5e-3)))
	return m.checks, m.err
}

func movingOverBaked() ([]check, error) {
	run, err := movingBakedRound("bread dough, proofed", 28, thermal.Elapsed(25*time.Minute))
	if err != nil {
		return nil, err
	}
	front, err := movingFront(run)
	if err != nil {
		return nil, err
	}
	m := movingSpans{file: movingBaking}
	const what = "loaf of 80 mm, 210 °C, 25 min: "
	m.add("centre of the crumb", what+"centre", m.temperature(run, thermal.Centre()))
	m.add("water the crumb loses", what+"water that the centre loses", movingGiven(run))
	m.add("front", what+"where half of the water has gone", front)
	m.add("crust", what+"surface", m.temperature(run, thermal.Skin()))
	m.add("activity of the crust", what+"water activity 1 mm deep", m.activity(run, thermal.Depth(1e-3)))
	return m.checks, m.err
}

// movingOpenCrumb bakes a part-baked loaf, an open crumb from the start.
func movingOpenCrumb() ([]check, error) {
	run, err := movingBakedRound("white bread", 25, thermal.Elapsed(25*time.Minute))
	if err != nil {
		return nil, err
	}
	front, err := movingFront(run)
	if err != nil {
		return nil, err
	}
	m := movingSpans{file: movingBaking}
	const what = "part-baked loaf of 80 mm, 210 °C, 25 min: "
	m.add("front", what+"where half of the water has gone", front)
	m.add("activity of the crust", what+"water activity 1 mm deep", m.activity(run, thermal.Depth(1e-3)))
	return m.checks, m.err
}

func movingDough() ([]check, error) {
	dough, err := materials.Find("bread dough, proofed")
	if err != nil {
		return nil, err
	}
	r, err := phasechange.New(dough, phasechange.Settings{})
	if err != nil {
		return nil, err
	}
	law := r.Moist()
	m := movingSpans{file: movingBaking}
	for _, t := range []float64{80, 99} {
		c := phasechange.MoistCell{T: t}
		law.Evaluate(law.Energy(t, r.Water()), r.Water(), &c)
		m.add(fmt.Sprintf("dough at %g °C", t), fmt.Sprintf("conductivity of proofed dough with its vapour at %g °C", t), c.K)
	}
	return m.checks, m.err
}

// movingPastry is a sheet on a rack, in the middle of the published thickness and rise.
func movingPastry() ([]check, error) {
	paste, err := materials.Find("puff pastry, raw")
	if err != nil {
		return nil, err
	}
	d := solverDish(geometry.Slab{}, paste, 0.0035, 5)
	d.Layers[0].Rise = &thermal.Rise{Points: []thermal.RisePoint{{At: 50, Ratio: 1}, {At: 98, Ratio: 6}}}
	run, err := movingRun(d, moving(), thermal.Stage{Medium: movingOven(200), Until: thermal.Elapsed(20 * time.Minute)})
	if err != nil {
		return nil, err
	}
	m := movingSpans{file: movingBaking}
	const what = "puff pastry of 3.5 mm that rises sixfold, 200 °C, 20 min: "
	m.add("water in puff pastry", what+"water left", 100*run.End().Water()/run.End().Mass())
	m.add("loss of puff pastry", what+"loss of weight", movingLost(run))
	m.add("activity of the crust", what+"water activity 0.2 mm deep", m.activity(run, thermal.Depth(0.2e-3)))
	return m.checks, m.err
}
