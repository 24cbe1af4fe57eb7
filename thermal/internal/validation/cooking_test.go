package validation

import (
	"context"
	"fmt"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// cookingGroup holds baths, ovens, plates, refrigerators and freezers with foods of
// our table and our media against what sources and the trade say.
var cookingGroup = group{
	name: "water bath and oven",
	reason: "Bath: 1 % beside the rounding of the print, or of the computed series; a real food within what the two diffusivities that are in use for meat span. " +
		"The rest are spans of sources and of the trade: the published value is their middle, the tolerance half of their width; one figure alone carries 20 %, by which coefficients of air are not known. " +
		"Sizes that a source leaves open are chosen here and stand in the quantity.",
	checks: cookingChecks,
}

// cookingWay is how a dish is run: by heat alone, or with its water moving.
type cookingWay struct {
	name     string // what it adds to the name of a check
	settings *thermal.Settings
}

var (
	cookingHeat = cookingWay{}
	cookingWet  = cookingWay{", water moving", &thermal.Settings{Moisture: true}}
	cookingBoth = []cookingWay{cookingHeat, cookingWet}
)

// cookingLimits are why checks lie outside of their tolerance, by the key of their
// span and the way they are run.
var cookingLimits = map[string]string{
	"patty":                                   thickPatty,
	"patty, water moving":                     thickPatty + "; more of its water boils when juice comes up, and takes heat along",
	"loss of a rare roast, water moving":      dryRoast,
	"rib from the refrigerator, water moving": "0.34 kg evaporate, which takes about twice the heat that warms the meat; " + dryRoast,
	"refrigerator coefficient": "the typical refrigerator stands between two sources that exclude each other: with the 5 to 7 W/(m² K) measured, " +
		"the steak of 25 mm would take 17 to 23 h, dew included, instead of the 12 to 14 h that are advised",
	"refrigerator to room, water moving": "the typical refrigerator brings more heat than measured ones; with their 6 W/(m² K) in all the ratio would be 5.1",
}

const slowRoast = "what evaporates takes its heat along: roasts take a third longer than the charts say, the one from 5 °C more so"

const thickPatty = "a patty thins as it loses a quarter of its weight in juice and fat, and here it does not: " +
	"at 450 W/(m² K) 9 mm take 119 s by heat alone, 10.5 mm 159 s"

// cookingScales are what a deviation is a share of, by the unit of a span: the
// difference between oven and dish, the radius of the meat, the weight. The others are
// a share of the middle of their span.
var cookingScales = map[string]float64{"°C": 230 + 18, "mm": 34, "%": 100}

// cookingSpan makes the check of a span.
func cookingSpan(key, what string, way cookingWay, ours float64) (check, error) {
	r, err := solverValue("oven-plate-and-household/spans.csv", "key", key)
	if err != nil {
		return check{}, err
	}
	middle, half := r.band()
	if way == cookingWet {
		ours = threeDigits(ours)
	}
	return check{source: propSource(r["source"], r["status"]), quantity: what + way.name + ", " + r["unit"],
		published: middle, ours: ours, tolerance: half + r.number("tolerance"),
		scale: cookingScales[r["unit"]], known: cookingLimits[key+way.name]}, nil
}

func cookingChecks() ([]check, error) {
	var all []check
	for _, part := range []func() ([]check, error){
		cookingBath, cookingBathSeries, cookingBathFood, cookingCoefficients, cookingWrapped, cookingRoasts, cookingPatties, cookingThawing,
	} {
		checks, err := part()
		if err != nil {
			return nil, err
		}
		all = append(all, checks...)
	}
	return all, nil
}

// cookingHeated is how long [min] a body of a diffusivity [m²/s] takes from 5 °C in a
// bath of 55 °C until its centre is at end [°C].
func cookingHeated(shape string, size, h, alpha, k, end float64) (float64, error) {
	food, err := solverConstant(k/alpha/1000, k)
	if err != nil {
		return 0, err
	}
	return cookingUntil(solverDish(solverShapes[shape], food, size/2, 5), thermal.Surroundings{Fluid: 55, H: h}, thermal.Above(thermal.Centre(), end), cookingHeat)
}

// cookingUntil is how long [min] a dish takes until a condition.
func cookingUntil(d thermal.Dish, m thermal.Medium, until thermal.Condition, way cookingWay) (float64, error) {
	run, err := solverRun(d, m, until, way.settings)
	if err != nil {
		return 0, err
	}
	return run.Duration().Minutes(), nil
}

// The parameters that the printed heating table was computed with (from memory).
const cookingBathH, cookingBathAlpha, cookingBathK = 95, 1.4e-7, 0.48

func cookingBath() ([]check, error) {
	return solverDouble("water-bath-heating/heating-times.csv", func(r propRow) ([]check, error) {
		ours, err := cookingHeated("slab", r.number("thickness")/1e3, cookingBathH, cookingBathAlpha, cookingBathK, 54.5)
		what := fmt.Sprintf("slab %s mm in a bath, 5 to 54.5 °C in 55 °C: ", r["thickness"])
		printed := r.number("printed")
		checks := []check{{source: "Baldwin 2012, heating table (from memory)", quantity: what + "printed, min",
			published: printed, ours: ours, tolerance: r.number("rounding") + 0.01*printed}}
		if r["series"] != "" {
			checks = append(checks, cookingSeries(what+"series, min", r.number("series"), ours))
		}
		return checks, err
	})
}

func cookingSeries(what string, published, ours float64) check {
	return check{source: "computed, series of Carslaw & Jaeger 1959", quantity: what, published: published, ours: ours, tolerance: 0.05 + 0.005*published}
}

func cookingBathSeries() ([]check, error) {
	return solverDouble("water-bath-heating/series.csv", func(r propRow) ([]check, error) {
		ours, err := cookingHeated(r["shape"], r.number("size")/1e3, r.number("h"), r.number("diffusivity"), r.number("conductivity"), r.number("end"))
		return []check{cookingSeries(fmt.Sprintf("%s %s mm in a bath, 5 to %s °C in 55 °C, %s W/(m² K), %s m²/s, min",
			r["shape"], r["size"], r["end"], r["h"], r["diffusivity"]), r.number("minutes"), ours)}, err
	})
}

// cookingBathFood is beef of our table, whose diffusivity lies between the two that
// the series was computed for.
func cookingBathFood() ([]check, error) {
	fast, err := solverValue("water-bath-heating/heating-times.csv", "thickness", "25")
	if err != nil {
		return nil, err
	}
	slow, err := solverValue("water-bath-heating/series.csv", "minutes", "79.5")
	if err != nil {
		return nil, err
	}
	beef, err := materials.Find("beef round, raw")
	if err != nil {
		return nil, err
	}
	ours, err := cookingUntil(solverDish(geometry.HalfSlab{}, beef, 0.0125, 5), thermal.Surroundings{Fluid: 55, H: cookingBathH}, thermal.Above(thermal.Centre(), 54.5), cookingHeat)
	low, high := fast.number("series"), slow.number("minutes")
	return []check{{source: "computed, series for 1.4e-7 and 1.11e-7 m²/s", quantity: "beef round 25 mm in a bath, 5 to 54.5 °C in 55 °C, min",
		published: (low + high) / 2, ours: ours, tolerance: (high - low) / 2}}, err
}

// cookingOverall is the coefficient [W/(m² K)] of convection and radiation together on
// a surface at t [°C].
func cookingOverall(s thermal.Surroundings, t float64) float64 {
	const stefanBoltzmann, zero = 5.670374419e-8, 273.15
	tw, ts := s.Walls+zero, t+zero
	return s.H + s.Emissivity*stefanBoltzmann*(tw*tw+ts*ts)*(tw+ts)
}

func cookingCoefficients() ([]check, error) {
	var checks []check
	for _, c := range []struct {
		key, what string
		medium    thermal.Surroundings
		surface   float64
	}{
		{"turkey coefficient", "overall coefficient, still oven at 163 °C, surface at 80 °C", thermal.StillOven(163), 80},
		{"freezer coefficient", "overall coefficient, still freezer at -18 °C, surface at -5 °C", thermal.StillFreezer(-18), -5},
		{"refrigerator coefficient", "overall coefficient, refrigerator at 4 °C, surface at -1 °C", thermal.Refrigerator(4), -1},
	} {
		made, err := cookingSpan(c.key, c.what, cookingHeat, cookingOverall(c.medium, c.surface))
		if err != nil {
			return nil, err
		}
		checks = append(checks, made)
	}
	return checks, nil
}

// cookingWrap is a pre-cooked fillet of 68 mm across in a moist layer of 6 mm and puff
// pastry of 4.5 mm.
func cookingWrap(start float64) (thermal.Dish, error) {
	d := thermal.Dish{Shape: geometry.Cylinder{}, Start: thermal.Uniform(start)}
	for _, l := range []struct {
		name, food string
		thickness  float64
	}{{"meat", "beef tenderloin, cooked", 0.034}, {"moist", "mushroom duxelles, cooked dry", 0.006}, {"crust", "puff pastry, raw", 0.0045}} {
		food, err := materials.Find(l.food)
		if err != nil {
			return d, err
		}
		d.Layers = append(d.Layers, thermal.Layer{Name: l.name, Food: food, Thickness: l.thickness})
	}
	return d, nil
}

// cookingBaked bakes the wrapped meat at 230 °C until a condition, and on at 85 °C
// until its centre is at 48 °C.
func cookingBaked(start float64, until thermal.Condition, way cookingWay) (*thermal.Run, error) {
	d, err := cookingWrap(start)
	if err != nil {
		return nil, err
	}
	return thermal.Simulate(context.Background(), d, thermal.Schedule{
		{Name: "hot", Medium: thermal.FanOven(230), Until: until, Limit: 4 * time.Hour},
		{Name: "door open", Medium: thermal.Room(30), Until: thermal.Elapsed(2 * time.Minute)},
		{Name: "gentle", Medium: thermal.FanOven(85), Until: thermal.Above(thermal.Centre(), 48), Limit: 8 * time.Hour},
	}, &thermal.Settings{Cells: 200, Moisture: way.settings != nil})
}

func cookingWrapped() ([]check, error) {
	mushrooms, err := materials.Find("mushrooms, raw")
	if err != nil {
		return nil, err
	}
	made, err := cookingSpan("mushroom water", "water in raw mushrooms", cookingHeat, 100*mushrooms.Composition.Water)
	checks := []check{made}
	for _, way := range cookingBoth {
		if err == nil {
			checks, err = cookingWrappedBy(way, checks)
		}
	}
	return checks, err
}

func cookingWrappedBy(way cookingWay, checks []check) ([]check, error) {
	const crust = 2
	frozen, err := cookingBaked(-18, thermal.Elapsed(40*time.Minute), way)
	if err != nil {
		return nil, err
	}
	shorter, err := cookingBaked(-18, thermal.Elapsed(35*time.Minute), way)
	if err != nil {
		return nil, err
	}
	dry := shorter.At(shorter.Stages[0].End).Layers()[crust].Water
	chilled, err := cookingBaked(4, thermal.When("the same crust", func(s *thermal.State) float64 { return dry - s.Layers()[crust].Water }), way)
	if err != nil {
		return nil, err
	}
	var fault error
	add := func(key, what string, ours float64) {
		c, err := cookingSpan(key, what, way, ours)
		if err != nil {
			fault = err
		}
		checks = append(checks, c)
	}
	reader := solverReader{run: frozen}
	const what = "meat of 68 mm, 6 mm moist layer, 4.5 mm pastry, "
	for _, minutes := range []float64{30, 40} {
		after := fmt.Sprintf("%sfrom -18 °C, %g min at 230 °C: ", what, minutes)
		add("wrapped frozen surface", after+"surface", reader.at(thermal.Skin(), 60*minutes))
		add("wrapped frozen moist layer", after+"mean of the moist layer", reader.at(thermal.MeanOf("moist"), 60*minutes))
		add("wrapped frozen meat's surface", after+"surface of the meat", reader.at(thermal.Within("meat", 1), 60*minutes))
		add("wrapped frozen centre", after+"centre", reader.at(thermal.Centre(), 60*minutes))
	}
	_, rim, err := shorter.PeakAbove("meat", 60)
	if err != nil {
		return nil, err
	}
	add("wrapped frozen rim", what+"from -18 °C, 35 min at 230 °C, then 85 °C until 48 °C in the centre: rim over 60 °C", 1e3*rim)
	if _, rim, err = chilled.PeakAbove("meat", 60); err != nil {
		return nil, err
	}
	add("wrapped chilled rim", what+"from 4 °C, until its crust is as dry, then the same: rim over 60 °C", 1e3*rim)
	if fault == nil {
		fault = reader.err
	}
	return checks, fault
}

func TestCooking(t *testing.T) { solverTest(t, cookingGroup) }
