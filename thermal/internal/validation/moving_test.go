package validation

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/thermal"
)

// movingGroup holds runs in which water moves against what sources and the trade say.
var movingGroup = group{
	name: "moving water",
	reason: "Wet surfaces: 0.15 K, the rounding and what other fits of the properties of air and vapour change. " +
		"Cubes of beef: 3.5 points of their weight, by which another author's curve (van der Sman 2007) is off the print from 65 to 80 °C. " +
		"The rest are spans of sources and of the trade: the published value is their middle, the tolerance half of their width. " +
		"Sizes that a source leaves open are chosen here and stand in the quantity. What foods hold of their water was fitted to the same cubes, fish and chicken, so those rows check the solver more than the food. " +
		"The benchmark of EN 15026 has a material that no food is like, and is held by a test of package thermal.",
	checks: movingChecks,
}

// movingLimits are why checks lie outside of their tolerance, by the key of their span.
var movingLimits = map[string]string{
	"evaporated share":     dryRoast,
	"surface of a roast":   dryRoast,
	"steamed beef":         "neither size nor end is told: ours is 60 mm thick to 70 °C, where cubes that are evenly warm lose 23 %",
	"dough at 80 °C":       "bubbles by Maxwell-Eucken are whole and round",
	"water in puff pastry": "our paste has 30 % of water: with a loss in its published span there are at least 13 % left",
}

const dryRoast = "half of the juice comes up to the surface, which all the same dries within minutes, rises above the wet bulb and cooks the outside through"

// movingScales are what a deviation is a share of, by the unit of a span: the weight,
// all water there is, the least difference between oven and dish.
var movingScales = map[string]float64{"%": 100, "kg/kg": 1, "-": 1, "°C": 175 - 5}

func moving() *thermal.Settings { return &thermal.Settings{Moisture: true} }

func movingChecks() ([]check, error) {
	var all []check
	for _, part := range []func() ([]check, error){
		movingWetSurfaces, movingCubes, movingFish, movingHeldLow, movingRoast, movingSteamed, movingLoaf, movingOverBaked, movingOpenCrumb, movingDough, movingPastry,
	} {
		checks, err := part()
		if err != nil {
			return nil, err
		}
		all = append(all, checks...)
	}
	return all, nil
}

// movingRun runs a dish in which water moves; both accounts must be whole.
func movingRun(d thermal.Dish, s *thermal.Settings, stages ...thermal.Stage) (*thermal.Run, error) {
	run, err := thermal.Simulate(context.Background(), d, stages, s)
	if err == nil && !(run.Energy.Relative < 1e-8 && run.Water.Relative < 1e-8) {
		err = fmt.Errorf("the accounts have gaps: %+v, %+v", run.Energy, run.Water)
	}
	return run, err
}

// movingLost is the share of its mass [%] that a dish has lost in a run.
func movingLost(r *thermal.Run) float64 { return 100 * (1 - r.End().Mass()/r.At(0).Mass()) }

// movingSpans makes checks of the spans of a file and keeps the first error.
type movingSpans struct {
	file   string
	checks []check
	err    error
}

func (m *movingSpans) add(key, what string, ours float64) {
	r, err := solverValue(m.file, "key", key)
	if err != nil {
		m.fail(err)
		return
	}
	source := r["source"]
	if !strings.HasPrefix(source, "from memory") {
		source = propSource(source, r["status"])
	}
	middle, half := r.band()
	m.checks = append(m.checks, check{source: source, quantity: what + ", " + r["unit"],
		published: middle, ours: threeDigits(ours), tolerance: half, scale: movingScales[r["unit"]], known: movingLimits[key]})
}

func (m *movingSpans) fail(err error) {
	if m.err == nil {
		m.err = err
	}
}

// temperature and activity are read at the end of a run.
func (m *movingSpans) temperature(r *thermal.Run, p thermal.Place) float64 {
	v, err := r.End().Temperature(p)
	m.fail(err)
	return v
}

func (m *movingSpans) activity(r *thermal.Run, p thermal.Place) float64 {
	v, err := r.End().Activity(p)
	m.fail(err)
	return v
}

// movingWetSurfaces settles thin slabs, insulated in the middle, in which water moves
// so readily that their surface stays wet until half of it has gone.
func movingWetSurfaces() ([]check, error) {
	const thickness, water, latent = 0.003, 0.95, 2.36e6 // [m], [kg/kg], [J/kg] near 55 °C
	food := materials.Food{Name: "damp starch", Composition: materials.Composition{Water: water, Carbohydrate: 1 - water},
		Transport: &materials.Transport{Diffusivity: 1e-6}}
	half := food.Density() * water / 2 * thickness * latent // [J/m²] to evaporate half of the water
	return solverDouble("wet-surface/steady.csv", func(r propRow) ([]check, error) {
		var out []check
		for _, c := range []struct {
			column     string
			emissivity float64
		}{{"convection", 0}, {"radiation", 0.9}} {
			air, want := r.number("air"), r.number(c.column)
			m := thermal.Surroundings{Fluid: air, H: r.number("h"), Walls: air, Emissivity: c.emissivity, Humidity: thermal.HumidityRatio(r.number("humidity_ratio"))}
			run, err := movingRun(solverDish(geometry.HalfSlab{}, food, thickness, 45), &thermal.Settings{Moisture: true, Cells: 20},
				thermal.Stage{Medium: m, Until: thermal.Elapsed(solverSeconds(half / (cookingOverall(m, want) * (air - want))))})
			if err != nil {
				return nil, err
			}
			skin, err := run.End().Temperature(thermal.Skin())
			if err != nil {
				return nil, err
			}
			out = append(out, check{source: "computed by another program, Lewis relation and Stefan's flow",
				quantity:  fmt.Sprintf("wet surface in air of %g °C and %s kg/kg, %g W/(m² K), %s: settles at, °C", air, r["humidity_ratio"], m.H, map[float64]string{0: "no radiation", 0.9: "emissivity 0.9"}[c.emissivity]),
				published: want, ours: skin, tolerance: 0.15, scale: air - want})
		}
		return out, nil
	})
}

// movingCubes are cubes of 110 g of lean beef in a bath that rises by 2.5 K/min from
// 7 °C and is held for 40 min. A ball stands for the cube, the one that warms through
// as fast: its first eigenvalue π²/R² is the 3π²/a² of a cube of side a.
func movingCubes() ([]check, error) {
	beef, err := materials.Find("beef round, raw")
	if err != nil {
		return nil, err
	}
	beef.Composition = materials.Composition{Water: 0.75, Protein: 0.215, Fat: 0.024, Ash: 0.011}
	beef.Holding.RawWater = 0.75 / 0.215
	const mass, density, start, rate = 0.110, 1060.0, 7.0, 2.5 / 60 // [kg], [kg/m³], [°C], [K/s]
	d := solverDish(geometry.Sphere{}, beef, math.Cbrt(mass/density)/math.Sqrt(3), start)
	return propEach("water-holding/beef.csv", func(r propRow) (check, bool, error) {
		end := r.number("t")
		if r["set"] != "cubes" {
			return check{}, false, nil
		}
		bath := thermal.MediumFunc(func(at time.Duration) thermal.Surroundings {
			return thermal.WaterBath(math.Min(end, start+rate*at.Seconds()))
		})
		run, err := movingRun(d, moving(), thermal.Stage{Medium: bath, Until: thermal.Elapsed(solverSeconds((end-start)/rate) + 40*time.Minute)})
		if err != nil {
			return check{}, false, err
		}
		return check{source: r["source"], quantity: fmt.Sprintf("beef cubes of 110 g, 2.5 K/min from 7 °C, 40 min at %g °C: loss of weight, %%", end),
			published: r.number("loss"), ours: movingLost(run), tolerance: 3.5, scale: 100}, true, nil
	})
}

// movingFish is flakes that are warm at once and lose nothing but juice.
func movingFish() ([]check, error) {
	return propEach("water-holding/fish.csv", func(r propRow) (check, bool, error) {
		fish, err := materials.Find(r["food"])
		if err != nil {
			return check{}, false, err
		}
		t := r.number("t")
		run, err := movingRun(solverDish(geometry.HalfSlab{}, fish, 0.001, t), &thermal.Settings{Moisture: true, Cells: 20},
			thermal.Stage{Medium: thermal.WaterBath(t), Until: thermal.Elapsed(thermal.Minutes(r.number("minutes")))})
		if err != nil {
			return check{}, false, err
		}
		middle, half := r.band()
		source, how := r["source"], "closed cup"
		if before, after, found := strings.Cut(source, ", Głuchowski"); found {
			source, how = "Głuchowski"+after+", temperature a guess", before
		}
		return check{source: propSource(source, r["status"]), quantity: fmt.Sprintf("%s, %s, %s min at %g °C: loss of weight, %%", fish.Name, how, r["minutes"], t),
			published: middle, ours: movingLost(run), tolerance: half, scale: 100}, true, nil
	})
}

const movingCooking = "cooking-losses/spans.csv"

func movingHeldLow() ([]check, error) {
	beef, err := materials.Find("beef tenderloin, raw")
	if err != nil {
		return nil, err
	}
	m := movingSpans{file: movingCooking}
	for _, hours := range []float64{4, 5, 8} {
		d := solverDish(geometry.Cylinder{}, beef, 0.035, 5)
		bath, err := movingRun(d, moving(), thermal.Stage{Medium: thermal.WaterBath(54.4), Until: thermal.Elapsed(thermal.Hours(hours))})
		if err != nil {
			return nil, err
		}
		d.Start = thermal.From(bath)
		again, err := movingRun(d, moving(), thermal.Stage{Medium: thermal.WaterBath(4), Until: thermal.Below(thermal.Centre(), 6)},
			thermal.Stage{Medium: thermal.WaterBath(50), Until: thermal.Elapsed(2 * time.Hour)})
		if err != nil {
			return nil, err
		}
		what := fmt.Sprintf("beef tenderloin, cylinder 70 mm, %g h in a bath of 54.4 °C: loss of weight", hours)
		m.add("beef held low", what, movingLost(bath))
		m.add("warmed again", what+" when chilled and warmed to 50 °C again", 100*(bath.End().Mass()-again.End().Mass())/bath.At(0).Mass())
	}
	return m.checks, m.err
}

func movingRoast() ([]check, error) {
	beef, err := materials.Find("beef round, raw")
	if err != nil {
		return nil, err
	}
	oven := thermal.FanOven(175)
	oven.Humidity = thermal.HumidityRatio(0.01)
	warm := thermal.Above(thermal.Centre(), 40)
	run, err := movingRun(solverDish(geometry.Cylinder{}, beef, 0.05, 5), &thermal.Settings{Moisture: true, Watch: []thermal.Condition{warm}},
		thermal.Stage{Medium: oven, Until: thermal.Above(thermal.Centre(), 65)})
	if err != nil {
		return nil, err
	}
	at, met := run.Met(0)
	if !met {
		return nil, fmt.Errorf("not met: %v", warm)
	}
	// Juice comes up in spurts, by which the surface goes up and down: a mean and whole
	// numbers are the same on every machine.
	const spurts = 5 * time.Minute
	reader, skin, n := solverReader{run: run}, 0.0, 0.0
	for t := at - spurts; t <= at; t += 5 * time.Second {
		skin += reader.at(thermal.Skin(), t.Seconds())
		n++
	}
	m := movingSpans{file: movingCooking, err: reader.err}
	share := run.Water.Evaporated / (run.At(0).Mass() - run.End().Mass())
	const what = "beef, cylinder 100 mm, fan oven at 175 °C and 0.01 kg/kg: "
	m.add("evaporated share", what+"evaporated share of the loss when the centre is at 65 °C", math.Round(100*share)/100)
	m.add("surface of a roast", what+"surface in the five minutes before the centre is at 40 °C", math.Round(skin/n))
	return m.checks, m.err
}

func movingSteamed() ([]check, error) {
	beef, err := materials.Find("beef round, raw")
	if err != nil {
		return nil, err
	}
	chicken, err := materials.Find("chicken breast, raw")
	if err != nil {
		return nil, err
	}
	steamed, err := movingRun(solverDish(geometry.Cylinder{}, beef, 0.03, 5), moving(), thermal.Stage{Medium: thermal.SteamOven(100), Until: thermal.Above(thermal.Centre(), 70)})
	if err != nil {
		return nil, err
	}
	moist := thermal.FanOven(84)
	moist.H, moist.Humidity = 30, thermal.RelativeHumidity(0.95)
	breast, err := movingRun(solverDish(geometry.HalfSlab{}, chicken, 0.0125, 5), moving(),
		thermal.Stage{Medium: moist, Until: thermal.Above(thermal.Centre(), 75)}, thermal.Stage{Medium: thermal.Room(20), Until: thermal.Elapsed(5 * time.Minute)})
	if err != nil {
		return nil, err
	}
	m := movingSpans{file: movingCooking}
	m.add("steamed beef", "beef, cylinder 60 mm, steam at 100 °C to 70 °C: loss of weight", movingLost(steamed))
	m.add("chicken breast", "chicken breast 25 mm, moist air of 84 °C to 75 °C, 5 min in a room: loss of weight", movingLost(breast))
	return m.checks, m.err
}

func TestMoving(t *testing.T) { solverTest(t, movingGroup) }
